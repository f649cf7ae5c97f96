/**
 * Files from the network, inside the worker.
 *
 * In: an absolute URL, or a file that was handed over, and a signal that ends the wait. Out: the bytes, whole or piece
 * by piece, or a fault that names the file. Nothing identifies the visitor: cookies go only to the page's own origin, and no address is told to the
 * server. Left to others: what the bytes mean.
 */
import type { Fault, Given } from "./protocol.ts";

/** A silence longer than this ends a download, in milliseconds. */
const SILENCE = 30_000;

/** The most that one file may hold once unpacked, in bytes: the stand map, and everything else. */
export const LIMITS = { stands: 1_073_741_824, other: 16_777_216 } as const;

/** Thrown where an input failed; carries the fault that the page is told. */
export class Failure extends Error {
  readonly fault: Fault;
  constructor(fault: Fault) {
    super(fault.message);
    this.fault = fault;
  }
}

/** One open download. `total` is the length the server tells, where it is the length of what is read. */
export interface Download {
  total: number | undefined;
  pieces: AsyncGenerator<Uint8Array<ArrayBuffer>, void, void>;
}

/**
 * Opens a download, or a file that was handed over.
 * @throws Failure with code `unreachable`, `refused` (a status that is no success) or `redirected`
 */
export async function download(
  given: Given,
  about: Fault["about"],
  signal: AbortSignal,
  limit: number = LIMITS.other,
): Promise<Download> {
  if (typeof given === "string") return fetched(given, about, signal, limit);
  const nothing = (): void => undefined;
  const url = given instanceof File ? given.name : "the file";
  const reading = { url, about, signal, limit, heard: nothing, close: nothing };
  return { total: given.size, pieces: pieces(new Response(given), reading) };
}

async function fetched(
  url: string,
  about: Fault["about"],
  signal: AbortSignal,
  limit: number,
): Promise<Download> {
  const silence = new AbortController();
  let timer = setTimeout(() => {
    silence.abort();
  }, SILENCE);
  const heard = (): void => {
    clearTimeout(timer);
    timer = setTimeout(() => {
      silence.abort();
    }, SILENCE);
  };
  const stop = (): void => {
    silence.abort();
  };
  signal.addEventListener("abort", stop);
  const close = (): void => {
    clearTimeout(timer);
    signal.removeEventListener("abort", stop);
  };

  let response: Response;
  try {
    response = await fetch(url, {
      credentials: "same-origin",
      referrerPolicy: "no-referrer",
      signal: silence.signal,
    });
  } catch (error) {
    close();
    signal.throwIfAborted();
    throw unreachable(url, about, error);
  }
  if (response.redirected && new URL(response.url).origin !== new URL(url).origin) {
    close();
    throw new Failure({
      about,
      code: "redirected",
      place: url,
      message: `\`${url}\` sends on to another site, \`${new URL(response.url).origin}\`. Give the address of the file itself.`,
    });
  }
  if (!response.ok) {
    close();
    throw new Failure({
      about,
      code: "refused",
      place: url,
      message: `\`${url}\` could not be had: the server answered ${String(response.status)}. Check the address and whether the file is public.`,
    });
  }
  heard();
  const packed = response.headers.get("content-encoding") !== null;
  const told = Number(response.headers.get("content-length") ?? Number.NaN);
  return {
    total: packed || !Number.isFinite(told) ? undefined : told,
    pieces: pieces(response, { url, about, signal, limit, heard, close }),
  };
}

/** The whole file at once. */
export async function whole(
  given: Given,
  about: Fault["about"],
  signal: AbortSignal,
): Promise<Uint8Array<ArrayBuffer>> {
  const parts: Uint8Array<ArrayBuffer>[] = [];
  let length = 0;
  for await (const piece of (await download(given, about, signal)).pieces) {
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
}

interface Reading {
  url: string;
  about: Fault["about"];
  signal: AbortSignal;
  limit: number;
  heard: () => void;
  close: () => void;
}

async function* pieces(
  response: Response,
  reading: Reading,
): AsyncGenerator<Uint8Array<ArrayBuffer>, void, void> {
  const { url, about, signal, limit, heard, close } = reading;
  const reader = response.body?.getReader();
  let bytes = 0;
  try {
    while (reader !== undefined) {
      const { done, value } = await reader.read();
      if (done) return;
      heard();
      bytes += value.length;
      if (bytes > limit) {
        throw new Failure({
          about,
          code: "too_big",
          place: url,
          message: `\`${url}\` is larger than ${String(Math.round(limit / 1_048_576))} MB once unpacked. Publish a smaller extract.`,
        });
      }
      yield value;
    }
  } catch (error) {
    signal.throwIfAborted();
    if (error instanceof Failure) throw error;
    throw unreachable(url, about, error, bytes);
  } finally {
    close();
    await reader?.cancel().catch(() => undefined);
  }
}

function unreachable(url: string, about: Fault["about"], error: unknown, bytes?: number): Failure {
  const where = bytes === undefined ? "" : ` after ${String(bytes)} bytes`;
  const why = error instanceof Error && error.name !== "AbortError" ? ` (${error.message})` : "";
  return new Failure({
    about,
    code: "unreachable",
    place: url,
    message: `\`${url}\` could not be reached: the connection ended${where}${why}. Try again when there is a signal.`,
  });
}
