/**
 * Files that go to the visitor's own device, and links that are handed on.
 *
 * In: bytes or text with a file name; an address. Out: a download that the browser asks about as it asks about any
 * other; a link that was shared, copied, or is shown to be copied by hand. Nothing is sent anywhere by us. Left to
 * others: what is written in the files.
 */

/** How long the browser may take to fetch what it saves, in milliseconds. */
const KEPT = 60_000;

/** Hands a file to the browser to be saved. */
export function save(parts: BlobPart[], type: string, name: string): void {
  const address = URL.createObjectURL(new Blob(parts, { type }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => {
    URL.revokeObjectURL(address);
  }, KEPT);
}

/** A file name of letters that every system takes: from a stem, a stand's number or name, and a day. */
export function fileName(parts: readonly string[], ending: string): string {
  const stem = parts
    .map((part) => part.normalize("NFKD").replaceAll(/[^\p{L}\p{N}]+/gu, "-"))
    .map((part) => part.replaceAll(/^-+|-+$/g, "").slice(0, 40))
    .filter((part) => part !== "")
    .join("-")
    .toLowerCase();
  return `${stem === "" ? "hostwood" : stem}.${ending}`;
}

/** What became of a link. */
export type Handed = "shared" | "copied" | "dismissed" | "not_copied";

/** Whether this browser can hand links to other programs. */
export function canShare(): boolean {
  return typeof navigator.share === "function";
}

/** Hands a link on by the browser's own means. */
export async function share(title: string, url: string): Promise<Handed> {
  try {
    await navigator.share({ title, url });
    return "shared";
  } catch (error) {
    if (error instanceof DOMException && error.name === "AbortError") return "dismissed";
    return copy(url);
  }
}

/** Copies a link. Where the page may not, it is left to the visitor. */
export async function copy(url: string): Promise<Handed> {
  try {
    await navigator.clipboard.writeText(url);
    return "copied";
  } catch (error) {
    console.warn("hostwood: the link could not be copied", error);
    return "not_copied";
  }
}
