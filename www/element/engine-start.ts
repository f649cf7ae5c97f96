/**
 * The Wasm engine, loaded and started inside the worker.
 *
 * In: the folder in which this file's own build lies. Out: a maker of engines, or a failure with code `no_engine`.
 * The module is compiled while it arrives; where the server sends it under a wrong type, its bytes are compiled
 * instead. Left to others: everything the engine does.
 */
import { Failure } from "./fetching.ts";
import { Altered, hold, isKnown } from "./integrity.ts";
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
    const [bindings, module] = await Promise.all([bind(bindingsPlace), compile(place)]);
    await bindings.default({ module_or_path: module });
    return () => new bindings.Engine();
  } catch (error) {
    if (error instanceof Failure) throw error;
    if (error instanceof Altered)
      throw new Failure({ about: "engine", code: "altered", message: error.message });
    throw noEngine(place, error instanceof Error ? error.message : String(error));
  }
}

/** The bindings run only after they have been held against their digest. */
async function bind(place: string): Promise<Bindings> {
  if (isKnown(place)) await hold(await had(place), place);
  return import(/* @vite-ignore */ place) as Promise<Bindings>;
}

/** Compiles the module while it arrives; it is given out only after it has been held against its digest. */
async function compile(place: string): Promise<WebAssembly.Module> {
  const response = await had(place);
  const type = response.headers.get("content-type")?.split(";")[0]?.trim();
  const held = isKnown(place) ? hold(response.clone(), place) : Promise.resolve();
  if (type !== "application/wasm") {
    console.warn(
      `hostwood: \`${place}\` is served as \`${type ?? ""}\`; served as \`application/wasm\` it starts sooner`,
    );
  }
  const compiled =
    type === "application/wasm"
      ? WebAssembly.compileStreaming(response)
      : response.arrayBuffer().then((bytes) => WebAssembly.compile(bytes));
  // An altered file may not even compile; that it was altered says more.
  compiled.catch(() => undefined);
  await held;
  return compiled;
}

async function had(place: string): Promise<Response> {
  const response = await fetch(place, { credentials: "same-origin", referrerPolicy: "no-referrer" });
  if (!response.ok) throw noEngine(place, `the server answered ${String(response.status)}`);
  return response;
}

function noEngine(place: string, why: string): Failure {
  return new Failure({
    about: "engine",
    code: "no_engine",
    place,
    message: `The map's engine \`${place}\` cannot run here: ${why}.`,
  });
}
