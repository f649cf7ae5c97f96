/**
 * The Wasm engine, loaded and started inside the worker.
 *
 * In: the folder in which this file's own build lies. Out: a maker of engines, or a failure with code `no_engine`.
 * The module is compiled while it arrives; where the server sends it under a wrong type, its bytes are compiled
 * instead. Left to others: everything the engine does.
 */
import { Failure } from "./fetching.ts";
import type { Engine } from "./protocol.ts";

/** What the generated bindings export. */
interface Bindings {
  default: (input: { module_or_path: WebAssembly.Module }) => Promise<unknown>;
  Engine: new () => Engine;
}

let starting: Promise<() => Engine> | null = null;

/** Starts the engine once; later calls share the outcome. */
export function startEngine(folder: URL): Promise<() => Engine> {
  starting ??= start(folder);
  return starting;
}

async function start(folder: URL): Promise<() => Engine> {
  const place = new URL("hostwood_engine_bg.wasm", folder).href;
  if (typeof WebAssembly === "undefined") {
    throw noEngine(place, "this browser runs no WebAssembly");
  }
  try {
    const bindingsPlace = new URL("hostwood_engine.js", folder).href;
    const [bindings, module] = await Promise.all([
      import(/* @vite-ignore */ bindingsPlace) as Promise<Bindings>,
      compile(place),
    ]);
    await bindings.default({ module_or_path: module });
    return () => new bindings.Engine();
  } catch (error) {
    if (error instanceof Failure) throw error;
    throw noEngine(place, error instanceof Error ? error.message : String(error));
  }
}

async function compile(place: string): Promise<WebAssembly.Module> {
  const response = await fetch(place, { credentials: "same-origin", referrerPolicy: "no-referrer" });
  if (!response.ok) throw noEngine(place, `the server answered ${String(response.status)}`);
  const type = response.headers.get("content-type")?.split(";")[0]?.trim();
  if (type === "application/wasm") return WebAssembly.compileStreaming(response);
  console.warn(
    `hostwood: \`${place}\` is served as \`${type ?? ""}\`; served as \`application/wasm\` it starts sooner`,
  );
  return WebAssembly.compile(await response.arrayBuffer());
}

function noEngine(place: string, why: string): Failure {
  return new Failure({
    about: "engine",
    code: "no_engine",
    place,
    message: `The map's engine \`${place}\` cannot run here: ${why}.`,
  });
}
