// What the page of the bench keeps in this browser, so that it goes on without a network: the
// steps of each job, where one was, and ticks that wait to be told.

import type { Bench } from "./bench_steps";
import { isObject } from "./document";
import type { Tick, Ticks } from "./ticks";

export interface KeptBench {
  readonly uid: string; // of the job: numbers of jobs are of a workshop file only
  readonly version: number;
  readonly bench: Bench;
  readonly at: string; // name of the step that is shown
  readonly ticks: Ticks; // as far as they are known here
  readonly waiting: readonly Tick[];
}

const keyOf = (job: number): string => `seatwright.bench.${job}`;

export function readKept(job: number): KeptBench | null {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(keyOf(job)) ?? "null");
    return isObject(found) && typeof found["uid"] === "string" && Array.isArray(found["waiting"]) ? (found as unknown as KeptBench) : null;
  } catch {
    return null;
  }
}

/** False when the browser has no room: then only the open page holds it. */
export function writeKept(job: number, kept: KeptBench): boolean {
  try {
    localStorage.setItem(keyOf(job), JSON.stringify(kept));
    return true;
  } catch {
    return false;
  }
}

/** A name for this browser, made once: nothing of the person or the machine is in it. */
export function deviceName(): string {
  const key = "seatwright.device";
  try {
    const known = localStorage.getItem(key);
    if (known) return known;
    const sort = matchMedia("(pointer: coarse)").matches ? "phone" : "desk";
    const name = `${sort} ${crypto.getRandomValues(new Uint16Array(1))[0]?.toString(16).padStart(4, "0") ?? "0"}`;
    localStorage.setItem(key, name);
    return name;
  } catch {
    return "browser";
  }
}
