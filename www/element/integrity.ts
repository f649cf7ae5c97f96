/**
 * Holds the element's own files against the digests that the build baked into it.
 *
 * A page's `integrity` covers the one script it names, but neither a worker nor the engine that the worker loads. So
 * the element knows the digest of its worker, and the worker those of the engine's files. In: the bytes of a file. Out:
 * a failure with code `altered` where they are not the ones that this version was built with. In a page without a
 * secure connection the browser computes no digest, and nothing is held: such a connection promises nothing anyway.
 */

/** The digests by file name, put here by the build; not there where the sources are tested by themselves. */
declare const HOSTWOOD_DIGESTS: Readonly<Record<string, string>> | undefined;

/** A file is not the one that belongs to this version. */
export class Altered extends Error {
  constructor(place: string) {
    super(
      `\`${place}\` is not the file that belongs to this version. Put all files of one version on the server again, unchanged`,
    );
    this.name = "Altered";
  }
}

/** The baked-in digests. */
function baked(): Readonly<Record<string, string>> {
  return typeof HOSTWOOD_DIGESTS === "undefined" ? {} : HOSTWOOD_DIGESTS;
}

function digestOf(place: string, digests: Readonly<Record<string, string>>): string | undefined {
  return digests[new URL(place).pathname.split("/").pop() ?? ""];
}

/** Whether the build has told the digest of a file. */
export function isKnown(place: string): boolean {
  return digestOf(place, baked()) !== undefined;
}

/**
 * Reads a file to its end and holds it against its digest.
 * @throws Altered where the bytes are others
 */
export async function hold(
  response: Response,
  place: string,
  digests: Readonly<Record<string, string>> = baked(),
): Promise<void> {
  const expected = digestOf(place, digests);
  // `subtle` is missing outside secure contexts, whatever its type says.
  const subtle = globalThis.crypto.subtle as SubtleCrypto | undefined;
  if (expected === undefined || subtle === undefined) {
    await response.body?.cancel();
    return;
  }
  const digest = new Uint8Array(await subtle.digest("SHA-384", await response.arrayBuffer()));
  if (`sha384-${btoa(String.fromCharCode(...digest))}` !== expected) throw new Altered(place);
}
