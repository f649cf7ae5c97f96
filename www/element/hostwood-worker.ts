/**
 * The worker: everything heavy happens here, off the page's main thread.
 *
 * In: numbered tasks from the page. Out: answers, faults, progress; tiles as bitmaps that are handed over, not copied.
 * After a trap the engine is never used again: the page is told and starts a new worker. Left to others: the order of
 * the tasks (queue.ts), fetching (fetching.ts), everything about trees, fungi and law (the engine).
 */
import { startEngine } from "./engine-start.ts";
import { Failure, LIMITS, TRIES, brokeOff, download, whole, type News } from "./fetching.ts";
import { contextThings, flatOutline } from "./outlines.ts";
import type {
  Ask,
  BookText,
  Engine,
  EngineError,
  Fault,
  FromWorker,
  Given,
  Progress,
  Tasks,
  ToWorker,
} from "./protocol.ts";
import { Queue, type Waiting } from "./queue.ts";
import { today } from "./today.ts";

/** The parts of the worker's global scope that are used. */
interface Scope {
  postMessage(message: FromWorker, transfer?: Transferable[]): void;
  onmessage: ((event: MessageEvent<ToWorker>) => void) | null;
  close(): void;
}

const scope = self as unknown as Scope;
const folder = new URL(".", import.meta.url);
const queue = new Queue();
/** Progress is told at most this often, in milliseconds. */
const TELL_EVERY = 80;
/** The worker listens for messages at least this often while it reads, in milliseconds. */
const LISTEN_EVERY = 40;

const bell = new MessageChannel();

let engine: Engine | null = null;
/** The zone of the region's clock, once the rule books have told it. */
let timeZone: string | null = null;
/** What was told of the progress last. */
let told: Progress = { phase: "engine", bytes: 0, stands: 0 };
let running: { call: number; stop: AbortController } | null = null;

scope.onmessage = (event): void => {
  const message = event.data;
  if ("cancel" in message) {
    if (queue.cancel(message.cancel)) drop(message.cancel);
    else if (running?.call === message.cancel) running.stop.abort();
    return;
  }
  if (message.task.kind === "context") {
    void perform(message);
    return;
  }
  // A new stand map or rule book makes a reading that is under way pointless.
  if (message.task.kind === "open" || message.task.kind === "rules") running?.stop.abort();
  for (const call of queue.push(message)) drop(call);
  void work();
};

scope.postMessage({ awake: true });

/** What downloads tell on their way is told as progress. */
const news: News = {
  again: (again) => {
    tell({ ...told, again });
  },
  waiting: () => {
    tell({ ...told, waiting: true });
  },
  kept: (kept) => {
    scope.postMessage({ kept });
  },
};

/** Does one task after the other and looks at new messages between them. */
async function work(): Promise<void> {
  if (running !== null) return;
  for (let next = queue.next(); next !== undefined; next = queue.next()) {
    const stop = new AbortController();
    running = { call: next.call, stop };
    await perform(next, stop.signal);
    running = null;
    await listen();
  }
}

async function perform(waiting: Waiting, signal: AbortSignal = new AbortController().signal): Promise<void> {
  const { call, task } = waiting;
  try {
    const { answer, transfer } = await answerTo(task, signal);
    scope.postMessage({ call, answer }, transfer);
  } catch (error) {
    if (signal.aborted) drop(call);
    else if (isTrap(error)) fail(error);
    else scope.postMessage({ call, fault: faultOf(error, task) });
  }
}

interface Answered {
  answer: unknown;
  transfer?: Transferable[];
}

async function answerTo(task: Ask, signal: AbortSignal): Promise<Answered> {
  switch (task.kind) {
    case "open":
      return { answer: await open(task, signal) };
    case "rules":
      return { answer: await reread(task.rules, signal) };
    case "weather":
      return { answer: await takeWeather(ready(), task.weather, signal) };
    case "visit":
      tell({ phase: "assessing", bytes: 0, stands: 0 });
      return { answer: ready().setVisit(task.visit) };
    case "tile": {
      const picture = ready().tile(task.z, task.x, task.y, task.look);
      const bitmap = await createImageBitmap(picture);
      giveBack(picture.data.buffer);
      return { answer: bitmap, transfer: [bitmap] };
    }
    case "swatches":
      return { answer: ready().swatches(task.look) };
    case "standAt":
      return { answer: ready().standAt(task.lng, task.lat) ?? null };
    case "stand":
      return { answer: ready().stand(task.id) ?? null };
    case "neighbour":
      return { answer: ready().neighbour(task.id, task.direction, task.box) ?? null };
    case "overlaps":
      return { answer: ready().overlaps() };
    case "sheet":
      return { answer: ready().sheet(task.id, lookOf(task)) };
    case "calendar":
      return { answer: ready().calendar(task.id, lookOf(task)) };
    case "plan":
      return { answer: ready().plan(task.query) };
    case "gpx":
      return { answer: ready().gpx(task.query) };
    case "occurrence":
      return { answer: ready().occurrence(task.find) };
    case "list":
      return { answer: ready().list(task.query) };
    case "wishes":
      return { answer: ready().wishes(task.languages) };
    case "outline": {
      const bytes = ready().outline(task.id);
      return { answer: bytes ? flatOutline(bytes) : null };
    }
    case "geojson": {
      const bytes = ready().toGeoJSON();
      return { answer: bytes, transfer: [bytes.buffer] };
    }
    case "context":
      return { answer: await context(task.url, signal) };
    case "checkRules":
      return { answer: await checked(task.text) };
    case "tryCrosswalk":
      return { answer: await tried(task, signal) };
    case "fungi":
      return { answer: (await withoutMap()).protectedFromCsv(task.list) };
    case "year":
      return { answer: ready().year(task.id) };
    case "harvest":
      return { answer: ready().harvest(task.id ?? undefined, task.basket, task.languages) };
  }
}

/** Languages, view and wish of a task, without its other members. */
function lookOf({ languages, view, wish, at }: Tasks["sheet"]["ask"]): Parameters<Engine["sheet"]>[1] {
  return {
    languages,
    view,
    ...(wish === undefined ? {} : { wish }),
    ...(at === undefined ? {} : { at }),
  };
}

/** Reads stand map, crosswalk and rule books into a fresh engine, in the order in which they are needed. */
async function open(ask: Tasks["open"]["ask"], outer: AbortSignal): Promise<Tasks["open"]["answer"]> {
  // Whatever ends the opening also ends the downloads that are still under way.
  const inner = new AbortController();
  const end = (): void => {
    inner.abort();
  };
  outer.addEventListener("abort", end);
  try {
    return await openWith(ask, inner.signal);
  } finally {
    outer.removeEventListener("abort", end);
    inner.abort();
  }
}

async function openWith(ask: Tasks["open"]["ask"], signal: AbortSignal): Promise<Tasks["open"]["answer"]> {
  tell({ phase: "engine", bytes: 0, stands: 0 });
  // Everything is asked for at once; only the reading has an order.
  const fetchStands = (): ReturnType<typeof download> =>
    settled(download(ask.stands, "stands", signal, ask.limits?.bytes ?? LIMITS.stands, news));
  let incoming = fetchStands();
  const crosswalk = settled(
    ask.crosswalk === undefined
      ? Promise.resolve(undefined)
      : whole(ask.crosswalk, "crosswalk", signal, news),
  );
  const rules = settled(books(ask.rules, signal));
  const tables = settled(books(ask.kinds, signal));
  const incomingWeather = settled(fetchWeather(ask.weather ?? null, signal));
  const make = await startEngine(folder);
  engine?.free();
  engine = null;
  const fresh = make();
  engine = fresh;

  if (ask.limits !== undefined) fresh.setLimits(ask.limits);
  const kinds = fresh.setKinds(await tables);
  const about = await crosswalk;
  let files: Awaited<ReturnType<typeof beside>> | undefined;
  for (let tried = 1; ; tried += 1) {
    try {
      if (about === undefined || ask.crosswalk === undefined) fresh.beginStands();
      else {
        files ??= await beside(ask.crosswalk, fresh.crosswalkFiles(about), signal);
        fresh.beginStands(about, files);
      }
    } catch (error) {
      signal.throwIfAborted();
      throw isTrap(error) ? error : new Failure({ ...shapeOf(error), about: "crosswalk" });
    }
    try {
      await read(fresh, await incoming, signal);
      break;
    } catch (error) {
      // A map that broke off, and cannot go on there, is read from its beginning.
      if (!brokeOff(error) || tried >= TRIES || !navigator.onLine) throw error;
      tell({ phase: "stands", bytes: 0, stands: 0, again: tried });
      incoming = fetchStands();
    }
  }
  const stands = fresh.finishStands();
  tell({ phase: "rules", bytes: 0, stands: stands.stands });
  const report = fresh.setRules(await rules);
  timeZone = report.timeZone;
  const day = today(timeZone);
  const weather = await takeWeather(fresh, ask.weather ?? null, signal, await incomingWeather);
  return { stands, rules: report, wishes: fresh.wishes(ask.languages), today: day, weather, kinds };
}

/** The bytes of the weather file, or why they could not be had; null where none is wanted. */
function fetchWeather(
  url: string | null,
  signal: AbortSignal,
): Promise<{ bytes: Uint8Array } | { fault: Fault } | null> {
  if (url === null) return Promise.resolve(null);
  return whole(url, "weather", signal, news).then(
    (bytes) => ({ bytes }),
    (error: unknown) => {
      signal.throwIfAborted();
      return {
        fault: { ...shapeOf(error instanceof Failure ? error.fault : error), about: "weather", place: url },
      };
    },
  );
}

/** Hands the weather to the engine. What is wrong with it is told and costs nothing else. */
async function takeWeather(
  fresh: Engine,
  url: string | null,
  signal: AbortSignal,
  fetched?: Awaited<ReturnType<typeof fetchWeather>>,
): Promise<Tasks["weather"]["answer"]> {
  const day = today(timeZone);
  const got = fetched === undefined ? await fetchWeather(url, signal) : fetched;
  if (got === null || "fault" in got) {
    fresh.setWeather(null, day);
    return { report: null, fault: got === null ? null : got.fault };
  }
  try {
    return { report: fresh.setWeather(got.bytes, day), fault: null };
  } catch (error) {
    if (isTrap(error)) throw error;
    return {
      report: null,
      fault: { ...shapeOf(error), about: "weather", ...(url === null ? {} : { place: url }) },
    };
  }
}

/** The files that a crosswalk names; null for one that could not be had, which the engine then reports as missing. */
function beside(
  crosswalk: Given,
  names: string[],
  signal: AbortSignal,
): Promise<{ name: string; bytes: Uint8Array | null }[]> {
  return Promise.all(
    names.map(async (name) => {
      // What lies beside a file that was handed over cannot be seen.
      if (typeof crosswalk !== "string") return { name, bytes: null };
      try {
        return { name, bytes: await whole(new URL(name, crosswalk).href, "crosswalk", signal, news) };
      } catch (error) {
        signal.throwIfAborted();
        console.warn(`hostwood: ${error instanceof Error ? error.message : String(error)}`);
        return { name, bytes: null };
      }
    }),
  );
}

/** Reads the rule books anew over the stand map that is there. */
async function reread(given: (string | BookText)[], signal: AbortSignal): Promise<Tasks["rules"]["answer"]> {
  const rules = ready().setRules(await books(given, signal));
  timeZone = rules.timeZone;
  return { rules, today: today(timeZone) };
}

async function read(
  fresh: Engine,
  incoming: Awaited<ReturnType<typeof download>>,
  signal: AbortSignal,
): Promise<void> {
  let toldAt = 0;
  let listened = performance.now();
  for await (const piece of incoming.pieces) {
    const { bytes, stands } = fresh.pushStands(piece);
    giveBack(piece.buffer);
    const now = performance.now();
    if (now - toldAt > TELL_EVERY) {
      toldAt = now;
      tell({
        phase: "stands",
        bytes,
        stands,
        ...(incoming.total === undefined ? {} : { total: incoming.total }),
      });
    }
    if (now - listened > LISTEN_EVERY) {
      await listen();
      listened = performance.now();
      signal.throwIfAborted();
    }
  }
}

/** The bytes of each file; null for one that could not be had, which the engine then reports as missing. */
function books(
  given: (string | BookText)[],
  signal: AbortSignal,
): Promise<{ name: string; bytes: Uint8Array | null }[]> {
  return Promise.all(
    given.map(async (url) => {
      if (typeof url !== "string") return { name: url.name, bytes: new TextEncoder().encode(url.text) };
      const name = decodeURIComponent(new URL(url).pathname.split("/").pop() ?? url);
      try {
        return { name, bytes: await whole(url, "rules", signal, news) };
      } catch (error) {
        signal.throwIfAborted();
        console.warn(`hostwood: ${error instanceof Error ? error.message : String(error)}`);
        return { name, bytes: null };
      }
    }),
  );
}

/** Checks a rule book that is being written. */
async function checked(text: string): Promise<Tasks["checkRules"]["answer"]> {
  return (await withoutMap()).checkRules(new TextEncoder().encode(text), today(null));
}

/** The engine for what needs no stand map; one without a map does as well. */
async function withoutMap(): Promise<Engine> {
  return engine ?? (await startEngine(folder))();
}

/** Tries a crosswalk on a sample. The stand map that is open stays; an engine without one does as well. */
async function tried(
  { sample, crosswalk, features }: Tasks["tryCrosswalk"]["ask"],
  signal: AbortSignal,
): Promise<Tasks["tryCrosswalk"]["answer"]> {
  const bytes = await whole(sample, "stands", signal);
  const about = crosswalk === null ? undefined : await whole(crosswalk, "crosswalk", signal);
  const reader = engine ?? (await startEngine(folder))();
  const inCrosswalk = (error: unknown): unknown =>
    isTrap(error) || error instanceof Failure
      ? error
      : new Failure({ ...shapeOf(error), about: "crosswalk" });
  let files: { name: string; bytes: Uint8Array | null }[] = [];
  if (about !== undefined && crosswalk !== null) {
    try {
      files = await beside(crosswalk, reader.crosswalkFiles(about), signal);
    } catch (error) {
      signal.throwIfAborted();
      throw inCrosswalk(error);
    }
  }
  try {
    return reader.tryCrosswalk(bytes, about, files, features);
  } catch (error) {
    throw shapeOf(error).code === "bad-crosswalk" ? inCrosswalk(error) : error;
  }
}

async function context(url: string, signal: AbortSignal): Promise<Tasks["context"]["answer"]> {
  const bytes = await whole(url, "context", signal, news);
  try {
    return contextThings(bytes);
  } catch (error) {
    throw new Failure({
      about: "context",
      code: "not_json",
      place: url,
      message: `\`${url}\` is no GeoJSON (${error instanceof Error ? error.message : String(error)}). Paths and names are left out.`,
    });
  }
}

/** The engine with a stand map in it. */
function ready(): Engine {
  if (engine === null) {
    throw new Failure({ about: "engine", code: "no_stands", message: "No stand map has been read yet." });
  }
  return engine;
}

function isTrap(error: unknown): boolean {
  return error instanceof WebAssembly.RuntimeError || error instanceof RangeError;
}

/** After a trap nothing of this worker can be trusted: tell the page and end. */
function fail(error: unknown): void {
  console.error("hostwood: the engine stopped", error);
  engine = null;
  const message = `The map stopped working (${error instanceof Error ? error.message : String(error)}).`;
  scope.postMessage({ failed: { about: "engine", code: "trap", message } });
  scope.close();
}

function faultOf(error: unknown, task: Ask): Fault {
  if (error instanceof Failure) return error.fault;
  const about =
    task.kind === "open" || task.kind === "tryCrosswalk"
      ? "stands"
      : task.kind === "rules"
        ? "rules"
        : "engine";
  return { ...shapeOf(error), about };
}

/** The engine throws plain objects; anything else is told by its own message. */
function shapeOf(error: unknown): EngineError {
  if (typeof error === "object" && error !== null && "message" in error && "code" in error) {
    return { ...(error as EngineError) };
  }
  return { code: "unexpected", message: error instanceof Error ? error.message : String(error) };
}

function drop(call: number): void {
  scope.postMessage({ call, dropped: true });
}

function tell(progress: Progress): void {
  told = { ...progress };
  delete told.again;
  delete told.waiting;
  scope.postMessage({ progress });
}

/** Lets messages that have arrived be heard. A channel of our own is not slowed down as nested timers are. */
function listen(): Promise<void> {
  return new Promise((resolve) => {
    bell.port1.onmessage = (): void => {
      resolve();
    };
    bell.port2.postMessage(null);
  });
}

/**
 * Gives the memory of bytes back that nobody reads any more, in browsers that can. Left to themselves they let dozens of
 * megabytes of such bytes lie before they tidy up.
 */
function giveBack(bytes: ArrayBufferLike & { transfer?: (length: number) => unknown }): void {
  bytes.transfer?.(0);
}

/** Marks a promise as watched, so that its failure waits for the one who awaits it. */
function settled<T>(promise: Promise<T>): Promise<T> {
  promise.catch(() => undefined);
  return promise;
}
