// How much leather to ask for: what is asked, the answer as it gets sharper, and what would change it.

import { useEffect, useState } from "preact/hooks";
import { begin, isRunning, much, options, split, stop, thrift, type Buying, type Options, type Question, type Split, type Thrift, type Trying } from "./buy";
import { Chart, times } from "./chart";
import { at } from "./document";
import { Row } from "./fields";
import { areaSeen, change, derived, draft, state } from "./job";
import { Compared, gradeWords, money } from "./offers";
import { fieldsOf, type Schema } from "./schema";
import { Table } from "./table";
import { showArea } from "./units";
import { problemWords } from "./words";

const COMFORT = ["leather", "comfort"] as const;

// How often it must be enough is the job's; a hand on the slider sees it in plain numbers.
function Comfort({ schema }: { readonly schema: Schema }) {
  const field = fieldsOf(schema, "leather", {}).find((one) => one.key === "comfort");
  const { default: usual, minimum = 0, maximum = 1 } = field?.node ?? {};
  const share = [at(draft.value, COMFORT), usual].find((one) => typeof one === "number") ?? maximum;
  const set = (text: string, done: boolean): void => change(COMFORT, Math.round(Number(text)) / 100, done);
  const said = `${Math.round(share * 100)} times in 100`;
  return (
    <Row path={COMFORT} label="How sure it must be enough" help={field?.help ?? ""} needed={false} input={({ id, describedBy, invalid }) => (
      <>
        <input id={id} type="range" min={Math.round(100 * minimum)} max={Math.round(100 * maximum)} step={1} value={Math.round(share * 100)} aria-valuetext={said}
          aria-describedby={describedBy || undefined} aria-invalid={invalid ? "true" : undefined}
          onInput={(event) => set(event.currentTarget.value, false)} onChange={(event) => set(event.currentTarget.value, true)} />
        <output for={id} class="beside">{said}</output>
      </>
    )} />
  );
}

interface ChoiceProps {
  readonly id: keyof Options;
  readonly label: string;
  readonly help: string;
  readonly words: readonly (readonly [string, string])[];
}

function Choice({ id, label, help, words }: ChoiceProps) {
  const value = options.value[id];
  return (
    <div class="row">
      <label for={`buy-${id}`}>{label}</label>
      <span class="entry">
        <select id={`buy-${id}`} value={String(value)} aria-describedby={`buy-${id}-help`} onChange={(event) => {
          const chosen = event.currentTarget.value;
          options.value = { ...options.value, [id]: typeof value === "boolean" ? chosen === "true" : chosen };
        }}>
          {words.map(([word, text]) => <option key={word} value={word}>{text}</option>)}
        </select>
      </span>
      <p class="help" id={`buy-${id}-help`}>{help}</p>
    </div>
  );
}

function Asking({ schema }: { readonly schema: Schema }) {
  const pieces = Array.from({ length: 20 }, (_, i) => [String(i + 1), String(i + 1)] as const);
  return (
    <div class="grid asking">
      <Comfort schema={schema} />
      <Choice id="grade" label="Grade" help="How free of flaws the hides are that you will be offered."
        words={[["", "sound, as usual"], ...gradeWords(schema).filter((word) => word !== "sound").map((word) => [word, word] as const)]} />
      <Choice id="form" label="Form" help="What you would rather buy; the other form is tried beside it."
        words={[["whole", "whole hides"], ["side", "sides"]]} />
      <Choice id="pieces" label="How many" help="Bought together, all of one size; else the fewest of a size that is easily had."
        words={[["", "the fewest"], ...pieces]} />
      <Choice id="precision" label="How near" help="How near the area must be known. Half as far off takes about four times as long."
        words={[["10", "within 10 %: a first look"], ["", "within 4 %, as usual"], ["2", "within 2 %"]]} />
      <Choice id="offers" label="Offers" help="Whether the offers below are compared too, and the other form tried."
        words={[["true", "compare them"], ["false", "leave them out"]]} />
    </div>
  );
}

// How far it is, in words; said aloud only when it begins and ends.
function HowFar({ trying, question, what, trials }: { readonly trying: Trying<unknown>; readonly question: Question; readonly what: string; readonly trials?: number | undefined }) {
  const { work } = trying;
  const [aloud, setAloud] = useState("");
  const running = isRunning(trying);
  useEffect(() => {
    if (work) setAloud(running ? `${what}: begun` : work.state === "done" ? `${what}: done` : `${what}: ended`);
  }, [running, work?.work]);
  return (
    <>
      <p class="unseen" role="status">{aloud}</p>
      {running && work && (
        <div class="howfar">
          <progress max={1} value={work.share} aria-label={what} />
          <span>{Math.round(work.share * 100)} %: {work.what}{trials !== undefined ? `; ${trials} trials are in` : ""}.</span>
          <button type="button" onClick={() => void stop(question)}>Stop, keep what is known</button>
        </div>
      )}
      {trying.why !== null && (
        <p class="said bad">
          {trying.problems.length === 0 ? `${trying.why}.` : trying.problems.filter((one) => one.kind !== "doubt").map(problemWords).join(" ")}
        </p>
      )}
    </>
  );
}

// Said of an answer that is not the last word.
function Caveats({ trying, running }: { readonly trying: Trying<Buying>; readonly running: boolean }) {
  const { work, found } = trying;
  const version = state.value?.version ?? 0;
  if (!found || running || !work) return null;
  return (
    <>
      {found.stopped && <p class="said">Stopped before the answer was as near as wanted: the band says how sure it is. Beginning again draws the same hides again.</p>}
      {work.version !== version && <p class="said">This is of version {work.version}; the job has changed since.</p>}
    </>
  );
}

function Rules({ buying }: { readonly buying: Buying }) {
  const against = (share: number | null): string => {
    if (share === null) return "–";
    const parts = Math.round(share * 100);
    return parts === 0 ? "as much" : parts < 0 ? `${-parts} % less` : `${parts} % more`;
  };
  return (
    <details class="group" open>
      <summary>What the usual rules would have had you buy</summary>
      <Table label="Usual rules" head={["rule", "here", "leather", "than above", "enough"]}
        rows={buying.rules.map((rule) => ({
          key: rule.rule,
          cells: [
            rule.rule, rule.reckoned, showArea(rule.area_mm2, areaSeen.value),
            <span class={(rule.against ?? 0) < 0 ? "short" : undefined}>{against(rule.against)}</span>, `${times(rule.chance)} in 100`,
          ],
        }))} />
    </details>
  );
}

function Answer({ trying }: { readonly trying: Trying<Buying> }) {
  const buying = trying.found;
  const running = isRunning(trying);
  if (!buying) return null;
  const { area_low_mm2: low, area_high_mm2: high } = buying;
  const seen = areaSeen.value;
  return (
    <div class="found">
      <p class="answer">{buying.advice}</p>
      <p class="beside">
        {high !== null && low !== null ? `95 in 100 sure: between ${showArea(low, seen)} and ${showArea(high, seen)}. `
          : low !== null ? `As yet only sure: at least ${showArea(low, seen)}. ` : ""}
        Tried on {buying.trials * buying.pieces} {buying.form === "side" ? "sides" : "hides"} drawn at random, of the grade “{buying.grade}”: {buying.lets_through}.
      </p>
      <Caveats trying={trying} running={running} />
      <Chart buying={buying} seen={seen} running={running} />
      {buying.other_form && <p class="said">{buying.other_form.advice}</p>}
      <Rules buying={buying} />
    </div>
  );
}

function Savings({ found }: { readonly found: Thrift }) {
  const seen = areaSeen.value;
  const signed = (mm2: number | null): string => (mm2 === null ? "?" : `${mm2 < 0 ? "−" : ""}${showArea(Math.abs(mm2), seen)}`);
  const sure = found.savings.filter((one) => one.saves);
  const luck = found.savings.filter((one) => !one.saves && one.pairs > 0);
  const table = (rows: Thrift["savings"], name: string) => (
    <Table label={name} class="savings" byRow head={["change", "saves", "95 in 100 sure", ...(found.price ? ["worth"] : [])]}
      rows={rows.map((one) => ({
        key: one.change,
        cells: [
          <>{one.change}<span class="soft"> {one.cost}</span></>, signed(one.saves_mm2), `${signed(one.low_mm2)} to ${signed(one.high_mm2)}`,
          ...(found.price ? [one.money === undefined ? "–" : money(one.money, found.price.currency)] : []),
        ],
      }))} />
  );
  return (
    <div class="found">
      {found.stopped && <p class="said">Stopped before all was tried.</p>}
      {sure.length === 0 ? <p class="answer">No single change was seen to save leather for sure.</p> : table(sure, "What saves leather")}
      {luck.length > 0 && (
        <details class="group"><summary>Changes whose saving may be luck</summary>{table(luck, "What may be luck")}</details>
      )}
      {found.price && <p class="help">Priced at {money(found.price.per_ft2, found.price.currency)} for 1 ft², the lowest for such leather in the job: {found.price.of}.</p>}
    </div>
  );
}

function Divided({ found }: { readonly found: Split }) {
  const seen = areaSeen.value;
  return (
    <div class="found">
      <p class="answer">{found.advice}</p>
      {found.stopped && <p class="said">Stopped before all was tried.</p>}
      {found.hides.length > 0 && (
        <Table label="Hides" head={["hide", "of at least", "enough", "as cut", "chairs"]}
          rows={found.hides.map((hide, i) => ({
            key: i,
            cells: [
              i + 1, hide.area_mm2 === null ? "–" : showArea(hide.area_mm2, seen),
              <>{times(hide.chance)} in 100 <span class="soft">({times(hide.low)} to {times(hide.high)})</span></>, showArea(hide.cut_mm2, seen),
              hide.chairs.map((chair) => `${chair.count} × ${chair.seat}${chair.chair ? `, ${chair.chair}` : ""} (${chair.cover})`).join("; "),
            ],
          }))} />
      )}
    </div>
  );
}

/** All questions about buying, with their answers; the offers are compared by the first. */
export function HowMuch({ schema }: { readonly schema: Schema }) {
  const busy = [much.value, thrift.value, split.value].some(isRunning);
  const good = derived.value?.good ?? false;
  const ask = (question: Question, text: string, strong = false) => (
    <button type="button" class={strong ? "strong" : undefined} disabled={busy || !good} onClick={() => void begin(question)}>{text}</button>
  );
  return (
    <section class="panel" aria-labelledby="how-much">
      <h2 id="how-much">How much to ask for</h2>
      <p class="help">The covers are laid on hides drawn at random, of many sizes, and it is counted how often they have room.</p>
      <Asking schema={schema} />
      <div class="actions">
        {ask("much", much.value.found ? "Try again" : "Try how much", true)}
        {ask("thrift", "What single change would save most?")}
        {ask("split", "One hide, or several?")}
      </div>
      {!good && <p class="said">First put right what is wrong in the job.</p>}
      <HowFar trying={much.value} question="much" what="Trying how much is enough" trials={much.value.found?.trials} />
      <Answer trying={much.value} />
      {(thrift.value.work || thrift.value.why !== null) && <h3>What single change would save most</h3>}
      <HowFar trying={thrift.value} question="thrift" what="Trying changes" />
      {thrift.value.found && <Savings found={thrift.value.found} />}
      {(split.value.work || split.value.why !== null) && <h3>One hide, or several</h3>}
      <HowFar trying={split.value} question="split" what="Dividing the chairs" />
      {split.value.found && <Divided found={split.value.found} />}
    </section>
  );
}

export function OffersCompared() {
  const offers = much.value.found?.offers;
  return offers ? <Compared offers={offers} /> : null;
}
