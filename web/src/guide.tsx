// The first visit: a way through the demo job, a few steps that each point at what to do on the
// real page. It stands above the page and never in front of it; leaving it is remembered.

import { effect, signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { ask, askJson, type Example, type JobState } from "./api";
import { draft, state } from "./job";
import { placeNamed } from "./places";
import { placeAddress, route } from "./route";
import { guideChoice } from "./settings";

const DEMO = "rowing-club";
const LOOK_EVERY_MS = 300; // for what is pointed at: pages come when their answers do

interface Step {
  readonly place: string;
  readonly at: string; // what it points at
  readonly say: string;
}

const STEPS: readonly Step[] = ([
  ["seats", "#at-seats-0--frame-front",
    "These are the measures of one kind of chair. Change Front, or drag a round handle on the drawing: the cover is drawn anew and saved by itself. Undo takes it back."],
  ["leather", "[aria-labelledby=how-much]",
    "Which leather suits these chairs, and why. Further down the covers are tried on drawn hides: so large a hide is enough 19 times in 20."],
  ["hide", ".board",
    "The hide as the tape reads it, with its flaws and soft parts. Choose a flaw and move it, or press Take away."],
  ["layout", ".board",
    "Look for a layout and watch it get better. Then drag a cover: what is wrong with a place is said while you move, and it snaps to its neighbours."],
  ["papers", "main ul, main .tools",
    "What goes to the bench: chalk map, marks as tape readings, full-size templates. Look at a page, then print it at 100 %."],
  ["at-the-bench", "main .strong",
    "One step after the other in large letters, for a phone that lies beside the hide. Tick what is done; it stays ticked."],
] as const).map(([place, at, say]) => ({ place, at, say }));

const nameOf = (place: string): string => placeNamed(place)?.name ?? place;

/** The name of the demo job; null until it is known. */
const demoName = signal<string | null>(null);
async function findDemo(): Promise<string> {
  const { examples } = await askJson<{ examples: Example[] }>("/api/examples");
  const name = examples.find((one) => one.example === DEMO)?.name ?? "";
  demoName.value = name;
  return name;
}
effect(() => {
  if (guideChoice.value !== "left" && demoName.peek() === null) findDemo().catch(() => undefined);
});

// Marks what a step points at, for as long as it is there.
function usePointer(selector: string | null): void {
  useEffect(() => {
    if (selector === null) return undefined;
    let marked: Element | null = null;
    const mark = (): void => {
      const found = document.querySelector(selector);
      if (found === marked) return;
      marked?.removeAttribute("data-guided");
      found?.setAttribute("data-guided", "");
      marked = found;
    };
    mark();
    const timer = setInterval(mark, LOOK_EVERY_MS);
    return () => {
      clearInterval(timer);
      marked?.removeAttribute("data-guided");
    };
  }, [selector]);
}

function goToTarget(selector: string): void {
  const found = document.querySelector<HTMLElement>(selector);
  if (!found) return;
  const reached = found.matches("input, button, a, select, textarea") ? found
    : found.querySelector<HTMLElement>("input, button, a, select, textarea, [tabindex]") ?? found;
  found.scrollIntoView({ block: "center" });
  reached.focus({ preventScroll: true });
}

/** The strip with the step of the page that is shown; nothing on other jobs, or once it was left. */
export function Guide() {
  const here = route.value;
  const isDemo = here.page === "place" && state.value?.id === here.job && demoName.value !== null && draft.value["name"] === demoName.value;
  const at = guideChoice.value !== "left" && isDemo && here.page === "place" ? STEPS.findIndex((step) => step.place === here.place) : -1;
  const step = STEPS[at];
  usePointer(step?.at ?? null);
  if (!step || here.page !== "place") return null;
  const next = STEPS[at + 1];
  return (
    <aside class="guide" aria-label="The way through the demo">
      <p aria-live="polite"><strong>Step {at + 1} of {STEPS.length}, {nameOf(step.place)}.</strong> {step.say}</p>
      <div class="actions">
        <button type="button" onClick={() => goToTarget(step.at)}>Show me where</button>
        {next ? <button type="button" class="strong" onClick={() => { location.hash = placeAddress(here.job, next.place); }}>Next: {nameOf(next.place)}</button>
          : <button type="button" class="strong" onClick={() => { guideChoice.value = "left"; }}>That was all</button>}
        {next && <button type="button" class="quiet" onClick={() => { guideChoice.value = "left"; }}>Leave the guide</button>}
      </div>
    </aside>
  );
}

async function begin(): Promise<void> {
  const name = await findDemo();
  const { jobs } = await askJson<{ jobs: JobState[] }>(`/api/jobs?words=${encodeURIComponent(name)}`);
  const known = jobs.find((job) => job.name === name);
  const job = known ?? await askJson<JobState>("/api/jobs", { method: "POST", body: await (await ask(`/api/examples/${DEMO}`)).text() });
  guideChoice.value = "on";
  location.hash = placeAddress(job.id, STEPS[0]?.place ?? "seats");
}

/** On the page of all jobs: the way in, the first time and any other. */
export function GuideInvitation({ say }: { readonly say: (text: string) => void }) {
  const first = guideChoice.value === "new";
  return (
    <p class={first ? "guide invitation-line" : "invitation-line"}>
      {first && <span>New here? A few steps lead through a demo job, from the seats to the bench. </span>}
      <button type="button" class={first ? "strong" : "link"} onClick={() => void begin().catch((error: Error) => say(error.message))}>
        {first ? "Show me the way" : "The way through the demo, again"}
      </button>
    </p>
  );
}
