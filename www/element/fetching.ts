/**
 * Files from the network, inside the worker.
 *
 * In: an absolute URL, or a file that was handed over, and a signal that ends the wait. Out: the bytes, whole or piece
 * by piece, or a fault that names the file; word of each further try, of long silence, and of files that came from a
 * copy on this device. A broken connection is tried again; a download that broke off goes on where it broke off, if
 * the server can and the file is still the same. Nothing identifies the visitor: cookies go only to the page's own
 * origin, and no address is told to the server. Left to others: what the bytes mean; reading a map anew
 * (hostwood-worker.ts).
 */
import type { Fault, Given, Kept } from "./protocol.ts";

/** A silence longer than this ends a try, in milliseconds. */
const SILENCE = 30_000;
/** A silence longer than this is told, in milliseconds. */
const LONG = 5_000;
/** How long is waited before each further try, in milliseconds. */
const WAITS = [500, 2_000, 6_000] as const;
/** No further try is begun after so long, in milliseconds. */
const PATIENCE = 60_000;
/** Answers of a server that is busy rather than without the file. */
const BUSY = new Set([429, 502, 503, 504]);
/** The longest wait that a busy server may ask for, in seconds. */
const LONGEST_WAIT = 20;

/** By this header the recipe for use without a connection says when a copy was kept. */
const KEPT_HEADER = "hostwood-kept";

/** How many further tries there are. */
export const TRIES: number = WAITS.length;

/** The most that one file may hold once unpacked, in bytes: the stand map, and everything else. */
export const LIMITS = { stands: 1_073_741_824, other: 16_777_216 } as const;

/** Thrown where an input failed; carries the fault that the page is told. */
export class Failure extends Error {
  readonly fault: Fault;
  /** How long the server asks to be left alone, in milliseconds, where it is busy. */
  readonly wait: number | null;
  constructor(fault: Fault, wait: number | null = null) {
    super(fault.message);
    this.fault = fault;
    this.wait = wait;
  }
}

/** One open download. `total` is the length the server tells, where it is the length of what is read. */
export interface Download {
  total: number | undefined;
  pieces: AsyncGenerator<Uint8Array<ArrayBuffer>, void, void>;
}

/** What a download tells on its way. */
export interface News {
  /** The connection broke; this further try is the one of that number. */
  again: (tried: number) => void;
  /** Nothing has come for a while; the try goes on. */
  waiting: () => void;
  /** What comes is a copy that was kept on this device. */
  kept: (kept: Kept) => void;
}

/** Where nobody listens. */
export const UNHEARD: News = { again: () => undefined, waiting: () => undefined, kept: () => undefined };

/** What is wanted of the network. */
interface Errand {
  url: string;
  about: Fault["about"];
  signal: AbortSignal;
  limit: number;
  news: News;
}

/** One answer of the server, under watch. */
interface Reply {
  response: Response;
  /** Something has come: the watch begins anew. */
  heard: () => void;
  close: () => void;
  /** Whether it was the silence that ended the try. */
  silent: () => boolean;
}

/**
 * Opens a download, or a file that was handed over.
 * @throws Failure with code `unreachable`, `silent`, `refused` (a status that is no success), `redirected`; while
 * reading also `cut`, `changed` or `too_big`
 */
export async function download(
  given: Given,
  about: Fault["about"],
  signal: AbortSignal,
  limit: number = LIMITS.other,
  news: News = UNHEARD,
): Promise<Download> {
  if (typeof given !== "string") {
    const url = given instanceof File ? given.name : "the file";
    return {
      total: given.size,
      pieces: handedOver(new Response(given), { url, about, signal, limit, news }),
    };
  }
  const errand = { url: given, about, signal, limit, news };
  const reply = await patiently(errand, () => ask(errand, 0));
  const { headers } = reply.response;
  const kept = headers.get(KEPT_HEADER);
  if (kept !== null && !Number.isNaN(Date.parse(kept))) news.kept({ about, place: given, at: kept });
  const packed = headers.get("content-encoding") !== null;
  const told = Number(headers.get("content-length") ?? Number.NaN);
  return {
    total: packed || !Number.isFinite(told) ? undefined : told,
    pieces: flowing(errand, reply),
  };
}

/** The whole file at once; a connection that breaks is tried again. */
export async function whole(
  given: Given,
  about: Fault["about"],
  signal: AbortSignal,
  news: News = UNHEARD,
): Promise<Uint8Array<ArrayBuffer>> {
  const once = async (): Promise<Uint8Array<ArrayBuffer>> => {
    const parts: Uint8Array<ArrayBuffer>[] = [];
    let length = 0;
    for await (const piece of (await download(given, about, signal, LIMITS.other, news)).pieces) {
      parts.push(piece);
      length += piece.length;
    }
    const bytes = new Uint8Array(length);
    let at = 0;
    for (const part of parts) {
      bytes.set(part, at);
      at += part.length;
    }
    return bytes;
  };
  try {
    return await once();
  } catch (error) {
    if (!brokeOff(error)) throw error;
    signal.throwIfAborted();
    news.again(1);
    return once();
  }
}

/** Whether a download began and broke off, or the file was changed meanwhile: read anew it may be whole. */
export function brokeOff(error: unknown): error is Failure {
  return error instanceof Failure && (error.fault.code === "cut" || error.fault.code === "changed");
}

/** Tries again, with longer and longer waits, what the connection or a busy server ended. */
async function patiently(errand: Errand, act: () => Promise<Reply>): Promise<Reply> {
  const began = performance.now();
  for (let tried = 0; ; tried += 1) {
    try {
      return await act();
    } catch (error) {
      const wait = WAITS[tried];
      const late = performance.now() - began > PATIENCE;
      if (!(error instanceof Failure) || wait === undefined || late || !mayPass(error)) throw error;
      await rest(Math.max(wait, error.wait ?? 0), errand.signal);
      errand.news.again(tried + 1);
    }
  }
}

/** Whether trying again may help. Without any network it is the page that waits for one. */
function mayPass({ fault, wait }: Failure): boolean {
  if (fault.code === "refused") return wait !== null;
  return (fault.code === "unreachable" || fault.code === "silent") && navigator.onLine;
}

/** One try, from this byte on. */
async function ask(errand: Errand, from: number): Promise<Reply> {
  const { url, about, signal } = errand;
  const watch = watched(errand);
  let response: Response;
  try {
    response = await fetch(url, {
      credentials: "same-origin",
      referrerPolicy: "no-referrer",
      signal: watch.signal,
      ...(from === 0 ? {} : { headers: { range: `bytes=${String(from)}-` }, cache: "no-store" }),
    });
  } catch (error) {
    watch.close();
    signal.throwIfAborted();
    throw watch.silent() ? silence(errand, from) : lost(errand, "unreachable", error, from);
  }
  if (response.redirected && new URL(response.url).origin !== new URL(url).origin) {
    watch.close();
    throw new Failure({
      about,
      code: "redirected",
      place: url,
      message: `\`${url}\` sends on to another site, \`${new URL(response.url).origin}\`. Give the address of the file itself.`,
    });
  }
  if (!response.ok) {
    watch.close();
    throw refused(errand, response);
  }
  watch.heard();
  return { response, ...watch };
}

/** Ends a try after a long silence, or when nobody waits any more; tells a silence that is merely long. */
function watched({ signal, news }: Errand): Omit<Reply, "response"> & { signal: AbortSignal } {
  const end = new AbortController();
  let silent = false;
  let timers: ReturnType<typeof setTimeout>[] = [];
  const clear = (): void => {
    for (const timer of timers) clearTimeout(timer);
  };
  const heard = (): void => {
    clear();
    timers = [
      setTimeout(() => {
        news.waiting();
      }, LONG),
      setTimeout(() => {
        silent = true;
        end.abort();
      }, SILENCE),
    ];
  };
  const stop = (): void => {
    end.abort();
  };
  signal.addEventListener("abort", stop);
  heard();
  return {
    signal: end.signal,
    heard,
    silent: () => silent,
    close: () => {
      clear();
      signal.removeEventListener("abort", stop);
    },
  };
}

/** The bytes of a download, which goes on where it broke off if that can be done. */
async function* flowing(errand: Errand, first: Reply): AsyncGenerator<Uint8Array<ArrayBuffer>, void, void> {
  let reply = first;
  const counted = { bytes: 0 };
  for (;;) {
    const before = counted.bytes;
    try {
      yield* body(errand, reply, counted);
      return;
    } catch (error) {
      // A connection that brought nothing since it was taken up again is given up.
      const stuck = reply !== first && counted.bytes === before;
      if (!brokeOff(error) || !resumable(errand, first.response) || stuck || !navigator.onLine) throw error;
    }
    await rest(WAITS[0], errand.signal);
    errand.news.again(1);
    const from = counted.bytes;
    reply = await patiently(errand, () => ask(errand, from));
    if (!goesOn(first.response, reply.response, from)) {
      reply.close();
      await reply.response.body?.cancel();
      throw changed(errand);
    }
  }
}

/** The bytes of one answer. */
async function* body(
  errand: Errand,
  reply: Reply,
  counted: { bytes: number },
): AsyncGenerator<Uint8Array<ArrayBuffer>, void, void> {
  const { signal, limit } = errand;
  const reader = reply.response.body?.getReader();
  try {
    while (reader !== undefined) {
      const { done, value } = await reader.read();
      if (done) return;
      reply.heard();
      counted.bytes += value.length;
      if (counted.bytes > limit) throw tooBig(errand);
      yield value;
    }
  } catch (error) {
    signal.throwIfAborted();
    if (error instanceof Failure) throw error;
    throw reply.silent() ? silence(errand, counted.bytes, "cut") : lost(errand, "cut", error, counted.bytes);
  } finally {
    reply.close();
    await reader?.cancel().catch(() => undefined);
  }
}

/** The bytes of a file that was handed over. */
async function* handedOver(
  response: Response,
  errand: Errand,
): AsyncGenerator<Uint8Array<ArrayBuffer>, void, void> {
  const nothing = (): void => undefined;
  yield* body(errand, { response, heard: nothing, close: nothing, silent: () => false }, { bytes: 0 });
}

/**
 * Whether the server can go on in the middle (RFC 9110, section 14) and what it then sends can be told to be of the
 * same file. Bytes that were unpacked on the way cannot be counted from; another site may not let the page see enough.
 */
function resumable({ url }: Errand, { headers }: Response): boolean {
  return (
    new URL(url).origin === self.location.origin &&
    headers.get("accept-ranges") === "bytes" &&
    headers.get("content-encoding") === null &&
    validator(headers) !== null
  );
}

/** What names one state of a file: a strong entity tag, else the time of its last change. */
function validator(headers: Headers): string | null {
  const tag = headers.get("etag");
  return tag !== null && !tag.startsWith("W/") ? tag : headers.get("last-modified");
}

function goesOn(first: Response, next: Response, from: number): boolean {
  // What broke off before anything was read is simply had again.
  if (from === 0) return true;
  const range = next.headers.get("content-range") ?? "";
  return (
    next.status === 206 &&
    range.startsWith(`bytes ${String(from)}-`) &&
    validator(next.headers) === validator(first.headers)
  );
}

function rest(milliseconds: number, signal: AbortSignal): Promise<void> {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => {
      signal.removeEventListener("abort", stop);
      resolve();
    }, milliseconds);
    const stop = (): void => {
      clearTimeout(timer);
      reject(new DOMException("no longer wanted", "AbortError"));
    };
    signal.addEventListener("abort", stop, { once: true });
  });
}

/** A busy server may say how long to wait (RFC 9110, section 10.2.3). */
function refused({ url, about }: Errand, { status, headers }: Response): Failure {
  const asked = Number(headers.get("retry-after") ?? 0);
  const wait = BUSY.has(status) && asked <= LONGEST_WAIT ? asked * 1000 : null;
  return new Failure(
    {
      about,
      code: "refused",
      place: url,
      message: `\`${url}\` could not be had: the server answered ${String(status)}. Check the address and whether the file is public.`,
    },
    wait,
  );
}

function tooBig({ url, about, limit }: Errand): Failure {
  return new Failure({
    about,
    code: "too_big",
    place: url,
    message: `\`${url}\` is larger than ${String(Math.round(limit / 1_048_576))} MB once unpacked. Publish a smaller extract.`,
  });
}

function changed({ url, about }: Errand): Failure {
  return new Failure({
    about,
    code: "changed",
    place: url,
    message: `\`${url}\` was changed while it was being read. Read it again.`,
  });
}

function silence({ url, about }: Errand, bytes: number, code = "silent"): Failure {
  const where = bytes === 0 ? "" : ` after ${String(bytes)} bytes`;
  return new Failure({
    about,
    code,
    place: url,
    message: `\`${url}\` could not be read: nothing came for ${String(SILENCE / 1000)} seconds${where}. Try again when the connection is better.`,
  });
}

function lost({ url, about }: Errand, code: "unreachable" | "cut", error: unknown, bytes: number): Failure {
  const where = bytes === 0 ? "" : ` after ${String(bytes)} bytes`;
  const why = error instanceof Error && error.name !== "AbortError" ? ` (${error.message})` : "";
  return new Failure({
    about,
    code,
    place: url,
    message: `\`${url}\` could not be reached: the connection ended${where}${why}. Try again when there is a signal.`,
  });
}
