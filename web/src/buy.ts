// What is asked of the server about buying: how much, what would save, one hide or several. It
// goes on while another page is looked at, and is found again after reloading.

import { effect, signal, type Signal } from "@preact/signals";
import { askJson, Refused, type Problem } from "./api";
import { flush, saving, state } from "./job";
import { stopWork, watchWork, type Work } from "./work";

export interface CurvePoint {
  readonly area_mm2: number;
  readonly chance: number;
  readonly low: number;
  readonly high: number;
}
export interface RuleOfThumb {
  readonly rule: string;
  readonly reckoned: string;
  readonly area_mm2: number;
  readonly against: number | null;
  readonly chance: number;
}
export interface RankedOffer {
  readonly offer: string;
  readonly buy: string;
  readonly chance: number;
  readonly reaches_comfort: boolean;
  readonly sure: { readonly chance_low: number; readonly chance_high: number };
  readonly bill: { readonly expected: { readonly area_mm2: number; readonly lines: Readonly<Record<string, number>>; readonly total: number } };
  readonly expected_cost: number;
  readonly price: number;
  readonly per: string;
  readonly price_to_win: number | null;
  readonly days?: number;
}
export interface Buying {
  readonly form: string;
  readonly pieces: number;
  readonly grade: string;
  readonly lets_through: string;
  readonly comfort: number;
  readonly trials: number;
  readonly precise: boolean;
  readonly stopped: boolean;
  readonly area_mm2: number | null;
  readonly area_low_mm2: number | null;
  readonly area_high_mm2: number | null;
  readonly advice: string;
  readonly curve: readonly CurvePoint[];
  readonly rules: readonly RuleOfThumb[];
  readonly other_form: { readonly advice: string } | null;
  readonly offers: {
    readonly currency: string;
    readonly advice: string;
    readonly explained: readonly string[];
    readonly ranking: readonly RankedOffer[];
  } | null;
}
export interface Thrift {
  readonly picked: number;
  readonly stopped: boolean;
  readonly price?: { readonly of: string; readonly currency: string; readonly per_ft2: number };
  readonly savings: readonly {
    readonly change: string;
    readonly cost: string;
    readonly saves_mm2: number;
    readonly low_mm2: number | null;
    readonly high_mm2: number | null;
    readonly saves: boolean;
    readonly pairs: number;
    readonly money?: number;
  }[];
}
export interface Split {
  readonly stopped: boolean;
  readonly advice: string;
  readonly hides: readonly {
    readonly area_mm2: number | null;
    readonly chance: number;
    readonly low: number;
    readonly high: number;
    readonly cut_mm2: number;
    readonly chairs: readonly { readonly cover: string; readonly seat: string; readonly chair: string | null; readonly count: number }[];
  }[];
}

/** One question as it stands. */
export interface Trying<T> {
  readonly work: Work | null;
  readonly found: T | null; // so far, or in the end
  readonly problems: readonly Problem[];
  readonly why: string | null; // nothing came of it
}

const refused = (why: Error): Pick<Trying<unknown>, "problems" | "why"> => ({ problems: why instanceof Refused ? why.problems : [], why: why.message });

const nothing = { work: null, found: null, problems: [], why: null };
export const much = signal<Trying<Buying>>(nothing);
export const thrift = signal<Trying<Thrift>>(nothing);
export const split = signal<Trying<Split>>(nothing);

export type Question = "much" | "thrift" | "split";
const questions: Readonly<Record<Question, Signal<Trying<unknown>>>> = {
  much: much as Signal<Trying<unknown>>, thrift: thrift as Signal<Trying<unknown>>, split: split as Signal<Trying<unknown>>,
};
const words: Readonly<Record<Question, Readonly<Record<string, string>>>> = { much: {}, thrift: { thrift: "1" }, split: { split: "1" } };

export const isRunning = (one: Trying<unknown>): boolean => one.work?.state === "running";

/** How the hides are that are drawn; the same for all questions. */
export interface Options {
  readonly grade: string;
  readonly form: string;
  readonly pieces: string; // "" where the program is to find out
  readonly precision: string;
  readonly offers: boolean;
}
export const options = signal<Options>({ grade: "", form: "whole", pieces: "", precision: "", offers: true });

function parametersOf(question: Question): string {
  const chosen = options.value;
  const query = new URLSearchParams(words[question]);
  if (chosen.grade !== "") query.set("grade", chosen.grade);
  query.set("form", chosen.form);
  if (chosen.pieces !== "") query.set("pieces", chosen.pieces);
  if (question === "much") {
    if (chosen.precision !== "") query.set("precision", chosen.precision);
    if (!chosen.offers) query.set("offers", "0");
  }
  return query.toString();
}

const lookAway: Partial<Record<Question, () => void>> = {};

function watch(question: Question, work: Work): void {
  const asked = questions[question];
  const change = (part: Partial<Trying<unknown>>): void => { asked.value = { ...asked.value, ...part }; };
  lookAway[question]?.();
  lookAway[question] = watchWork<unknown>(work.work, "curve", {
    told: (now) => change({ work: now }),
    soFar: (found) => change({ found }),
    ended: (now, found) => change({ work: now, found }),
    failed: (why) => change({ ...refused(why), work: asked.value.work && { ...asked.value.work, state: "failed" } }),
  });
}

const noteKey = (): string => `seatwright.buying.${state.value?.uid ?? ""}`;
type Notes = Partial<Record<Question, { readonly work: number; readonly begun_ms: number }>>;

function notes(): Notes {
  try {
    return (JSON.parse(sessionStorage.getItem(noteKey()) ?? "{}") ?? {}) as Notes;
  } catch {
    return {};
  }
}

function note(question: Question, { work, begun_ms }: Work): void {
  try {
    sessionStorage.setItem(noteKey(), JSON.stringify({ ...notes(), [question]: { work, begun_ms } }));
  } catch {
    // It is only not found again after reloading.
  }
}

/** Saves the job, and asks anew. */
export async function begin(question: Question): Promise<void> {
  const asked = questions[question];
  await flush();
  if (saving.value !== "saved" || !state.value) return;
  try {
    const work = await askJson<Work>(`/api/jobs/${state.value.id}/buy?${parametersOf(question)}`, { method: "POST" });
    asked.value = { work, found: null, problems: [], why: null };
    note(question, work);
    watch(question, work);
  } catch (error) {
    asked.value = { work: null, found: asked.value.found, ...refused(error as Error) };
  }
}

/** What is known by then stays. */
export async function stop(question: Question): Promise<void> {
  const work = questions[question].value.work;
  if (work) await stopWork(work.work).catch((error: Error) => { questions[question].value = { ...questions[question].value, why: error.message }; });
}

// Another job is another matter; what was asked for it before is looked for again.
async function findAgain(job: number): Promise<void> {
  for (const question of Object.keys(questions) as Question[]) {
    lookAway[question]?.();
    questions[question].value = nothing;
    const noted = notes()[question];
    if (!noted) continue;
    const work = await askJson<Work>(`/api/work/${noted.work}`).catch(() => null);
    const same = work !== null && work.kind === "buying" && work.job === job && work.begun_ms === noted.begun_ms;
    if (!same || state.value?.id !== job) continue;
    questions[question].value = { ...nothing, work };
    watch(question, work);
  }
}

let shown = 0;
effect(() => {
  const job = state.value?.id ?? 0;
  if (job === shown) return;
  shown = job;
  void findAgain(job);
});
