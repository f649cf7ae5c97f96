/**
 * The page's end of the line to the worker.
 *
 * In: tasks. Out: a promise for each answer; progress; the word that the worker has failed and must be started again.
 * Every task has a number; an answer that came too late, or was cancelled, ends as `Dropped`. Left to others: what
 * the answers mean (session.ts), doing the tasks (hostwood-worker.ts).
 */
import { Altered, hold, isKnown } from "./integrity.ts";
import type { Ask, Fault, FromWorker, Kept, Progress, TaskKind, Tasks, ToWorker } from "./protocol.ts";

/** The answer is no longer wanted. Nothing is wrong. */
export class Dropped extends Error {
  constructor() {
    super("no longer wanted");
    this.name = "Dropped";
  }
}

/** A task that ended in a fault. */
export class Faulted extends Error {
  readonly fault: Fault;
  constructor(fault: Fault) {
    super(fault.message);
    this.name = "Faulted";
    this.fault = fault;
  }
}

/** What the courier tells of its own accord. */
export interface News {
  progress: (progress: Progress) => void;
  /** A file came from a copy on this device. */
  kept: (kept: Kept) => void;
  /** The worker cannot go on, or could not start. Nothing more will come from it. */
  failed: (fault: Fault) => void;
}

/** A worker that has not been heard of for this long while a task waits is taken for stuck, in milliseconds. */
const STUCK_AFTER = 60_000;

/** A timer that is late by more than this was asleep, in milliseconds. */
const ASLEEP = 5_000;

interface Open {
  resolve: (answer: never) => void;
  reject: (reason: Error) => void;
}

/** One worker and the tasks that are out with it. */
export class Courier {
  readonly #worker: Worker;
  readonly #news: News;
  readonly #open = new Map<number, Open>();
  #calls = 0;
  #generation = 0;
  #awake = false;
  /** Messages that wait until the worker's file has been held against its digest; null from then on. */
  #held: ToWorker[] | null = [];
  #over = false;
  #watch: ReturnType<typeof setTimeout> | undefined;

  /**
   * @param assets the folder in which worker and engine lie; beside this script where null
   * @throws Faulted with code `no_worker` where the page may not start one
   */
  constructor(assets: string | null, news: News) {
    this.#news = news;
    const address = new URL("hostwood-worker.js", assets ?? import.meta.url).href;
    this.#worker = startWorker(address);
    void this.#check(address);
    this.#worker.addEventListener("message", (event: MessageEvent<FromWorker>) => {
      this.#hear(event.data);
    });
    this.#worker.addEventListener("error", (event) => {
      event.preventDefault();
      const code = this.#awake ? "trap" : "no_worker";
      const why = event.message === "" || event.message === undefined ? "" : ` (${event.message})`;
      const what = this.#awake ? "stopped working" : "could not be started in the background";
      this.#fail({ about: "engine", code, message: `The map ${what}${why}.` });
    });
  }

  /** Moves on to a new generation: drawings and sheets of the old one are dropped. */
  turn(): void {
    this.#generation += 1;
  }

  /** Sends one task. The promise fails with `Faulted` or `Dropped`; `signal` makes it no longer wanted. */
  send<K extends TaskKind>(kind: K, ask: Tasks[K]["ask"], signal?: AbortSignal): Promise<Tasks[K]["answer"]> {
    if (this.#over || signal?.aborted === true) return Promise.reject(new Dropped());
    this.#calls += 1;
    const call = this.#calls;
    return new Promise<Tasks[K]["answer"]>((resolve, reject) => {
      this.#open.set(call, { resolve, reject });
      signal?.addEventListener("abort", () => {
        if (this.#open.delete(call)) {
          this.#post({ cancel: call });
          reject(new Dropped());
        }
      });
      this.#post({ call, generation: this.#generation, task: { kind, ...ask } as unknown as Ask });
      // One more question is no sign of life: a watch that runs goes on.
      if (this.#watch === undefined) this.#wait();
    });
  }

  /** Ends the worker; every task that is out ends as dropped. */
  close(): void {
    if (this.#over) return;
    this.#over = true;
    clearTimeout(this.#watch);
    this.#worker.terminate();
    for (const open of this.#open.values()) open.reject(new Dropped());
    this.#open.clear();
  }

  #post(message: ToWorker): void {
    if (this.#held === null) this.#worker.postMessage(message);
    else this.#held.push(message);
  }

  /** Holds the worker's file against its digest while the worker starts; until then it is given nothing to do. */
  async #check(address: string): Promise<void> {
    try {
      if (isKnown(address)) {
        const response = await fetch(address, { credentials: "same-origin", referrerPolicy: "no-referrer" });
        if (response.ok) await hold(response, address);
      }
    } catch (error) {
      if (error instanceof Altered) {
        this.#fail({ about: "engine", code: "altered", message: error.message });
        return;
      }
      // A file that cannot be had fails the worker's own start as well, which tells it.
    }
    const held = this.#held ?? [];
    this.#held = null;
    if (this.#over) return;
    for (const message of held) this.#worker.postMessage(message);
  }

  #hear(message: FromWorker): void {
    if (this.#over) return;
    if ("awake" in message) {
      this.#awake = true;
    } else if ("progress" in message) {
      this.#news.progress(message.progress);
    } else if ("kept" in message) {
      this.#news.kept(message.kept);
    } else if ("failed" in message) {
      this.#fail(message.failed);
      return;
    } else {
      const open = this.#open.get(message.call);
      this.#open.delete(message.call);
      if ("answer" in message) {
        if (open === undefined) discard(message.answer);
        else open.resolve(message.answer as never);
      } else if ("fault" in message) {
        open?.reject(new Faulted(message.fault));
      } else {
        open?.reject(new Dropped());
      }
    }
    this.#wait();
  }

  /** Sets the watch anew; it runs only while a task is out. */
  #wait(): void {
    clearTimeout(this.#watch);
    this.#watch = undefined;
    if (this.#open.size === 0) return;
    const set = Date.now();
    this.#watch = setTimeout(() => {
      if (this.#open.size === 0) {
        this.#watch = undefined;
        return;
      }
      // A timer that comes much too late was asleep with the whole page, and so was the worker.
      if (Date.now() - set > STUCK_AFTER + ASLEEP) {
        this.#wait();
        return;
      }
      this.#fail({
        about: "engine",
        code: "stuck",
        message: `The map's engine has not answered for ${String(STUCK_AFTER / 1000)} seconds.`,
      });
    }, STUCK_AFTER);
  }

  #fail(fault: Fault): void {
    if (this.#over) return;
    this.close();
    this.#news.failed(fault);
  }
}

/** A bitmap that nobody wants any more gives its memory back at once. */
function discard(answer: unknown): void {
  if (typeof ImageBitmap !== "undefined" && answer instanceof ImageBitmap) answer.close();
}

/** The part of Trusted Types that is used; the type library does not have it. */
interface TrustedTypes {
  createPolicy(
    name: string,
    rules: { createScriptURL: (url: string) => string },
  ): { createScriptURL: (url: string) => string };
}

let policy: { createScriptURL: (url: string) => string } | null = null;

/** The worker's address, passed through the one policy `hostwood` where the page requires such a policy. */
function trusted(address: string): string {
  const types = (globalThis as { trustedTypes?: TrustedTypes }).trustedTypes;
  if (types === undefined) return address;
  try {
    policy ??= types.createPolicy("hostwood", { createScriptURL: ownWorker });
  } catch (error) {
    // The page lists other policies, or a second copy of the element has made this one. Where nothing is enforced,
    // the plain address still works; where it is, starting the worker fails and is told.
    console.warn("hostwood: the policy `hostwood` could not be made", error);
    return address;
  }
  return policy.createScriptURL(address);
}

/** The policy passes a worker of this name from the page's own site and nothing else. */
function ownWorker(address: string): string {
  const { origin, pathname } = new URL(address);
  if (origin === location.origin && pathname.endsWith("/hostwood-worker.js")) return address;
  throw new TypeError(`\`${address}\` is no worker of this page's own site`);
}

function startWorker(address: string): Worker {
  try {
    return new Worker(trusted(address), { type: "module", name: "hostwood" });
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    throw new Faulted({
      about: "engine",
      code: "no_worker",
      message: `The map's worker cannot start here: ${why}.`,
    });
  }
}
