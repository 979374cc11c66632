// At the bench: one step at a time, in large letters, for a phone on the workbench. It goes on
// without a network: the steps and what is ticked are kept in this browser, and ticks are told to
// the workshop as soon as it can be reached.

import { useEffect, useRef, useState } from "preact/hooks";
import { askJson, Refused, type JobState } from "./api";
import { StepDrawing, type Bench, type Step } from "./bench_steps";
import { countingOf, layFirst } from "./layout_api";
import { deviceName, readKept, writeKept, type KeptBench } from "./kept_bench";
import { placeAddress, route } from "./route";
import { merged, newTick, stillWaiting, type Tick } from "./ticks";
import { counted, refusalLines } from "./words";
import { stopWork, type Work } from "./work";

const MARKED: readonly Step["kind"][] = ["mark", "diagonals", "cut"];
const TELL_AGAIN_MS = 5000;
const SWIPE_PX = 60;

type Reach = "asking" | "reached" | "away";

interface Told {
  readonly now_ms: number;
  readonly ticks: readonly Tick[];
}

// The screen stays on while the page is seen, where the browser can do that.
function useScreenOn(): void {
  useEffect(() => {
    let lock: WakeLockSentinel | null = null;
    const hold = (): void => {
      if (document.visibilityState !== "visible" || !("wakeLock" in navigator)) return;
      navigator.wakeLock.request("screen").then((held) => { lock = held; }, () => undefined);
    };
    hold();
    document.addEventListener("visibilitychange", hold);
    return () => {
      document.removeEventListener("visibilitychange", hold);
      void lock?.release();
    };
  }, []);
}

// The page itself, for when it is opened without a network. Only on this machine and over https
// do browsers allow it (secure contexts).
function keepPage(): void {
  if ("serviceWorker" in navigator) navigator.serviceWorker.register("/worker.js").catch(() => undefined);
}

function wordsOf({ reach, written }: Held, waiting: number): string {
  const device = matchMedia("(pointer: coarse)").matches ? "this phone" : "this browser";
  const kept = written ? `kept on ${device}` : `in this page only, as ${device} has no room`;
  const ticks = `${counted(waiting, "tick")} ${waiting === 1 ? "is" : "are"}`;
  if (waiting > 0) {
    return reach === "away" ? `${ticks} ${kept}, and will be told when the network is back.` : `${ticks} ${kept}, and just being told.`;
  }
  return reach === "away" ? `No network. What you tick is ${kept}.` : reach === "asking" ? "Asking the workshop…" : "All ticks are in the workshop file.";
}

interface Held {
  readonly kept: KeptBench | null;
  readonly written: boolean; // in this browser too, not in the open page alone
  readonly reach: Reach;
  readonly work: Work | null; // a layout that is looked for
  readonly why: readonly string[];
  readonly moved: boolean; // covers lie elsewhere now than when marks or cuts were ticked
}

/** Which steps there are follows from both. */
async function standOf(job: JobState, signal: AbortSignal): Promise<string> {
  const { layout } = await countingOf(job.id, job.version, signal);
  return `${job.version} ${layout}`;
}

function haveMoved(before: KeptBench, bench: Bench): boolean {
  const ticked = before.bench.steps.some((one) => MARKED.includes(one.kind) && before.ticks[one.step]?.done);
  return ticked && JSON.stringify(before.bench.covers) !== JSON.stringify(bench.covers);
}

// Everything that happens to the bench of one job, outside the drawing of it.
class BenchKeeper {
  held: Held;
  private ahead = 0; // the server's clock before this one, ms
  private timer = 0;
  private telling = false;
  private opening = false;
  private asked = ""; // the version and layout whose steps were asked for last
  private readonly left = new AbortController();

  constructor(readonly job: number, private readonly show: (held: Held) => void) {
    this.held = { kept: readKept(job), written: true, reach: "asking", work: null, why: [], moved: false };
  }

  private set(change: Partial<Held>): void {
    if (this.left.signal.aborted) return;
    this.held = { ...this.held, ...change, ...(change.kept ? { written: writeKept(this.job, change.kept) } : {}) };
    this.show(this.held);
  }

  leave(): void {
    clearTimeout(this.timer);
    if (this.held.work) void stopWork(this.held.work.work).catch(() => undefined);
    this.left.abort();
  }

  /** Asks how the job stands; what is kept here is shown meanwhile. */
  async open(): Promise<void> {
    if (this.opening) return;
    this.opening = true;
    const { signal } = this.left;
    this.set({ why: [] });
    try {
      const job = await askJson<JobState>(`/api/jobs/${this.job}`, { signal });
      const bench = await this.askBench(job);
      // What was gone to or ticked while that was asked for holds.
      const before = this.held.kept?.uid === job.uid ? this.held.kept : null;
      const at = before && bench.steps.some((one) => one.step === before.at) ? before.at : (bench.steps[0]?.step ?? "");
      this.set({ work: null, moved: this.held.moved || (before !== null && haveMoved(before, bench)), kept: { uid: job.uid, version: job.version, bench, at, ticks: before?.ticks ?? {}, waiting: before?.waiting ?? [] } });
    } catch (error) {
      if (signal.aborted) return;
      if (!(error instanceof Refused)) {
        this.away();
        return;
      }
      this.set({ work: null, reach: "reached", why: refusalLines(error) });
    } finally {
      this.opening = false;
    }
    await this.tell();
  }

  /** After a pause: what waits is told at once, and the steps may be others by now. */
  async again(): Promise<void> {
    await this.tell();
    await this.open();
  }

  // The steps follow from a layout. Without one, what the bench is refused with says why.
  private async askBench(job: JobState): Promise<Bench> {
    const { signal } = this.left;
    await layFirst(job.id, job.version, (work) => this.set({ work }), signal);
    this.set({ work: null });
    this.asked = await standOf(job, signal);
    return askJson<Bench>(`/api/jobs/${job.id}/bench?version=${job.version}`, { signal });
  }

  private away(): void {
    this.set({ reach: "away", work: null });
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.again(), TELL_AGAIN_MS);
  }

  /** Tells what waits, and takes over what others ticked. */
  async tell(): Promise<void> {
    const kept = this.held.kept;
    if (!kept || this.telling) return;
    this.telling = true;
    clearTimeout(this.timer);
    const sent = kept.waiting;
    try {
      const job = await askJson<JobState>(`/api/jobs/${this.job}`, { signal: this.left.signal });
      if (job.uid !== kept.uid) throw new Refused(404, [], null); // another workshop file stands there
      const told = sent.length > 0
        ? await askJson<Told>(`/api/jobs/${this.job}/ticks`, { method: "POST", body: JSON.stringify({ ticks: sent }), signal: this.left.signal })
        : await askJson<Told>(`/api/jobs/${this.job}/ticks`, { signal: this.left.signal });
      this.ahead = told.now_ms - Date.now();
      const now = this.held.kept ?? kept;
      this.set({ reach: "reached", kept: { ...now, ticks: merged(now.ticks, told.ticks), waiting: stillWaiting(now.waiting, sent) } });
      this.telling = false;
      if ((this.held.kept?.waiting.length ?? 0) > 0) await this.tell();
      else if (await standOf(job, this.left.signal) !== this.asked) void this.open(); // its marks are those of an older layout
    } catch (error) {
      this.telling = false;
      if (this.left.signal.aborted) return;
      if (error instanceof Refused) this.set({ reach: "reached", why: refusalLines(error) });
      else this.away();
    }
  }

  tick(step: string, done: boolean): void {
    const kept = this.held.kept;
    if (!kept) return;
    const tick = newTick(kept.ticks, step, done, Date.now() + this.ahead, deviceName());
    this.set({ kept: { ...kept, ticks: merged(kept.ticks, [tick]), waiting: [...kept.waiting.filter((one) => one.step !== step), tick] } });
    void this.tell();
  }

  /** Whoever stands at the bench knows that covers lie elsewhere now. */
  looked(): void {
    this.set({ moved: false });
  }

  go(step: string): void {
    if (this.held.kept) this.set({ kept: { ...this.held.kept, at: step } });
  }
}

function useKeeper(job: number): { readonly held: Held; readonly keeper: BenchKeeper | null } {
  const [held, setHeld] = useState<Held>({ kept: null, written: true, reach: "asking", work: null, why: [], moved: false });
  const keeper = useRef<BenchKeeper | null>(null);
  useEffect(() => {
    const mine = new BenchKeeper(job, setHeld);
    keeper.current = mine;
    setHeld(mine.held);
    void mine.open();
    const back = (): void => {
      if (document.visibilityState === "visible") void mine.again();
    };
    addEventListener("online", back);
    document.addEventListener("visibilitychange", back);
    return () => {
      removeEventListener("online", back);
      document.removeEventListener("visibilitychange", back);
      mine.leave();
    };
  }, [job]);
  return { held, keeper: keeper.current };
}

// On a phone the step has the whole screen; the ways to other pages are above it.
function toTheStep(): void {
  const top = matchMedia("(max-width: 40rem)").matches ? (document.getElementById("main")?.offsetTop ?? 0) : 0;
  scrollTo(0, top);
}

interface StepProps {
  readonly bench: Bench;
  readonly step: Step;
  readonly done: (kind: Step["kind"], cover: number) => boolean;
}

function StepShown({ bench, step, done }: StepProps) {
  return (
    <div class="step" aria-live="polite">
      <div class="words">
        <p class="say">{step.say}</p>
        {step.readings.length > 0 && (
          <dl class={`readings${step.kind === "check" ? " many" : ""}`}>
            {step.readings.map((one, i) => <div key={i}><dt>{one.name}</dt><dd>{one.value}</dd></div>)}
          </dl>
        )}
      </div>
      <StepDrawing bench={bench} step={step} done={done} />
      {(step.notes.length > 0 || step.caution) && (
        <div class="words rest">
          {step.notes.length > 0 && <ul class="notes">{step.notes.map((note, i) => <li key={i}>{note}</li>)}</ul>}
          {step.caution && <p class="caution"><strong>Caution.</strong> {step.caution}</p>}
        </div>
      )}
    </div>
  );
}

interface PartsProps {
  readonly bench: Bench;
  readonly at: number;
  readonly ticked: (step: string) => boolean;
  readonly go: (at: number) => void;
}

/** All parts of the work, each with how far it is, to go to. */
function Parts({ bench, at, ticked, go }: PartsProps) {
  const parts: { name: string; first: number; steps: Step[] }[] = [];
  bench.steps.forEach((step, i) => {
    const last = parts[parts.length - 1];
    if (last?.name === step.part) last.steps.push(step);
    else parts.push({ name: step.part, first: i, steps: [step] });
  });
  return (
    <ul class="parts-of-work">
      {parts.map(({ name, first, steps }) => (
        <li key={first}>
          <button type="button" aria-current={at >= first && at < first + steps.length ? "step" : undefined} onClick={() => go(first)}>
            <span>{name}</span><span>{steps.filter((one) => ticked(one.step)).length} of {steps.length}</span>
          </button>
        </li>
      ))}
    </ul>
  );
}

interface AtWorkProps {
  readonly kept: KeptBench;
  readonly keeper: BenchKeeper;
  readonly held: Held;
}

function AtWork({ kept, keeper, held }: AtWorkProps) {
  const { bench, ticks } = kept;
  const swipe = useRef<readonly [number, number] | null>(null);
  const at = Math.max(bench.steps.findIndex((one) => one.step === kept.at), 0);
  const step = bench.steps[at];
  const ticked = (name: string): boolean => ticks[name]?.done ?? false;
  const go = (to: number): void => {
    const target = bench.steps[Math.min(Math.max(to, 0), bench.steps.length - 1)];
    if (!target) return;
    keeper.go(target.step);
    toTheStep();
  };
  useEffect(toTheStep, []);
  useEffect(() => {
    const key = (event: KeyboardEvent): void => {
      if (event.target instanceof HTMLInputElement || event.target instanceof HTMLSelectElement || event.altKey || event.ctrlKey || event.metaKey) return;
      if (event.key === "ArrowRight") go(at + 1);
      else if (event.key === "ArrowLeft") go(at - 1);
    };
    addEventListener("keydown", key);
    return () => removeEventListener("keydown", key);
  }, [at, bench]);
  if (!step) return <p>There is nothing to do at the bench.</p>;
  const done = ticked(step.step);
  const count = bench.steps.filter((one) => ticked(one.step)).length;
  const coverDone = (kind: Step["kind"], cover: number): boolean =>
    bench.steps.some((one) => one.kind === kind && one.cover === cover && ticked(one.step));
  return (
    <>
      <div class="swipe" onTouchStart={(event) => {
        const touch = event.touches[0];
        swipe.current = touch && event.touches.length === 1 ? [touch.clientX, touch.clientY] : null;
      }} onTouchEnd={(event) => {
        const touch = event.changedTouches[0];
        const from = swipe.current;
        swipe.current = null;
        if (!touch || !from) return;
        const [across, along] = [touch.clientX - from[0], touch.clientY - from[1]];
        if (Math.abs(across) > SWIPE_PX && Math.abs(across) > 2 * Math.abs(along)) go(at + (across < 0 ? 1 : -1));
      }}>
        <div class="standing">
          <h1>{step.part}</h1>
          <p class="count">{at + 1} of {bench.steps.length}<span class="unseen"> steps</span>{done && ", done"}</p>
        </div>
        <progress max={bench.steps.length} value={count} aria-label={`${count} of ${bench.steps.length} steps are done`} />
        <StepShown bench={bench} step={step} done={coverDone} />
      </div>
      <div class="hands">
        <button type="button" class="back" disabled={at === 0} onClick={() => go(at - 1)}>Back</button>
        <button type="button" class="strong ticker" aria-pressed={done} onClick={() => {
          keeper.tick(step.step, !done);
          if (!done) go(at + 1);
        }}>{done ? "✓ Done" : "Tick"}</button>
        <button type="button" class="on" disabled={at === bench.steps.length - 1} onClick={() => go(at + 1)}>Next</button>
      </div>
      <p class={`told ${kept.waiting.length > 0 ? "waiting" : ""}`} role="status">{wordsOf(held, kept.waiting.length)}</p>
      {count === bench.steps.length && (
        <p>All is done. <a href={placeAddress(keeper.job, "layout")}>On the page Layout</a>, say that the hide is cut, and what is left of it is kept for the next job.</p>
      )}
      <details class="group">
        <summary>All parts of the work: {count} of {bench.steps.length} steps are done</summary>
        <Parts bench={bench} at={at} ticked={ticked} go={go} />
      </details>
    </>
  );
}

export function AtTheBench() {
  const where = route.value;
  const { held, keeper } = useKeeper(where.page === "place" ? where.job : 0);
  useScreenOn();
  useEffect(keepPage, []);
  const { kept, reach, work, why, moved } = held;
  return (
    <main id="main" tabindex={-1} class="at-the-bench">
      {why.length > 0 && (
        <div class="refused" role="alert">
          {!kept && <h1>There are no steps yet</h1>}
          <ul>{why.map((one, i) => <li key={i}>{one}</li>)}</ul>
          <button type="button" onClick={() => void keeper?.open()}>Try again</button>
        </div>
      )}
      {moved && (
        <div class="refused" role="alert">
          <p>The layout was changed since marks or cuts were ticked here. Look at each of them on the hide before you go on: chalk and cuts
            of the layout before are not those of this one.</p>
          <button type="button" onClick={() => keeper?.looked()}>I have looked</button>
        </div>
      )}
      {work && (
        <div class="progress">
          <label for="laid">Looking for a layout first: {work.what}</label>
          <progress id="laid" max={1} value={work.share} />
          <button type="button" onClick={() => void stopWork(work.work)}>Stop</button>
        </div>
      )}
      {kept && keeper ? <AtWork kept={kept} keeper={keeper} held={held} /> : why.length === 0 && (
        <>
          <h1>At the bench</h1>
          <p role="status">{reach === "away" ? "No network, and this job was not opened here before. It is tried again every 5 seconds." : "Laying out the steps…"}</p>
        </>
      )}
    </main>
  );
}
