/*
 * What no page can do without: the bytes, and the bytes as a tree of JSON values. No picture.
 */
window.measure = async ({ stands }) => {
  const began = performance.now();
  const collection = await (await fetch(stands)).json();
  const json = performance.now() - began;
  if (collection.features.length === 0) throw new Error("no stands");
  return { json };
};
window.bench_ready = true;
