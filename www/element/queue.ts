/**
 * Which task the worker does next.
 *
 * In: numbered tasks of a generation, and cancellations. Out: one task at a time, the visitor's questions before
 * drawing; tasks that were cancelled, or drawn for an older generation, are handed back as dropped. Left to others:
 * doing the tasks (hostwood-worker.ts).
 */
import type { Ask, TaskKind } from "./protocol.ts";

/** One task that waits. */
export interface Waiting {
  call: number;
  generation: number;
  task: Ask;
}

/** Lower comes first: what changes the state, then what the visitor waits for, then drawing, then what nobody waits for. */
const RANK: Record<TaskKind, number> = {
  open: 0,
  rules: 0,
  weather: 0,
  visit: 0,
  standAt: 1,
  stand: 1,
  neighbour: 1,
  sheet: 1,
  outline: 1,
  geojson: 1,
  list: 1,
  wishes: 1,
  context: 1,
  checkRules: 1,
  tryCrosswalk: 1,
  fungi: 1,
  year: 1,
  calendar: 1,
  plan: 1,
  gpx: 1,
  occurrence: 1,
  harvest: 1,
  swatches: 2,
  tile: 3,
  overlaps: 4,
};

/** Whether an answer is worthless once the generation has moved on. */
const PASSES: Record<TaskKind, boolean> = {
  open: true,
  rules: true,
  weather: false,
  visit: true,
  standAt: false,
  stand: false,
  neighbour: false,
  sheet: true,
  outline: false,
  geojson: true,
  list: true,
  wishes: false,
  context: false,
  checkRules: false,
  tryCrosswalk: false,
  fungi: false,
  year: true,
  calendar: true,
  plan: true,
  gpx: false,
  occurrence: false,
  harvest: true,
  swatches: true,
  tile: true,
  overlaps: false,
};

/** The tasks that wait, in the order in which they will be done. */
export class Queue {
  #waiting: Waiting[] = [];
  #generation = 0;

  /** Adds a task; returns the calls that it makes worthless. */
  push(waiting: Waiting): number[] {
    const dropped: number[] = [];
    if (waiting.generation > this.#generation) {
      this.#generation = waiting.generation;
      this.#waiting = this.#waiting.filter((one) => {
        const keep = !PASSES[one.task.kind];
        if (!keep) dropped.push(one.call);
        return keep;
      });
    }
    if (waiting.generation < this.#generation && PASSES[waiting.task.kind]) {
      dropped.push(waiting.call);
    } else {
      this.#waiting.push(waiting);
    }
    return dropped;
  }

  /** Takes a task out again; says whether it was still waiting. */
  cancel(call: number): boolean {
    const before = this.#waiting.length;
    this.#waiting = this.#waiting.filter((one) => one.call !== call);
    return this.#waiting.length < before;
  }

  /** The next task, or undefined where none waits. */
  next(): Waiting | undefined {
    let best = 0;
    for (let at = 1; at < this.#waiting.length; at += 1) {
      if (rank(this.#waiting[at]) < rank(this.#waiting[best])) best = at;
    }
    return this.#waiting.splice(best, 1)[0];
  }
}

function rank(waiting: Waiting | undefined): number {
  return waiting === undefined ? Number.POSITIVE_INFINITY : RANK[waiting.task.kind];
}
