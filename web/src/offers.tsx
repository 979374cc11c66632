// What sellers offer: side by side as they were compared, and each to be written down.

import { useState } from "preact/hooks";
import type { Buying, RankedOffer } from "./buy";
import { times } from "./chart";
import { at, freshName, nameOf, pathText, type Path } from "./document";
import { FieldRow, Group, Problems, idOf } from "./fields";
import { areaSeen, change, documentArea, draft, listAt, mistakesIn, problems } from "./job";
import { definitionOf, fieldsOf, type Field, type Schema } from "./schema";
import { Table, type Head } from "./table";
import { showArea } from "./units";

/** An amount in the currency's own digits; the amounts themselves are the program's. */
export function money(amount: number, currency: string): string {
  try {
    return new Intl.NumberFormat("en", { style: "currency", currency, currencyDisplay: "code" }).format(amount).replaceAll("\u00a0", " ");
  } catch {
    return `${currency} ${amount}`;
  }
}

/** The same without the currency, where that stands at the head. */
const digits = (amount: number, currency: string): string => money(amount, currency).replace(currency, "").trim();

const per = (one: RankedOffer): string => ({ ft2: "1 ft²", m2: "1 m²" })[one.per] ?? "a piece";

/** At which price an offer would be first: what would change the order. */
function firstAt(one: RankedOffer, currency: string): string {
  if (one.price_to_win === null) return "at any price";
  if (one.price_to_win <= 0) return "at no price";
  return `up to ${digits(one.price_to_win, currency)}`;
}

const amount = (name: string): Head => ({ name, class: "amount" });

function Ranking({ offers }: { readonly offers: NonNullable<Buying["offers"]> }) {
  const { ranking, currency } = offers;
  return (
    <Table label="Offers compared" class="ranking" caption={<caption class="unseen">Offers, the best first</caption>}
      head={[
        "offer", "buy", "enough, in 100", amount(`landed, ${currency}`), amount("with the risk"), amount("days"),
        amount(`asked, ${currency}`), "would be first",
      ]}
      rows={ranking.map((one, i) => ({
        key: one.offer,
        class: i === 0 ? "first" : undefined,
        cells: [
          <><span class="rank">{i + 1}</span> {one.offer}</>,
          one.buy,
          <span>{times(one.chance)}{one.sure.chance_high > one.sure.chance_low && <span class="soft"> ({times(one.sure.chance_low)} to {times(one.sure.chance_high)})</span>}
            {!one.reaches_comfort && <span class="short"> too seldom</span>}</span>,
          digits(one.bill.expected.total, currency), digits(one.expected_cost, currency), one.days ?? "–",
          `${digits(one.price, currency)} for ${per(one)}`, firstAt(one, currency),
        ],
      }))} />
  );
}

// One column for each offer, one row for each line that any of the bills has.
function Bills({ offers }: { readonly offers: NonNullable<Buying["offers"]> }) {
  const lines = [...new Set(offers.ranking.flatMap((one) => Object.keys(one.bill.expected.lines)))];
  const shown = (amount: number | undefined): string => (amount === undefined ? "–" : digits(amount, offers.currency));
  return (
    <details class="group">
      <summary>The bills side by side</summary>
      <Table label="Bills" head={[offers.currency, ...offers.ranking.map((one) => ({ name: one.offer, class: "head" }))]}
        rows={[
          { key: "area", cells: ["area", ...offers.ranking.map((one) => showArea(one.bill.expected.area_mm2, areaSeen.value))] },
          ...lines.map((line) => ({ key: `line ${line}`, cells: [line, ...offers.ranking.map((one) => shown(one.bill.expected.lines[line]))] })),
          { key: "landed", class: "sum", cells: ["landed", ...offers.ranking.map((one) => shown(one.bill.expected.total))] },
        ]} />
    </details>
  );
}

/** The offers as they were compared. */
export function Compared({ offers }: { readonly offers: NonNullable<Buying["offers"]> }) {
  return (
    <div class="compared">
      <p class="answer">{offers.advice}</p>
      {offers.ranking.length > 0 && (
        <>
          <Ranking offers={offers} />
          <Bills offers={offers} />
          <details class="group">
            <summary>Why they stand so</summary>
            <ol class="sentences">{offers.explained.map((text, i) => <li key={i}>{text}</li>)}</ol>
          </details>
        </>
      )}
    </div>
  );
}

/** The program's grades, and those that the job puts on them. */
export function gradeWords(schema: Schema): readonly string[] {
  const own = listAt(["grades"]).map((one) => nameOf(one, "")).filter((name) => name !== "");
  return [...new Set([...(schema.$defs["grade"]?.properties?.["like"]?.enum ?? []), ...own])];
}

// Stamped pieces to choose from.
function Pieces({ schema, path, field }: { readonly schema: Schema; readonly path: Path; readonly field: Field }) {
  const pieces = listAt(path);
  const where = pathText(path);
  const own = problems.value.filter((one) => one.where === where);
  return (
    <fieldset class="sides">
      <legend>{field.label}</legend>
      <p class="help">{field.help}</p>
      {own.length > 0 && <Problems list={own} id={`${idOf(where)}-problems`} />}
      {pieces.map((piece, i) => (
        <div class="item" key={i} role="group" aria-label={nameOf(piece, `piece ${i + 1}`)}>
          <div class="parts"><Group schema={schema} definition={definitionOf(field.node) ?? ""} path={[...path, i]} /></div>
          <button type="button" class="link" onClick={() => change([...path, i], undefined, true)}>
            Take it away<span class="unseen"> – {nameOf(piece, `piece ${i + 1}`)}</span>
          </button>
        </div>
      ))}
      <button type="button" onClick={() => change([...path, pieces.length], { name: `number ${pieces.length + 1}` }, true)}>Add a piece</button>
    </fieldset>
  );
}

// Shipping, a trip, what is taken back: each a box of its own.
function Box({ schema, path, field }: { readonly schema: Schema; readonly path: Path; readonly field: Field }) {
  return (
    <fieldset class="sides">
      <legend>{field.label}</legend>
      <p class="help">{field.help}</p>
      <div class="grid"><Group schema={schema} definition={definitionOf(field.node) ?? ""} path={path} /></div>
    </fieldset>
  );
}

const FIRST = ["name", "form", "price", "per", "area", "pieces", "length", "width", "kind", "grade"];

function Editor({ schema, index }: { readonly schema: Schema; readonly index: number }) {
  const path: Path = ["offers", index];
  const fields = fieldsOf(schema, "offer", at(draft.value, path));
  const row = (field: Field) => {
    const here = [...path, field.key];
    if (field.kind === "list") return <Pieces key={field.key} schema={schema} path={here} field={field} />;
    if (field.kind === "object") return <Box key={field.key} schema={schema} path={here} field={field} />;
    const named: Field = field.key === "grade" ? { ...field, kind: "words", words: gradeWords(schema) } : field;
    return <FieldRow key={field.key} schema={schema} path={here} field={named} />;
  };
  const first = fields.filter((field) => FIRST.includes(field.key));
  const plain = (field: Field): boolean => field.kind !== "list" && field.kind !== "object";
  const rest = fields.filter((field) => !FIRST.includes(field.key));
  return (
    <>
      <div class="grid">{[...first.filter(plain), ...first.filter((field) => !plain(field))].map(row)}</div>
      <details class="group inner">
        <summary>Shipping, tax, the trip, returns</summary>
        <div class="grid">{[...rest.filter(plain), ...rest.filter((field) => !plain(field))].map(row)}</div>
      </details>
    </>
  );
}

/** All offers of the job, to be written down, changed, taken away. */
export function OfferList({ schema }: { readonly schema: Schema }) {
  const offers = listAt(["offers"]);
  const [fresh, setFresh] = useState<number | null>(null);
  const add = (): void => {
    setFresh(offers.length);
    change(["offers", offers.length], { name: freshName("offer", offers), form: "whole", per: documentArea.value }, true);
  };
  return (
    <div class="offers">
      {offers.map((offer, i) => {
        const wrong = mistakesIn(`offers[${i}]`) > 0;
        return (
          <details class="group" key={i} open={fresh === i}>
            <summary>{nameOf(offer, `offer ${i + 1}`)}{wrong && <span class="mark"> – has mistakes</span>}</summary>
            <Editor schema={schema} index={i} />
            <button type="button" class="quiet" onClick={() => { setFresh(null); change(["offers", i], undefined, true); }}>
              Take this offer away<span class="unseen"> – {nameOf(offer, `offer ${i + 1}`)}</span>
            </button>
          </details>
        );
      })}
      <button type="button" onClick={add} disabled={offers.length >= (schema.$defs["job"]?.properties?.["offers"]?.maxItems ?? 20)}>Add an offer</button>
    </div>
  );
}
