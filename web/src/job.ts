// The job that is open: its draft, what follows from it, and its way to the workshop file.
// Nothing typed is lost: each draft is kept in the browser until the server has it, a save that
// fails is tried again, and a save that meets another one is never written over it.

import { batch, computed, effect, signal } from "@preact/signals";
import { ask, askJson, derive, Refused, Unreached, type Derived, type JobState, type Problem, type Version } from "./api";
import { at, isObject, put, type Json, type JsonObject, type Path } from "./document";
import { unitChoice } from "./settings";
import type { LengthUnit } from "./units";
import { refusalWords } from "./words";

const DERIVE_AFTER_MS = 60;
const SAVE_AFTER_MS = 400; // after a field is left
const SAVE_IDLE_MS = 4000; // while one is still in it
const RETRY_MS = 5000;

export type Saving = "saved" | "changed" | "saving" | "failed" | "conflict";
export interface Conflict {
  readonly theirs: JsonObject;
  readonly version: number; // what stands there now
}

export const state = signal<JobState | null>(null);
export const draft = signal<JsonObject>({});
export const derived = signal<Derived | null>(null);
export const saving = signal<Saving>("saved");
export const trouble = signal<string | null>(null); // why the last save failed
export const notice = signal<string | null>(null);
export const conflict = signal<Conflict | null>(null);
export const canUndo = signal(false);
export const canRedo = signal(false);

/** The list at a place of the draft; empty where there is none. */
export function listAt(path: Path): readonly Json[] {
  const found = at(draft.value, path);
  return Array.isArray(found) ? found : [];
}
/** What the job is called at the head of a page. */
export const jobTitle = computed(() => String(draft.value["name"] ?? "A job"));

export const documentUnit = computed<LengthUnit>(() => {
  const units = draft.value["units"];
  return (isObject(units) ? units["length"] : units) === "mm" ? "mm" : "in";
});
export const unit = computed<LengthUnit>(() => (unitChoice.value === "job" ? documentUnit.value : unitChoice.value));

// Areas, thicknesses of leather and money are in units of the job's own.
const unitOf = (key: string): Json | undefined => {
  const units = draft.value["units"];
  return isObject(units) ? units[key] : undefined;
};
export const documentArea = computed<"ft2" | "m2">(() =>
  (unitOf("area") ?? (documentUnit.value === "mm" ? "m2" : "ft2")) === "m2" ? "m2" : "ft2");
export const documentLeather = computed<"oz" | "mm">(() =>
  (unitOf("leather") ?? (documentUnit.value === "mm" ? "mm" : "oz")) === "mm" ? "mm" : "oz");
export const currency = computed(() => String(draft.value["currency"] ?? ""));
/** In which unit areas are shown: `in` stands for square feet, `mm` for square metres. */
export const areaSeen = computed<LengthUnit>(() =>
  unitChoice.value === "job" ? (documentArea.value === "m2" ? "mm" : "in") : unitChoice.value);

/** In which unit thicknesses of leather are shown. */
export const leatherSeen = computed<"oz" | "mm">(() =>
  unitChoice.value === "job" ? documentLeather.value : unitChoice.value === "in" ? "oz" : "mm");

export const problems = computed<readonly Problem[]>(() => derived.value?.problems ?? []);
/** What is said of a place of the document and of all in it. */
export const problemsIn = (where: string): readonly Problem[] =>
  problems.value.filter((one) => one.where === where || one.where.startsWith(`${where}.`) || one.where.startsWith(`${where}[`));
export const mistakesIn = (where: string): number => problemsIn(where).filter((one) => one.kind !== "doubt").length;

let base = 0; // the version that the draft was made from
let saveTimer = 0;
let deriveTimer = 0;
let deriving: AbortController | null = null;
let running: Promise<void> | null = null;

const textOf = (document: JsonObject): string => JSON.stringify(document, null, 2) + "\n";
const keepKey = (uid: string): string => `seatwright.draft.${uid}`;
const address = (): string => `/api/jobs/${state.value?.id ?? 0}`;

function keepDraft(): void {
  if (!state.value) return;
  try {
    localStorage.setItem(keepKey(state.value.uid), JSON.stringify({ base, draft: draft.value }));
  } catch {
    // Without room in the browser the page itself still holds it.
  }
}

function dropDraft(): void {
  try {
    if (state.value) localStorage.removeItem(keepKey(state.value.uid));
  } catch {
    // nothing was kept then
  }
}

function keptDraft(uid: string): { base: number; draft: JsonObject } | null {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(keepKey(uid)) ?? "null");
    return isObject(found) && typeof found["base"] === "number" && isObject(found["draft"])
      ? { base: found["base"], draft: found["draft"] } : null;
  } catch {
    return null;
  }
}

function deriveSoon(): void {
  clearTimeout(deriveTimer);
  deriveTimer = window.setTimeout(() => void deriveNow(), DERIVE_AFTER_MS);
}

async function deriveNow(): Promise<void> {
  deriving?.abort();
  const mine = new AbortController();
  deriving = mine;
  try {
    const found = await derive(textOf(draft.value), mine.signal);
    if (deriving === mine) derived.value = found;
  } catch (error) {
    // What is saved, or is being settled, does not fail for want of a drawing.
    if (error instanceof Unreached && saving.value === "changed") failed(error.message);
    else if (error instanceof Unreached || error instanceof Refused) notice.value = error.message;
  }
}

async function fetchDocument(id: number): Promise<{ version: number; document: JsonObject }> {
  const answer = await ask(`/api/jobs/${id}/document`);
  const version = Number((answer.headers.get("ETag") ?? "").replaceAll(/[^0-9]/g, ""));
  return { version, document: (await answer.json()) as JsonObject };
}

let asked = 0; // of all that was opened and left in a hurry, the last holds

/** Opens a job; what an earlier page could not save is taken up again. */
export async function open(id: number): Promise<void> {
  const mine = ++asked;
  if (state.value?.id === id) return;
  await flush();
  if (mine !== asked) return;
  putAway();
  const both = await Promise.all([askJson<JobState>(`/api/jobs/${id}`), fetchDocument(id)]).catch((error: unknown) => {
    if (mine === asked) throw error;
    return null;
  });
  if (!both || mine !== asked) return;
  const [job, found] = both;
  batch(() => {
    state.value = job;
    derived.value = null;
    notice.value = trouble.value = conflict.value = null;
    saving.value = "saved";
    stand(found.document, found.version);
  });
  const kept = keptDraft(job.uid);
  if (kept && textOf(kept.draft) !== textOf(found.document)) {
    draft.value = kept.draft;
    if (kept.base === found.version) {
      notice.value = "What could not be saved before is here again.";
      saving.value = "changed";
      saveSoon(0);
    } else {
      base = kept.base;
      meet(found.document, found.version);
    }
  } else {
    dropDraft();
  }
  await Promise.all([deriveNow(), askSteps()]);
}

function stand(document: JsonObject, version: number): void {
  draft.value = document;
  base = version;
}

/** Leaves the job, saved if the server can be reached. */
export async function close(): Promise<void> {
  const mine = ++asked;
  await flush();
  if (mine === asked) putAway();
}

function putAway(): void {
  if (!state.value) return;
  batch(() => {
    state.value = null;
    draft.value = {};
    derived.value = null;
    saving.value = "saved";
    conflict.value = null;
  });
}

/** Changes the draft. `done` is false while the hand is still at it. */
export function change(path: Path, value: Json | undefined, done: boolean): void {
  const before = at(draft.value, path);
  if (JSON.stringify(before) !== JSON.stringify(value)) {
    draft.value = put(draft.value, path, value) as JsonObject;
    if (saving.value === "saved") saving.value = "changed";
    keepDraft();
    deriveSoon();
    saveSoon(done ? SAVE_AFTER_MS : SAVE_IDLE_MS);
  } else if (done && saving.value === "changed") {
    saveSoon(SAVE_AFTER_MS);
  }
}

function saveSoon(after: number): void {
  if (saving.value === "conflict") return;
  clearTimeout(saveTimer);
  saveTimer = window.setTimeout(() => void flush(), after);
}

/** Saves now what is not saved; ends when it is, or has failed. */
export async function flush(): Promise<void> {
  clearTimeout(saveTimer);
  while (running) await running;
  if (saving.value !== "changed" && saving.value !== "failed") return;
  running = save().finally(() => {
    running = null;
  });
  await running;
}

async function save(): Promise<void> {
  const sent = draft.value;
  saving.value = "saving";
  try {
    const next = await askJson<JobState>(`${address()}/document`, { method: "PUT", body: textOf(sent), ifMatch: base });
    batch(() => {
      if (next.version !== base) {
        canUndo.value = true;
        canRedo.value = false;
      }
      base = next.version;
      state.value = next;
      trouble.value = null;
      saving.value = draft.value === sent ? "saved" : "changed";
    });
    if (draft.value === sent) {
      dropDraft();
    } else {
      keepDraft(); // made from what was just saved
      saveSoon(SAVE_AFTER_MS);
    }
  } catch (error) {
    await notSaved(error);
  }
}

async function notSaved(error: unknown): Promise<void> {
  if (error instanceof Refused && error.status === 412) {
    try {
      const { version, document } = await fetchDocument(state.value?.id ?? 0);
      meet(document, version);
    } catch {
      failed("somebody else saved meanwhile, and the server was not reached then");
    }
  } else {
    failed(refusalWords(error));
  }
}

// A draft that equals what the other saved is no conflict.
function meet(theirs: JsonObject, version: number): void {
  if (textOf(theirs) === textOf(draft.value)) {
    base = version;
    conflict.value = null;
    saving.value = "saved";
    trouble.value = null;
    if (state.value) state.value = { ...state.value, version };
    dropDraft();
    return;
  }
  batch(() => {
    saving.value = "conflict";
    conflict.value = { theirs, version };
  });
}

function failed(why: string): void {
  batch(() => {
    saving.value = "failed";
    trouble.value = why;
  });
  clearTimeout(saveTimer);
  saveTimer = window.setTimeout(() => void flush(), RETRY_MS);
}

/** Ends a conflict: theirs goes on; mine stays in the history beside it, or is dropped. */
export async function settle(choice: "beside" | "theirs" | "mine"): Promise<void> {
  const met = conflict.value;
  const before = draft.value;
  if (!met || !state.value) return;
  try {
    let kept: Version | null = null;
    if (choice !== "theirs") {
      kept = await askJson<Version>(`${address()}/versions?call=${encodeURIComponent("kept beside")}`,
        { method: "POST", body: textOf(draft.value), ifMatch: base });
    }
    if (choice === "mine" && kept) {
      await ask(`${address()}/go?version=${kept.version}`, { method: "POST", ifMatch: met.version });
    }
    if (!await takePresent(before)) return;
    notice.value = choice === "beside" && kept
      ? `Yours is kept as version ${kept.version}; this is theirs.`
      : choice === "mine" ? "This is yours; theirs stays in the history." : "This is theirs.";
  } catch (error) {
    if (error instanceof Refused && error.status === 412) await notSaved(error);
    else notice.value = refusalWords(error);
  }
}

// Takes what stands in the workshop file, unless something was typed since `before`, or another job
// is open by now: what was typed is saved in its turn, and meets the other then.
async function takePresent(before: JsonObject): Promise<boolean> {
  const id = state.value?.id ?? 0;
  const [job, found] = await Promise.all([askJson<JobState>(`/api/jobs/${id}`), fetchDocument(id)]);
  if (state.value?.id !== id || draft.value !== before) return false;
  batch(() => {
    state.value = job;
    stand(found.document, found.version);
    conflict.value = null;
    trouble.value = null;
    saving.value = "saved";
  });
  dropDraft();
  await Promise.all([deriveNow(), askSteps()]);
  return true;
}

async function askSteps(): Promise<void> {
  const of = state.value?.uid;
  const list = await askJson<{ versions: Version[] }>(`${address()}/versions`);
  if (state.value?.uid !== of) return;
  const present = list.versions.find((one) => one.version === base);
  batch(() => {
    canUndo.value = (present?.base ?? 0) > 0;
    canRedo.value = (present?.redo ?? 0) > 0;
  });
}

/** One step back or forward in the history; what is not saved yet is saved first. */
export const step = (which: "undo" | "redo"): Promise<void> => move(which);

/** To any version; undo then goes to what that was made from. */
export const goTo = (version: number): Promise<void> => move(`go?version=${version}`);

let moves = Promise.resolve(); // each begins where the one before it ended

function move(how: string): Promise<void> {
  const of = state.value?.uid;
  moves = moves.then(() => moveNow(how, of));
  return moves;
}

async function moveNow(how: string, of: string | undefined): Promise<void> {
  await flush();
  if (saving.value !== "saved" || !state.value || state.value.uid !== of) return;
  const before = draft.value;
  try {
    await ask(`${address()}/${how}`, { method: "POST", ifMatch: base });
    await takePresent(before);
  } catch (error) {
    if (error instanceof Refused && error.status === 412) await takePresent(before).catch(() => false);
    notice.value = refusalWords(error);
  }
}

/** Looks whether somebody else saved; takes theirs when nothing of ours is open. */
export async function lookAgain(): Promise<void> {
  if (!state.value || saving.value !== "saved") return;
  const before = draft.value;
  try {
    const now = await askJson<JobState>(`/api/jobs/${state.value.id}`);
    if (now.version !== base && saving.value === "saved") {
      if (await takePresent(before)) notice.value = "Somebody else saved this job; this is how it stands now.";
    }
  } catch {
    // The next save says whether the server is there.
  }
}

// Closing the page saves too, as far as a browser lets it: 60 KiB.
addEventListener("pagehide", () => {
  if ((saving.value === "changed" || saving.value === "failed") && state.value) {
    void ask(`${address()}/document`, { method: "PUT", body: textOf(draft.value), ifMatch: base, keepalive: true })
      .catch(() => undefined);
  }
});
addEventListener("focus", () => void lookAgain());
addEventListener("online", () => void flush());

effect(() => {
  document.title = state.value ? `${jobTitle.value} – workshop` : "The workshop";
});
