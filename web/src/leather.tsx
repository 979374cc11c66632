// Leather and buying: the household's questions, the advice with its reasons, how thick, how much
// to ask for, the offers, and the list to take to the shop.

import { useEffect, useState } from "preact/hooks";
import { askJson } from "./api";
import { HowMuch, OffersCompared } from "./buying";
import { FieldRow, Group } from "./fields";
import { derived, draft, jobTitle, leatherSeen, state, unit } from "./job";
import { OfferList } from "./offers";
import { placeAddress } from "./route";
import { fieldsOf, type Schema } from "./schema";
import { Mistakes } from "./seats";
import { Table } from "./table";
import { MM_PER } from "./units";

interface Advice {
  readonly household: unknown;
  readonly advised: { readonly kind: string; readonly grain: string; readonly room_at_corners: boolean; readonly text: string };
  readonly wanted: { readonly kind: string | null; readonly grain: string | null; readonly thickness: string; readonly thicker: boolean; readonly thinner: boolean };
  readonly kinds: readonly { readonly kind: string; readonly points: number; readonly meaning: string }[];
  readonly grain_points: Readonly<Record<string, number>>;
  readonly reasons: readonly {
    readonly when: string;
    readonly because: string;
    readonly source: string;
    readonly points: Readonly<Record<string, number>>;
    readonly grain_points: Readonly<Record<string, number>>;
  }[];
  readonly seats: readonly {
    readonly seat: string;
    readonly measured: boolean;
    readonly clearance_mm: number;
    readonly layers_mm: number;
    readonly straight_max_mm: number;
    readonly corner_max_mm: number;
    readonly corner_needs_mm: number;
    readonly fits_corners: boolean;
    readonly room: string;
    readonly remedy: string | null;
  }[];
  readonly ask: readonly { readonly property: string; readonly method: string; readonly value: string; readonly meaning: string }[];
  readonly ask_source: string;
  readonly cautions: readonly string[];
}

// The advice for the draft as it is typed; the last one stays, in a dashed frame, while there are mistakes.
function useAdvice(): readonly [Advice | null, boolean] {
  const [advice, setAdvice] = useState<Advice | null>(null);
  const found = derived.value;
  useEffect(() => {
    if (!found?.good) return undefined;
    const mine = new AbortController();
    askJson<Advice>("/api/advise", { method: "POST", body: JSON.stringify(draft.value), signal: mine.signal })
      .then(setAdvice).catch(() => undefined); // the header says when the server is away
    return () => mine.abort();
  }, [found]);
  return [advice, found !== null && !found.good];
}

const signed = (points: number): string => (points > 0 ? `+${points}` : points < 0 ? `−${-points}` : "0");

/** How thick leather may be: rounded down, as the program does it. */
function atMost(mm: number): string {
  if (mm <= 0) return "no room";
  const down = (value: number): string => (Math.floor(value * 10 + 1e-6) / 10).toFixed(1);
  return leatherSeen.value === "oz" ? `${down(mm / MM_PER.oz)} oz (${down(mm)} mm)` : `${down(mm)} mm`;
}
const across = (mm: number): string => (unit.value === "in" ? `${(mm / 25.4).toFixed(2)} in` : `${mm.toFixed(1)} mm`);

// What the wish of the job has for and against it.
function Wanted({ advice }: { readonly advice: Advice }) {
  const { wanted, advised, kinds } = advice;
  const points = (kind: string): number => kinds.find((one) => one.kind === kind)?.points ?? 0;
  return (
    <>
      {wanted.kind !== null && (
        <p>{wanted.kind === advised.kind ? `You want ${wanted.kind}: nothing speaks for another.`
          : `You want ${wanted.kind}, which has ${points(wanted.kind)} points to ${points(advised.kind)}; the reasons are below.`}</p>
      )}
      {wanted.grain !== null && wanted.grain !== advised.grain && <p>You want {wanted.grain} grain; {advised.grain} is advised.</p>}
      {!advised.room_at_corners && <p class="bad">At the corners there is not even room for that: see below.</p>}
      {(wanted.thicker || wanted.thinner) && <p>The leather of the job, {wanted.thickness}, is {wanted.thicker ? "thicker" : "thinner"} than that.</p>}
      {advice.household === null && <p>Nothing is said of the household, so a little of everything is assumed.</p>}
    </>
  );
}

function Reasons({ advice }: { readonly advice: Advice }) {
  const grains = Object.keys(advice.grain_points);
  const points = (ofKind: (kind: string) => number, ofGrain: (grain: string) => number): string[] =>
    [...advice.kinds.map(({ kind }) => ofKind(kind)), ...grains.map(ofGrain)].map(signed);
  const heads = [...advice.kinds.map(({ kind }) => kind), ...grains.map((grain) => `${grain} grain`)];
  const kindPoints = new Map(advice.kinds.map(({ kind, points: sum }) => [kind, sum]));
  return (
    <>
      <h3>The reasons</h3>
      <Table label="Points for and against" class="forandagainst"
        head={["points for and against", ...heads.map((name) => ({ name, class: "amount" }))]}
        rows={[
          ...advice.reasons.map((reason) => ({
            key: reason.when,
            cells: [
              <>{reason.when}<span class="soft"> {reason.because} <cite>({reason.source})</cite></span></>,
              ...points((kind) => reason.points[kind] ?? 0, (grain) => reason.grain_points[grain] ?? 0),
            ],
          })),
          { key: "", class: "sum", cells: ["all together", ...points((kind) => kindPoints.get(kind) ?? 0, (grain) => advice.grain_points[grain] ?? 0)] },
        ]} />
      <dl class="kinds">{advice.kinds.map(({ kind, meaning }) => <div key={kind}><dt>{kind}</dt><dd>{meaning}</dd></div>)}</dl>
    </>
  );
}

function Thickness({ advice }: { readonly advice: Advice }) {
  const remedies = [...new Set(advice.seats.flatMap((one) => (one.remedy === null ? [] : [one.remedy])))];
  return (
    <section class="panel" aria-labelledby="thickness">
      <h2 id="thickness">How thick it may be</h2>
      <p class="help">
        A seat must still drop into its chair: on each side there is one leather on the straight, up to three at a folded corner, and the layers
        that come down over the sides. The leather of the job is {advice.wanted.thickness}.
      </p>
      <Table label="Room for the leather"
        head={["seat", "this leather", "clearance", "layers", "straight up to", "corners up to", "corners need"]}
        rows={advice.seats.map((seat) => ({
          key: seat.seat,
          cells: [
            seat.seat, <span class={seat.fits_corners ? undefined : "short"}>{seat.room}</span>,
            `${across(seat.clearance_mm)}${seat.measured ? "" : " *"}`, across(seat.layers_mm),
            atMost(seat.straight_max_mm), atMost(seat.corner_max_mm), across(seat.corner_needs_mm),
          ],
        }))} />
      {remedies.map((text) => <p key={text}>{text.startsWith("not measured") ? `* ${text}` : text}</p>)}
    </section>
  );
}

function Checklist({ advice }: { readonly advice: Advice }) {
  return (
    <section class="panel checklist" aria-labelledby="checklist">
      <h2 id="checklist">What to ask the seller for</h2>
      <p>Of {advice.advised.text}.</p>
      <ul class="boxes">
        {advice.ask.map((one) => (
          <li key={one.property}><span class="box" aria-hidden="true" /><span><strong>{one.property}</strong>: {one.value}<span class="soft"> {one.meaning} ({one.method})</span></span></li>
        ))}
      </ul>
      <p class="sources">Source: {advice.ask_source}.</p>
      <h3>Look out</h3>
      <ul class="boxes">{advice.cautions.map((text) => <li key={text}><span class="box" aria-hidden="true" /><span>{text}</span></li>)}</ul>
      <div class="actions">
        <button type="button" onClick={() => print()}>Print this page</button>
        <a class="button" href={placeAddress(state.value?.id ?? 0, "papers")}>Pages for the shop as PDF</a>
      </div>
    </section>
  );
}

const LEATHER_FIRST = ["name", "kind", "grain", "thickness"];

function Questions({ schema }: { readonly schema: Schema }) {
  const leather = fieldsOf(schema, "leather", draft.value["leather"]).filter((field) => LEATHER_FIRST.includes(field.key));
  return (
    <section class="panel" aria-labelledby="household">
      <h2 id="household">Where the chairs will stand</h2>
      <div class="grid"><Group schema={schema} definition="household" path={["household"]} /></div>
      <h2>The leather you want</h2>
      <div class="grid">{leather.map((field) => <FieldRow key={field.key} schema={schema} path={["leather", field.key]} field={field} />)}</div>
      <details class="group inner">
        <summary>How it stretches; the currency</summary>
        <div class="grid">
          <Group schema={schema} definition="leather" path={["leather"]} without={[...LEATHER_FIRST, "comfort"]} />
          {fieldsOf(schema, "job", draft.value).filter(({ key }) => key === "currency").map((field) => (
            <FieldRow key={field.key} schema={schema} path={[field.key]} field={field} />
          ))}
        </div>
      </details>
    </section>
  );
}

export function LeatherPage({ schema }: { readonly schema: Schema }) {
  const [advice, stale] = useAdvice();
  return (
    <main id="main" tabindex={-1} class="leather">
      <h1>{jobTitle.value}</h1>
      <Mistakes />
      <Questions schema={schema} />
      <section class={stale ? "panel stale" : "panel"} aria-labelledby="advice">
        <h2 id="advice">Which leather</h2>
        {advice && <p class="answer">{advice.advised.text}</p>}
        {stale && <p class="stalenote">As it was before the mistakes.</p>}
        {advice && <Wanted advice={advice} />}
        {advice && <Reasons advice={advice} />}
      </section>
      {advice && <Thickness advice={advice} />}
      <HowMuch schema={schema} />
      <section class="panel" aria-labelledby="offers">
        <h2 id="offers">Offers</h2>
        <OffersCompared />
        <OfferList schema={schema} />
      </section>
      {advice && <Checklist advice={advice} />}
    </main>
  );
}
