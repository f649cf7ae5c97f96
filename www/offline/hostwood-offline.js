/*
 * Starts the recipe for use without a connection, on a page whose publisher wants it. The element never does so.
 *
 * In: this file in the folder of the release, and `hostwood-offline-worker.js` copied into the folder above it, where
 * it can see the page, the release and the data. Out: that worker registered. A page that requires Trusted Types lists
 * the policy `hostwood-offline` beside `hostwood`. What is kept is left to the worker.
 */

const address = new URL("../hostwood-offline-worker.js", import.meta.url).href;

/** The worker's address, through a policy of its own where the page may make one. */
function trusted() {
  if (globalThis.trustedTypes === undefined) return address;
  const policy = globalThis.trustedTypes.createPolicy("hostwood-offline", {
    createScriptURL: (url) => {
      if (url !== address) throw new TypeError(`\`${url}\` is not the worker beside this release`);
      return url;
    },
  });
  return policy.createScriptURL(address);
}

if ("serviceWorker" in navigator) {
  navigator.serviceWorker.register(trusted()).catch((error) => {
    console.warn(
      `hostwood: the map will need a connection: \`${address}\` could not be registered (${error.message}); expected \`hostwood-offline-worker.js\` in the folder above the release`,
    );
  });
}
