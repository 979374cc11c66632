// The layout under the hands: what lies where, what the server says of it, the search that goes on,
// and the way back. Nothing is judged here: every move is asked of the server.

import { batch, computed, signal } from "@preact/signals";
import { Refused } from "./api";
import { change, flush, notice, state } from "./job";
import {
  asLaid, begin, countingOf, keepAtHand, layTable, letterOf, reportOf, runningOf, shapeOf, snapPlace, tryPlace,
  type Answer, type Found, type Laid, type Place, type Report, type Result, type Shape, type Tried,
} from "./layout_api";
import { pathOf } from "./document";
import { refusalWords } from "./words";
import { stopWork, watchWork, type Work } from "./work";

const FIRST_TIMES = 3; // of the job's own work
const ON_TIMES = 12; // when somebody says: go on
const FIT_TIMES = 8;
export const REACH_MM = 25;
const SETTLE_AFTER_MS = 500; // after the last key
const BACK_MAX = 200;

export const shape = signal<Shape | null>(null);
export const laid = signal<readonly Laid[]>([]);
export const report = signal<Report | null>(null); // null while something is on the move
export const reasons = signal<Result["unplaced"]>([]);
export const chosen = signal<number | null>(null);
export const hideAt = signal(0);
export const search = signal<Work | null>(null); // that goes on
export const fitting = signal<Work | null>(null);
export const fit = signal<Result["fit"] | null>(null);
export const trouble = signal<string | null>(null);
export const said = signal(""); // told to who cannot see it
export const swapping = signal(false);
export const snapping = signal(true);
/** What papers and the bench follow, when it is known; it need not be what lies here. */
export const counting = signal<Kept | null>(null);
export const moving = signal<{ readonly index: number; readonly tried: Tried | null } | null>(null);

interface Kept {
  readonly layout: number; // its number among those that are kept
  readonly laid: readonly Laid[];
}

let past: (readonly Laid[])[] = [];
let future: (readonly Laid[])[] = [];
const steps = signal(0); // counts changes of both
export const canBack = computed(() => steps.value >= 0 && past.length > 0);
export const canForth = computed(() => steps.value >= 0 && future.length > 0);

let job = 0;
let uid = ""; // of the job
let version = 0;
let table: number | null = null;
let tableOf: readonly Laid[] | null = null; // what the table has
let unfollow: (() => void) | null = null;
let unfollowFit: (() => void) | null = null;
let turn = 0; // what is asked for an older layout is dropped when its answer comes
let seed = 0;
let settleTimer = 0;
let burst: readonly Laid[] | null = null; // where it lay before several small steps in a row
let carried = false;

/** A cover is carried by hand, or no longer. */
export function carry(now: boolean): void {
  carried = now;
}

const keyOf = (): string => `seatwright.layout.${uid}`;
interface Remembered {
  readonly laid: readonly Laid[];
  readonly counted: number; // the layout that counted then
}
const known = new Map<string, Remembered>(); // `uid version`: what lay there

function remember(): void {
  const counted = counting.value?.layout ?? 0;
  known.set(`${uid} ${version}`, { laid: laid.value, counted });
  try {
    localStorage.setItem(keyOf(), JSON.stringify({ version, laid: laid.value, counted }));
  } catch {
    // Without room in the browser the page itself still holds it.
  }
}

function remembered(): Remembered | null {
  const here = known.get(`${uid} ${version}`);
  if (here) return here;
  try {
    const found = JSON.parse(localStorage.getItem(keyOf()) ?? "null") as { version?: unknown; laid?: unknown; counted?: unknown } | null;
    return found?.version === version && Array.isArray(found.laid) && typeof found.counted === "number"
      ? { laid: found.laid as Laid[], counted: found.counted } : null;
  } catch {
    return null;
  }
}

// What lay here when the page was left, unless another layout was made to count meanwhile, on
// another device or by keeping one.
async function whatLies(): Promise<readonly Laid[] | null> {
  const mine = turn;
  const { layout, laid: found } = await countingOf(job, version);
  if (mine !== turn) return null;
  const counts = found && asLaid(found.placements);
  const here = remembered();
  counting.value = layout > 0 && counts ? { layout, laid: counts } : null;
  return here && (layout === 0 || layout === here.counted) ? here.laid : counts;
}

export const counts = computed(() => counting.value !== null && JSON.stringify(counting.value.laid) === JSON.stringify(laid.value));

// What is in order here is what papers and the bench are to follow.
async function makeItCount(list: readonly Laid[], before = counting.value?.layout ?? 0): Promise<void> {
  const of = { job, version };
  if (counts.value) return;
  const layout = await keepAtHand(job, version, list, before);
  if (of.job !== job || of.version !== version) return;
  counting.value = { layout, laid: list };
  remember();
}

/** The page comes to stand at a version of the job: what lay there before, or a search of its own. */
export async function standAt(id: number, at: number): Promise<void> {
  if (id === job && at === version && shape.value) return;
  leave();
  const before = id === job ? laid.value : [];
  job = id;
  uid = state.value?.uid ?? "";
  version = at;
  const mine = ++turn;
  batch(() => {
    if (before.length === 0) laid.value = [];
    report.value = null;
    chosen.value = null;
    counting.value = null;
    fit.value = null;
    trouble.value = null;
    reasons.value = [];
    past = [];
    future = [];
    steps.value++;
  });
  try {
    const [found, old] = await Promise.all([shapeOf(id, at), whatLies()]);
    if (mine !== turn) return;
    batch(() => {
      shape.value = found;
      hideAt.value = Math.min(hideAt.value, Math.max(found.hides.length - 1, 0));
      laid.value = stillThere(old ?? before, found);
    });
    if (!found.good || found.hides.length === 0) return;
    const running = await runningOf(id, at);
    if (mine !== turn) return;
    if (running) watch(running);
    else if (old && old.length > 0) await settle();
    else await goOn(FIRST_TIMES);
  } catch (error) {
    if (mine === turn) trouble.value = refusalWords(error);
  }
}

// What of an older layout there still is.
function stillThere(list: readonly Laid[], now: Shape): readonly Laid[] {
  const count = new Map<string, number>();
  return list.filter((one) => {
    const cover = now.covers.find((other) => other.name === one.cover);
    const used = count.get(one.cover) ?? 0;
    count.set(one.cover, used + 1);
    return cover !== undefined && used < cover.count && now.hides.some((hide) => hide.name === one.hide);
  });
}

/** The page is left; the search goes on by itself and is found again. */
export function leave(): void {
  if (burst) remember(); // small steps that were not judged yet
  burst = null;
  clearTimeout(settleTimer);
  unfollow?.();
  unfollowFit?.();
  unfollow = unfollowFit = null;
  search.value = fitting.value = null;
  table = null;
  tableOf = null;
  shape.value = null;
}

// ---- The search

function watch(work: Work): void {
  turn++;
  search.value = work;
  unfollow?.();
  unfollow = watchWork<Result>(work.work, "layout", {
    told: (now) => { search.value = now; },
    soFar: ({ placements }) => {
      batch(() => {
        laid.value = asLaid(placements);
        report.value = null;
      });
    },
    ended: (_, found) => {
      batch(() => {
        search.value = null;
        laid.value = asLaid(found.placements);
        reasons.value = found.unplaced;
        said.value = "The search has ended.";
      });
      void settle();
    },
    failed: (why) => {
      search.value = null;
      if (!(why instanceof Refused && why.status === 409)) trouble.value = refusalWords(why); // 409: it was stopped
      void settle();
    },
  });
}

// One that has ended meanwhile cannot be stopped, and need not be.
const stop = (work: Work): Promise<void> => stopWork(work.work).catch(() => undefined);

/** Begins a search with what lies there; what is locked stays. */
export async function goOn(times = ON_TIMES): Promise<void> {
  await flush();
  if (state.value?.version !== version) return; // the page comes to stand at the new one
  trouble.value = null;
  push();
  const list = laid.value;
  try {
    const work = await begin("lay", job, version, list, `&times=${times}${seed > 0 ? `&seed=${seed}` : ""}`);
    seed++;
    if (laid.value !== list) { // a hand was faster
      await stop(work);
      return;
    }
    fit.value = null;
    watch(work);
  } catch (error) {
    trouble.value = refusalWords(error);
  }
}

/** Stops it; the best so far stays. */
export async function halt(): Promise<void> {
  if (search.value) await stop(search.value);
}

// A hand takes hold while the search goes on: it is stopped, and what is seen stays.
export function takeOver(): void {
  if (!search.value) return;
  takeOverQuietly();
  turn++;
  void settle();
}

// ---- Moves

function push(): void {
  if (laid.value.length === 0 && past.length === 0) return;
  past = [...past.slice(-BACK_MAX), laid.value];
  future = [];
  steps.value++;
}

/** Lays the table with what lies there, and asks how it stands. */
async function settle(): Promise<void> {
  clearTimeout(settleTimer);
  burst = null;
  const mine = ++turn;
  const list = laid.value;
  remember();
  try {
    const next = await layTable(job, version, list, table);
    table = next;
    tableOf = list;
    const found = await reportOf(next);
    if (mine !== turn || laid.value !== list) return;
    batch(() => {
      report.value = found;
      if (!carried) moving.value = null;
    });
    if (found.faulty === 0 && list.length > 0 && !search.value) await makeItCount(list);
  } catch (error) {
    if (mine === turn) trouble.value = refusalWords(error);
  }
}

/** A layout was kept or put away: what lies here counts again, if it is in order. */
export async function countAgain(): Promise<void> {
  const before = counting.value?.layout ?? 0;
  counting.value = null;
  if (report.value?.faulty === 0 && laid.value.length > 0) await makeItCount(laid.value, before);
}

/** A change of the whole layout, which can be taken back. */
export function put(list: readonly Laid[]): void {
  takeOverQuietly();
  push();
  batch(() => {
    trouble.value = null;
    laid.value = list;
    report.value = null;
    reasons.value = [];
  });
  void settle();
}

export const replaced = (index: number, by: Partial<Laid>): Laid[] => laid.value.map((one, i) => (i === index ? { ...one, ...by } : one));

export function back(): void {
  const to = past.pop();
  if (!to) return;
  future.push(laid.value);
  go(to);
}
export function forth(): void {
  const to = future.pop();
  if (!to) return;
  past.push(laid.value);
  go(to);
}
function go(to: readonly Laid[]): void {
  takeOverQuietly();
  batch(() => {
    trouble.value = null;
    steps.value++;
    laid.value = to;
    report.value = null;
    if (chosen.value !== null && chosen.value >= to.length) chosen.value = null;
  });
  void settle();
}
function takeOverQuietly(): void {
  if (!search.value) return;
  void stop(search.value);
  unfollow?.();
  unfollow = null;
  search.value = null;
}

// One question at a time; of the places that come meanwhile the newest is asked next.
let asking = false;
let next: { index: number; hide: number; at: Place } | null = null;

export function check(index: number, hide: number, at: Place): void {
  next = { index, hide, at };
  if (!asking) void askNext();
}
async function askNext(): Promise<void> {
  asking = true;
  while (next) {
    const { index, hide, at } = next;
    next = null;
    if (table === null) break;
    try {
      const tried = await tryPlace(table, index, hide, at);
      if (moving.value?.index === index) moving.value = { index, tried };
    } catch (error) {
      if (error instanceof Refused && error.status === 404) await again();
    }
  }
  asking = false;
}

// The server keeps the last tables only: it is laid again.
async function again(): Promise<void> {
  if (tableOf) table = await layTable(job, version, tableOf, null).catch(() => null);
}

/** Puts a cover down: snapped to where it touches, when `reach` mm are more than 0. */
export async function putDown(index: number, at: Place, reach: number): Promise<void> {
  const one = laid.value[index];
  const hide = shape.value?.hides.findIndex((other) => other.name === one?.hide) ?? -1;
  let to = at;
  const list = laid.value;
  if (reach > 0 && table !== null && hide >= 0) {
    try {
      const there = await snapPlace(table, index, hide, at, reach);
      if (there.found) to = { x_mm: there.x_mm, y_mm: there.y_mm, turn_deg: there.turn_deg };
      said.value = there.found ? "It touches now." : "Nothing to touch is within reach.";
    } catch {
      // It stays where it was put.
    }
  }
  if (laid.value === list) put(replaced(index, to));
}

/** A small step by keys or buttons; several in a row are taken back together. */
export function nudge(index: number, to: Place): void {
  const one = laid.value[index];
  if (!one || !shape.value) return;
  takeOverQuietly();
  if (!burst) {
    burst = laid.value;
    push();
  }
  turn++;
  batch(() => {
    laid.value = replaced(index, to);
    report.value = null;
    if (moving.value?.index !== index) moving.value = { index, tried: null };
  });
  check(index, shape.value.hides.findIndex((hide) => hide.name === one.hide), to);
  clearTimeout(settleTimer);
  settleTimer = window.setTimeout(() => void settle(), SETTLE_AFTER_MS);
}

export function swap(a: number, b: number): void {
  const [one, other] = [laid.value[a], laid.value[b]];
  swapping.value = false;
  if (!one || !other || a === b) return;
  if (one.locked || other.locked) {
    said.value = "It is locked.";
    return;
  }
  const placeOf = ({ hide, x_mm, y_mm, turn_deg }: Laid) => ({ hide, x_mm, y_mm, turn_deg });
  put(laid.value.map((each, i) => (i === a ? { ...each, ...placeOf(other) } : i === b ? { ...each, ...placeOf(one) } : each)));
  said.value = "They are swapped.";
}

export function lock(index: number, locked: boolean): void {
  put(replaced(index, { locked }));
  said.value = locked ? "It is locked: a search leaves it there." : "It is free again.";
}

// ---- What would make it fit

export async function lookForFit(): Promise<void> {
  await flush();
  trouble.value = null;
  const mine = turn;
  try {
    const work = await begin("fit", job, version, laid.value, `&times=${FIT_TIMES}`);
    fitting.value = work;
    unfollowFit?.();
    unfollowFit = watchWork<Result>(work.work, null, {
      told: (now) => { fitting.value = now; },
      ended: (_, found) => {
        fitting.value = null;
        fit.value = found.fit ?? { bound: { wanted: 0, most: 0 }, answers: [], failed: [] };
        if (!found.fit && mine === turn) put(asLaid(found.placements)); // it fits after all
      },
      failed: (why) => {
        fitting.value = null;
        trouble.value = refusalWords(why);
      },
    });
  } catch (error) {
    trouble.value = refusalWords(error);
  }
}
export async function haltFit(): Promise<void> {
  if (fitting.value) await stop(fitting.value);
}

/** Makes an answer's changes in the job, and lays its layout there. */
export async function tryAnswer(answer: Answer): Promise<void> {
  remember();
  for (const { where, value } of answer.changes) change(pathOf(where), value ?? undefined, true);
  await flush();
  const now = state.value;
  if (!now) return;
  if (now.version === version) {
    trouble.value = "the job could not be changed so";
    return;
  }
  try {
    const found = await shapeOf(now.id, now.version);
    known.set(`${now.uid} ${now.version}`, { laid: renamed(answer.placements, found), counted: 0 });
    notice.value = `Tried: ${answer.change}. Undo at the top takes it back.`;
    await standAt(now.id, now.version);
  } catch (error) {
    trouble.value = refusalWords(error);
  }
}

// Letters follow the order of the job, so that they may be others now.
function renamed(list: readonly Found[], now: Shape): Laid[] {
  return asLaid(list).map((one, i) => {
    const cover = now.covers.find((other) => other.seat === list[i]?.seat && other.chair === list[i]?.chair);
    return { ...one, cover: cover?.name ?? letterOf(one.cover) };
  });
}
export const standing = (): { readonly job: number; readonly version: number } => ({ job, version });
