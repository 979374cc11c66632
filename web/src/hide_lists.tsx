// Everything of a hide as lists beside the drawing: stations of the tape, places round an edge, flaws
// and regions, each with fields, so that all can be done without pointing.

import { useId, useState } from "preact/hooks";
import { isObject, pathText, type Json, type JsonObject, type Path } from "./document";
import { addSpot, chosen, flawKind, formOf, hide, listOf, path, regionKind, scratchMm, spotMm, takeAllAway, takeAway, tool, units, type Chosen, type Tool } from "./hide_edit";
import { facts, lastGood } from "./hide_facts";
import { asMeasure, FieldRow, Group, idOf, Problems, TextInput } from "./fields";
import { areaSeen, change, listAt, mistakesIn, problems, problemsIn, unit } from "./job";
import { fieldsOf, type Schema } from "./schema";
import { lengthOf, stationPoint } from "./hide_places";
import { boxAround, ringOf, toScreen } from "./hide_view";
import { Table } from "./table";
import { exactLength, MM_PER, showArea, toMm } from "./units";
import { counted } from "./words";

/** What is said of a list as a whole. */
function SaidOf({ where }: { readonly where: string }) {
  const mine = problems.value.filter((one) => one.where === where);
  return mine.length > 0 ? <Problems list={mine} id={`${idOf(where)}-problems`} /> : null;
}

export function Section({ title, where, open, children }: {
  readonly title: string; readonly where: readonly string[]; readonly open: boolean; readonly children: preact.ComponentChildren;
}) {
  const mistakes = where.reduce((sum, one) => sum + mistakesIn(one), 0);
  return (
    <details class="group" open={open || mistakes > 0}>
      <summary>{title}{mistakes > 0 && <span class="mark"> {counted(mistakes, "mistake")}</span>}</summary>
      <div class="hidelist">{children}</div>
    </details>
  );
}

const SIDES: Readonly<Record<string, readonly string[]>> = { left: ["left"], right: ["right"] };

const STEP = { in: 6, mm: 150 } as const;

// How far up the next station likely is: as far again as between the last two; nothing is said
// when the last one cannot be read.
function nextUp(): Json | undefined {
  const ups = listOf("stations").map((one) => (isObject(one) ? toMm(one["up"], units.value.document) : null));
  const [before, last] = [ups[ups.length - 2], ups[ups.length - 1]];
  const step = STEP[units.value.document] * MM_PER[units.value.document];
  if (last === undefined) return 0;
  if (last === null) return undefined;
  return lengthOf(last + (before !== undefined && before !== null && last > before ? last - before : step), units.value);
}

function Station({ index, sides }: { readonly index: number; readonly sides: readonly string[] }) {
  const here: Path = [...path.value, "stations", index];
  const where = pathText(here);
  const fresh = index >= listOf("stations").length;
  const mine = problemsIn(where);
  const now = chosen.value;
  return (
    <>
      <tr class={now?.what === "station" && now.index === index ? "mine" : undefined}
        onFocusCapture={() => { chosen.value = fresh ? null : { what: "station", index, point: 0 }; }}>
        <th scope="row">{fresh ? "new" : index + 1}</th>
        {["up", ...sides].map((key) => {
          const bad = mine.some((one) => one.where === `${where}.${key}` && one.kind !== "doubt");
          return (
            <td key={key} class={bad ? "row invalid" : "row"}>
              <label class="unseen" for={idOf(`${where}.${key}`)}>{fresh ? "new station" : `station ${index + 1}`}, {key}</label>
              <TextInput path={[...here, key]} usual={key === "up" ? (fresh ? asMeasure.show(nextUp()) : "") : "–"} {...asMeasure}
                {...(fresh && key !== "up" ? { first: () => { if (index >= listOf("stations").length) change([...here, "up"], nextUp(), false); } } : {})}
                ids={{ id: idOf(`${where}.${key}`), describedBy: mine.length > 0 ? `${idOf(where)}-problems` : "", invalid: bad }} />
            </td>
          );
        })}
      </tr>
      {mine.length > 0 && <tr><td colSpan={sides.length + 2}><Problems list={mine} id={`${idOf(where)}-problems`} /></td></tr>}
    </>
  );
}

/** The outline beside the readings, where the drawing itself has scrolled away. */
function Glance() {
  const ring = lastGood.value?.hide?.outline_mm;
  if (!ring) return null;
  const box = boxAround(ring);
  const now = chosen.value;
  const points = now?.what === "station" ? (["left", "right"] as const).map((side) => stationPoint(listOf("stations")[now.index], side, units.value)) : [];
  const room = (box.bottom - box.top) * 0.04;
  return (
    <svg class="glance" viewBox={`${box.left - room} ${box.top - room} ${box.right - box.left + 2 * room} ${box.bottom - box.top + 2 * room}`} aria-hidden="true">
      <path class="hideleather" d={ringOf(ring)} />
      {points.map((one) => one && <circle key={one.join()} class="hideknob" cx={toScreen(one)[0]} cy={toScreen(one)[1]} r={room} />)}
    </svg>
  );
}

/** The readings of a tape, in the order in which one walks the edge. */
export function Stations() {
  const list = listOf("stations");
  const half = hide.value?.["form"] === "side" ? String(hide.value["half"] ?? "") : "";
  const sides = SIDES[half] ?? ["left", "right"];
  const now = chosen.value?.what === "station" ? chosen.value.index : null;
  const next = (event: KeyboardEvent): void => {
    if (event.key !== "Enter" || !(event.target instanceof HTMLInputElement)) return;
    const inputs = [...(event.currentTarget as HTMLElement).querySelectorAll("input")];
    const after = inputs[inputs.indexOf(event.target) + (event.shiftKey ? -1 : 1)];
    event.preventDefault();
    after?.focus();
    after?.select();
  };
  return (
    <>
      <p class="help">Lay a tape along the backbone, its zero at the root of the tail. Every 6 in or 150 mm, and where the edge turns, measure square to it out
        to the edge. Enter goes to the next field. Where the edge doubles back, <i>up</i> may go back too; behind the tail it is negative.</p>
      <SaidOf where={pathText([...path.value, "stations"])} />
      <Glance />
      <table class="stations" onKeyDown={next}>
        <thead><tr><th scope="col">no.</th>{["up", ...sides].map((key) => <th scope="col" key={key}>{key}, {unit.value}</th>)}</tr></thead>
        <tbody>{Array.from({ length: list.length + 1 }, (_, i) => <Station key={i} index={i} sides={sides} />)}</tbody>
      </table>
      {now !== null && (
        <div class="actions">
          <button type="button" onClick={() => change([...path.value, "stations"], [...list.slice(0, now), {}, ...list.slice(now)], true)}>
            Insert before station {now + 1}
          </button>
          <button type="button" class="quiet" onClick={takeAway}>Take station {now + 1} away</button>
        </div>
      )}
    </>
  );
}

interface PlacesProps {
  readonly schema: Schema;
  readonly at: Path; // of the list
  readonly what: string;
  readonly now: number;
  readonly choose: (index: number) => void;
}

/** One place of a list at a time: long lists would be in the way. */
export function Places({ schema, at: here, what, now: asked, choose }: PlacesProps) {
  const list = listAt(here);
  const id = useId();
  const now = Math.min(asked, Math.max(list.length - 1, 0));
  const insert = (): void => {
    const from = list[now];
    change(here, [...list.slice(0, now + 1), isObject(from) ? { ...from } : {}, ...list.slice(now + 1)], true);
    choose(now + 1);
  };
  return (
    <fieldset class="item">
      <legend>{what}</legend>
      <SaidOf where={pathText(here)} />
      {list.length === 0 ? <p>None yet.</p> : (
        <>
          <div class="stepper">
            <button type="button" disabled={now === 0} onClick={() => choose(now - 1)} aria-label="The place before">‹</button>
            <label for={`${id}-place`}>Place</label>
            <input id={`${id}-place`} type="number" min={1} max={list.length} value={now + 1}
              onChange={(event) => choose(Math.min(list.length, Math.max(1, Math.round(Number(event.currentTarget.value)) || 1)) - 1)} />
            <span>of {list.length}</span>
            <button type="button" disabled={now >= list.length - 1} onClick={() => choose(now + 1)} aria-label="The next place">›</button>
          </div>
          <SaidOf where={pathText([...here, now])} />
          <div class="parts"><Group schema={schema} definition="place" path={[...here, now]} /></div>
          <div class="actions">
            <button type="button" onClick={insert}>Insert after it</button>
            <button type="button" class="quiet" onClick={() => { change([...here, now], undefined, true); choose(Math.max(now - 1, 0)); }}>Take it away</button>
          </div>
        </>
      )}
    </fieldset>
  );
}

/** The edge as places round it. */
export function EdgePlaces({ schema }: { readonly schema: Schema }) {
  const now = chosen.value?.what === "point" ? chosen.value.index : 0;
  return <Places schema={schema} at={[...path.value, "points"]} what="Places round the edge" now={now}
    choose={(index) => { chosen.value = { what: "point", index, point: 0 }; }} />;
}

const BAND_WORDS: Readonly<Record<string, string>> = {
  none: "keeps the whole cover off",
  grip: "may lie in the grip only",
  turn: "may lie in turn and grip",
  edge: "may lie in edge, turn and grip",
  face: "may lie anywhere",
};

const bandOfFlaw = (kind: string): string =>
  BAND_WORDS[facts.value?.tolerated.flaws.find((one) => one.kind === kind)?.may_lie_in ?? ""] ?? "";
const bandOfFirmness = (firmness: string): string =>
  BAND_WORDS[facts.value?.tolerated.firmness.find((one) => one.firmness === firmness)?.may_lie_in ?? ""] ?? "";

const kindsOf = (schema: Schema, definition: string): readonly string[] =>
  fieldsOf(schema, definition, {}).find((field) => field.key === "kind")?.words ?? [];

const FORMS = { at: "spot", line: "line", area: "area" } as const;
const SIZES: Readonly<Record<string, string>> = { at: "radius", line: "width" };

function toggled(what: Chosen["what"], index: number): void {
  const now = chosen.value;
  chosen.value = now?.what === what && now.index === index ? null : { what, index, point: null };
}

function Flaw({ schema, index, flaw }: { readonly schema: Schema; readonly index: number; readonly flaw: JsonObject }) {
  const here: Path = [...path.value, "flaws", index];
  const form = formOf(flaw);
  const now = chosen.value;
  const open = now?.what === "flaw" && now.index === index;
  const size = SIZES[form];
  const shown = size === undefined ? "" : `, ${size} ${asMeasure.show(flaw[size])} ${unit.value}`;
  const kind = String(flaw["kind"] ?? "");
  const mistakes = mistakesIn(pathText(here));
  return (
    <li class={open ? "entry-open" : undefined}>
      <button type="button" class="entry-head" aria-expanded={open} onClick={() => toggled("flaw", index)}>
        <b>{index + 1} {String(flaw["name"] ?? kind)}</b>
        <span>{kind}, {FORMS[form]}{shown}; {bandOfFlaw(kind)}{mistakes > 0 && <em class="mark"> {counted(mistakes, "mistake")}</em>}</span>
      </button>
      <SaidOf where={pathText(here)} />
      {open && (
        <div class="entry-body">
          <div class="parts">
            {fieldsOf(schema, "flaw", flaw).filter((field) => field.key === "kind" || field.key === "name" || field.key === size).map((field) =>
              <FieldRow key={field.key} schema={schema} path={[...here, field.key]} field={field} />)}
          </div>
          {form === "at"
            ? <fieldset class="item"><legend>Middle</legend><SaidOf where={pathText([...here, "at"])} /><div class="parts"><Group schema={schema} definition="place" path={[...here, "at"]} /></div></fieldset>
            : <Places schema={schema} at={[...here, form]} what={form === "line" ? "Places along it" : "Places round it"} now={now.point ?? 0}
                choose={(point) => { chosen.value = { what: "flaw", index, point }; }} />}
          <button type="button" class="quiet" onClick={takeAllAway}>Take this flaw away</button>
        </div>
      )}
    </li>
  );
}

/** All flaws, and one more without pointing. */
export function Flaws({ schema }: { readonly schema: Schema }) {
  const list = listOf("flaws");
  return (
    <>
      <p class="help">Choose a kind and a way to mark it above the drawing: tap a spot, stroke along a scratch, draw round a patch. Or add one here and type where it is.</p>
      <SaidOf where={pathText([...path.value, "flaws"])} />
      <ul class="entries">{list.map((flaw, i) => isObject(flaw) && <Flaw key={i} schema={schema} index={i} flaw={flaw} />)}</ul>
      <div class="actions">
        <button type="button" onClick={() => addSpot([(lastGood.value?.hide?.backbone_mm ?? 1000) / 2, 0], spotMm.value)}>
          Add a spot: {flawKind.value}
        </button>
      </div>
    </>
  );
}

function RegionEntry({ schema, index, region }: { readonly schema: Schema; readonly index: number; readonly region: JsonObject }) {
  const here: Path = [...path.value, "regions", index];
  const now = chosen.value;
  const open = now?.what === "region" && now.index === index;
  const said = [region["firmness"] && String(region["firmness"]), Array.isArray(region["area"]) && "drawn by you"].filter(Boolean).join(", ");
  const mistakes = mistakesIn(pathText(here));
  return (
    <li class={open ? "entry-open" : undefined}>
      <button type="button" class="entry-head" aria-expanded={open} onClick={() => toggled("region", index)}>
        <b>{String(region["kind"] ?? "region")}</b>
        <span>{said || "nothing said yet"}{mistakes > 0 && <em class="mark"> {counted(mistakes, "mistake")}</em>}</span>
      </button>
      <SaidOf where={pathText(here)} />
      {open && (
        <div class="entry-body">
          <div class="parts"><Group schema={schema} definition="region" path={here} without={["area"]} /></div>
          {Array.isArray(region["area"]) && (
            <Places schema={schema} at={[...here, "area"]} what="Places round it" now={now.point ?? 0}
              choose={(point) => { chosen.value = { what: "region", index, point }; }} />
          )}
          <button type="button" class="quiet" onClick={takeAllAway}>Take this away</button>
        </div>
      )}
    </li>
  );
}

/** Where good leather lies: as usual, and what the hand knows better. */
export function Regions({ schema }: { readonly schema: Schema }) {
  const shape = lastGood.value?.hide;
  const known = lastGood.value?.firmness ?? [];
  const list = listOf("regions");
  const whole = shape?.area_mm2 ?? 0;
  return (
    <>
      {shape && (
        <Table label="Regions" head={["region", "leather", "stretch along, across"]}
          rows={shape.regions.map((region) => ({
            key: region.kind, cells: [region.kind, region.firmness, `${region.stretch_along}, ${region.stretch_across}`],
          }))} />
      )}
      <ul class="sources">
        {known.filter((one) => one.area_mm2 > 0).map((one) => (
          <li key={one.firmness}><b>{one.firmness}</b>: {showArea(one.area_mm2, areaSeen.value)}, {Math.round((100 * one.area_mm2) / Math.max(whole, 1))} %; {bandOfFirmness(one.firmness)}</li>
        ))}
      </ul>
      <p class="help">Pull the leather by hand. Where it is firmer or softer than usual, say so of a region, or draw an area round it and say what it is.</p>
      <SaidOf where={pathText([...path.value, "regions"])} />
      <ul class="entries">{list.map((region, i) => isObject(region) && <RegionEntry key={i} schema={schema} index={i} region={region} />)}</ul>
      <div class="actions">
        <button type="button" onClick={() => {
          change([...path.value, "regions", list.length], { kind: regionKind.value }, true);
          chosen.value = { what: "region", index: list.length, point: null };
        }}>Say what the {regionKind.value} is like</button>
      </div>
    </>
  );
}

function SizeBox({ label, mm, set }: { readonly label: string; readonly mm: number; readonly set: (mm: number) => void }) {
  const [typed, setTyped] = useState<string | null>(null);
  const id = useId();
  return (
    <span class="size"><label for={id}>{label}</label>
      <input id={id} type="text" autocomplete="off" value={typed ?? exactLength(mm, unit.value)}
        onInput={(event) => {
          setTyped(event.currentTarget.value);
          const read = toMm(event.currentTarget.value, unit.value);
          if (read !== null && read > 0) set(read);
        }}
        onBlur={() => setTyped(null)} />
      <span class="suffix">{unit.value}</span>
    </span>
  );
}

function Choose({ label, value, words, set }: {
  readonly label: string; readonly value: string; readonly words: readonly string[]; readonly set: (word: string) => void;
}) {
  const id = useId();
  return (
    <span class="size"><label for={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => set(event.currentTarget.value)}>
        {words.map((word) => <option key={word} value={word}>{word}</option>)}
      </select>
    </span>
  );
}

const TOOLS: readonly (readonly [Tool, string, string])[] = [
  ["move", "Move", "Drag places and flaws; drag beside them to move the drawing. Tap a flaw to choose it."],
  ["edge", "Edge", "Tap along the edge, or draw all round it in one go. Places can be dragged."],
  ["spot", "Spot", "Tap where the flaw is; drag outward for another size."],
  ["line", "Scratch", "Stroke along it."],
  ["ring", "Patch", "Draw round it."],
  ["region", "Region", "Draw round the area."],
];

/** What a finger on the drawing does. */
export function ToolBar({ schema }: { readonly schema: Schema }) {
  const traced = hide.value?.["form"] !== "panel" && !Array.isArray(hide.value?.["stations"]);
  const tools = TOOLS.filter(([one]) => one !== "edge" || traced);
  const now = tool.value;
  const flaws = now === "spot" || now === "line" || now === "ring";
  return (
    <div class="hidetools">
      <div class="pens" role="group" aria-label="What a finger or the mouse does">
        {tools.map(([one, name]) => (
          <button type="button" key={one} aria-pressed={now === one} onClick={() => {
            tool.value = one;
            if (one === "edge") chosen.value = null;
          }}>{name}</button>
        ))}
      </div>
      <div class="penwords">
        {flaws && <Choose label="Kind" value={flawKind.value} words={kindsOf(schema, "flaw")} set={(word) => { flawKind.value = word; }} />}
        {now === "spot" && <SizeBox label="Radius" mm={spotMm.value} set={(mm) => { spotMm.value = mm; }} />}
        {now === "line" && <SizeBox label="Width" mm={scratchMm.value} set={(mm) => { scratchMm.value = mm; }} />}
        {now === "region" && <Choose label="It is" value={regionKind.value} words={kindsOf(schema, "region")} set={(word) => { regionKind.value = word; }} />}
        <p class="help">{TOOLS.find(([one]) => one === now)?.[2]}</p>
      </div>
    </div>
  );
}

/** The values of the hide itself: name, form, stamp, price. */
export function HideFields({ schema }: { readonly schema: Schema }) {
  const value: Json = hide.value ?? {};
  const lists = ["stations", "points", "flaws", "regions", "remaining", "picture"];
  // The stamp says it all unless a plain number is written already.
  const area = isObject(value) && "stamped_area" in value && !("stamp" in value) ? "stamp" : "stamped_area";
  return (
    <div class="grid">
      {fieldsOf(schema, "hide", value).filter((field) => !lists.includes(field.key) && field.key !== area).map((field) =>
        <FieldRow key={field.key} schema={schema} path={[...path.value, field.key]}
          field={field} />)}
    </div>
  );
}
