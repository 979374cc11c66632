// The seats of a job: their measures beside the drawing that follows from them.

import { signal, useSignal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Cover, Point } from "./api";
import { at, freshName, isObject, nameOf, pathOf, pathText, placeWords, type Json, type JsonObject, type Path } from "./document";
import { boxOf, CoverDrawing, Legend, type Handle } from "./drawing";
import { FieldRow, Group, idOf } from "./fields";
import { areaSeen, change, derived, documentUnit, draft, jobTitle, listAt, mistakesIn, problems, state, unit } from "./job";
import type { PlaceProps } from "./places";
import { RuleBars, RuleTable } from "./rules";
import { fieldsOf, labelOf, type Schema } from "./schema";
import { SectionDrawing, SectionLegend, SideChoice } from "./section";
import { exactLength, leastMm, showArea, tapeLength, toMm, writtenMeasure, type LengthUnit } from "./units";
import { seatsAddress } from "./route";
import { counted, countedAll, problemWords } from "./words";

// Measures that can be dragged, for each shape: where the hand takes hold, and how much the
// measure changes when it moves outward by 1 mm.
type Grip = readonly [key: string, along: "x" | "y", factor: number, place: "right" | "back" | "front right" | "back right"];
const WHOLE: Grip = ["depth", "y", 1, "back"];
const GRIPS: Readonly<Record<string, readonly Grip[]>> = {
  rectangle: [["front", "x", 2, "right"], WHOLE],
  taper: [["front", "x", 2, "front right"], ["back", "x", 2, "back right"], WHOLE],
  D: [["front", "x", 2, "front right"], WHOLE],
  round: [["diameter", "x", 2, "right"]],
  oval: [["width", "x", 2, "right"], WHOLE],
};

function placeOf(cover: Cover, place: Grip[3]): Point {
  const box = boxOf(cover.frame_mm);
  const depth = box.back - box.front;
  const near = (y: number): Point => cover.frame_mm.reduce((best, point) =>
    point[0] > 0 && Math.abs(point[1] - y) < Math.abs(best[1] - y) ? point : best, [box.right, box.back * 9]);
  switch (place) {
    case "right": return [box.right, (box.front + box.back) / 2];
    case "back": return [0, box.back];
    case "front right": return [near(box.front + depth * 0.2)[0], box.front + depth * 0.2];
    case "back right": return [near(box.back - depth * 0.15)[0], box.back - depth * 0.15];
  }
}

function handlesOf(cover: Cover, seat: Path, chair: Path | null): Handle[] {
  const kind = at(draft.value, [...seat, "frame"]);
  const own = chair ? at(draft.value, [...chair, "frame"]) : undefined;
  const frame: JsonObject = { ...(isObject(kind) ? kind : {}), ...(isObject(own) ? own : {}) };
  const seen = unit.value;
  const least = leastMm(seen);
  return (GRIPS[String(frame["shape"])] ?? []).flatMap(([key, along, factor, place]): Handle[] => {
    const mm = toMm(frame[key], documentUnit.value);
    if (mm === null) return [];
    const where: Path = [...(chair ?? seat), "frame", key];
    return [{
      label: labelOf(key), at: placeOf(cover, place), along, factor, mm, least,
      text: `${exactLength(mm, seen)} ${seen}`,
      set: (to, done) => change(where, writtenMeasure(exactLength(to, seen), documentUnit.value, seen), done),
      hold: () => {
        const before = at(draft.value, where);
        return () => change(where, before, true);
      },
    }];
  });
}

function coverOf(seat: string, chair: string | null): Cover | null {
  const mine = derived.value?.covers.filter((cover) => cover.seat === seat) ?? [];
  return mine.find((cover) => cover.chair === chair) ?? mine.find((cover) => cover.chair === null) ?? mine[0] ?? null;
}

function Caption({ cover, seen }: { readonly cover: Cover; readonly seen: LengthUnit }) {
  const box = boxOf(cover.outline_mm);
  const size = [box.right - box.left, box.back - box.front].map((mm) => tapeLength(mm, seen)).join(" × ");
  return (
    <dl>
      <div><dt>Cut</dt><dd>{size} {seen}</dd></div>
      <div><dt>Leather</dt><dd>{showArea(cover.gross_area_mm2, areaSeen.value)}</dd></div>
      <div><dt>On the seat</dt><dd>{showArea(cover.net_area_mm2, areaSeen.value)}</dd></div>
      <div><dt>Cover {cover.name}</dt><dd>{counted(cover.count, "chair")}</dd></div>
    </dl>
  );
}

// What the board shows: on a wide screen the cover with one of the others below it, on a narrow
// one the one that belongs to the field that the hand is in, until another is chosen.
type View = "cover" | "section" | "rules";
const view = signal<View>("cover");
const side = signal("front");
const WIDE = matchMedia("(min-width: 60rem)");
const isWide = signal(WIDE.matches);
WIDE.addEventListener("change", () => { isWide.value = WIDE.matches; });

function follow(part: string, event: FocusEvent): void {
  if (!(event.target instanceof HTMLInputElement || event.target instanceof HTMLSelectElement)) return;
  if (view.value !== "rules") view.value = part === "frame" ? "cover" : "section";
  const named = /-(front|right|back|left)$/.exec(event.target.id);
  if (named?.[1] && part !== "frame") side.value = named[1];
}

interface BoardProps {
  readonly cover: Cover;
  readonly stale: boolean;
  readonly handles: readonly Handle[];
  readonly title: string;
}

function Board({ cover, stale, handles, title }: BoardProps) {
  const wide = isWide.value;
  const seen = unit.value;
  const below = view.value === "rules" ? "rules" : "section";
  const shown = wide ? below : view.value;
  const section = cover.sections[side.value];
  const button = (which: View, text: string) => (
    <button type="button" aria-pressed={shown === which} onClick={() => { view.value = which; }}>{text}</button>
  );
  return (
    <>
      {(wide || shown === "cover") && <>
        <CoverDrawing cover={cover} handles={handles} stale={stale} side={side.value} onSide={(to) => { side.value = to; }}
          name={`Cover of ${title}, grain side up, front nearest to you`} />
        {stale ? <p class="stalenote">As it was before the mistakes.</p> : <Caption cover={cover} seen={seen} />}
      </>}
      <div class="views">
        <div role="group" aria-label="What is shown">
          {!wide && button("cover", "Cover")}{button("section", "Cut through")}{button("rules", "Flat rules")}
        </div>
        {shown === "section" &&
          <SideChoice sides={Object.keys(cover.sections)} chosen={side.value} choose={(to) => { side.value = to; }} />}
      </div>
      {shown === "section" && section && <>
        <SectionDrawing cover={cover} side={side.value} unit={seen} stale={stale} />
        <SectionLegend section={section} />
      </>}
      {shown === "rules" && <RuleBars cover={cover} unit={seen} />}
      {!wide && shown !== "cover" && stale && <p class="stalenote">As it was before the mistakes.</p>}
    </>
  );
}

interface LayersProps {
  readonly schema: Schema;
  readonly path: Path;
  readonly kind?: Json | undefined; // the kind's layers, for a chair: its own stand in their place
}

const layerName = (layer: Json, i: number): string =>
  isObject(layer) && typeof layer["material"] === "string" ? layer["material"] : `layer ${i + 1}`;

function Layers({ schema, path, kind }: LayersProps) {
  const found = at(draft.value, path);
  const inChair = path.includes("chairs");
  const kinds = Array.isArray(kind) ? kind : [];
  const layers = Array.isArray(found) ? found : [];
  // The last one of a chair leaves an empty list behind: none, whatever its kind has.
  const take = (i: number): void => change(inChair && layers.length === 1 ? path : [...path, i], inChair && layers.length === 1 ? [] : undefined, true);
  if (inChair && !Array.isArray(found)) {
    return (
      <fieldset class="sides">
        <legend>Layers</legend>
        <p class="help">As its kind: {kinds.length > 0 ? kinds.map(layerName).join(", ") : "none"}.</p>
        <button type="button" onClick={() => change(path, [...kinds], true)}>Other layers for this chair</button>
      </fieldset>
    );
  }
  return (
    <fieldset class="sides">
      <legend>Layers</legend>
      <p class="help">What lies between padding and leather, from below.{inChair && " They stand in place of its kind’s."}</p>
      {layers.map((layer, i) => (
        <fieldset key={i} class="item">
          <legend>{layerName(layer, i)}</legend>
          <div class="parts"><Group schema={schema} definition="layer" path={[...path, i]} /></div>
          <div class="actions">
            <button type="button" class="quiet" onClick={() => take(i)}>Take away<span class="unseen"> layer {i + 1}</span></button>
            {i > 0 && <button type="button" class="quiet" onClick={() =>
              change(path, layers.map((one, k) => (k === i ? layers[i - 1] : k === i - 1 ? layers[i] : one) ?? null), true)}>
              Lower<span class="unseen">: layer {i + 1}</span></button>}
          </div>
        </fieldset>
      ))}
      <div class="actions">
        <button type="button" onClick={() => change([...path, layers.length],
          { material: "muslin", thickness: "0.3 mm", sides: true, under: true }, true)}>Add a layer</button>
        {inChair && <button type="button" class="quiet" onClick={() => change(path, undefined, true)}>Layers as its kind</button>}
      </div>
    </fieldset>
  );
}

const PARTS = [
  ["frame", "Frame"], ["board", "Board"], ["padding", "Padding"], ["fixing", "Fixing"],
] as const;

interface PartProps {
  readonly schema: Schema;
  readonly path: Path;
  readonly kind?: JsonObject;
  readonly part: (typeof PARTS)[number][0];
  readonly title: string;
}

// One group of measures. It opens when a mistake is found in it, and does not close on the hand
// that mends it.
function Part({ schema, path, kind, part, title }: PartProps) {
  const inPart = mistakesIn(`${pathText(path)}.${part}`);
  const [open, setOpen] = useState(part === "frame");
  useEffect(() => {
    if (inPart > 0) setOpen(true);
  }, [inPart > 0]);
  return (
    <details class="group" open={open} onToggle={(event) => setOpen(event.currentTarget.open)} onFocusIn={(event) => follow(part, event)}>
      <summary>{title}{inPart > 0 && <span class="mark"> {counted(inPart, "mistake")}</span>}</summary>
      <div class="grid">
        <Group schema={schema} definition={part} path={[...path, part]}
          {...(kind ? { kind: isObject(kind[part]) ? kind[part] : {} } : {})} />
        {part === "padding" && <Layers schema={schema} path={[...path, part, "layers"]} kind={at(kind, [part, "layers"])} />}
      </div>
    </details>
  );
}

// The four groups of measures, of a kind of seat or of a chair that differs from it.
function Parts({ schema, path, kind }: Pick<PartProps, "schema" | "path" | "kind">) {
  return <>{PARTS.map(([part, title]) => <Part key={part} schema={schema} path={path} part={part} title={title} {...(kind ? { kind } : {})} />)}</>;
}

export function Mistakes() {
  const list = problems.value;
  const count = list.filter((one) => one.kind !== "doubt").length;
  const text = countedAll([[count, "mistake"], [list.length - count, "doubt"]]);
  const go = (place: string): void => {
    // The field itself, or the nearest thing that the page shows of it.
    for (let path = place; path !== ""; path = path.replace(/(\.[^.[]*|\[\d+\]|^[^.[]*)$/, "")) {
      const found = document.getElementById(idOf(path));
      if (!found) continue;
      found.closest("details")?.setAttribute("open", "");
      found.focus();
      found.scrollIntoView({ block: "center" });
      return;
    }
  };
  return (
    <>
      <p class="unseen" role="status">{derived.value ? text || "No mistakes" : ""}</p>
      {list.length > 0 && (
        <details class="mistakes">
          <summary>{text}</summary>
          <ul>
            {list.map((one, i) => (
              <li key={i}>
                <button type="button" class="link" onClick={() => go(one.where)}>{placeWords(pathOf(one.where), draft.value)}</button> {problemWords(one)}
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

export function Seats({ schema, part: asked }: PlaceProps) {
  const seats = listAt(["seats"]);
  const seat = Math.min(asked, Math.max(seats.length - 1, 0));
  const path: Path = ["seats", seat];
  const kind = seats[seat];
  const chairs = listAt([...path, "chairs"]);
  const chosen = useSignal<number | null>(null);
  const chair = chosen.value !== null && chosen.value < chairs.length ? chosen.value : null;
  const last = useRef<Cover | null>(null);
  const [jumped, setJumped] = useState(0);
  useEffect(() => {
    chosen.value = null;
    last.current = null;
  }, [seat, state.value?.id]);

  const name = nameOf(kind, "");
  const fresh = coverOf(name, chair === null ? null : nameOf(chairs[chair], ""));
  if (fresh) last.current = fresh;
  const cover = fresh ?? last.current;
  const id = state.value?.id ?? 0;
  const chairPath: Path | null = chair === null ? null : [...path, "chairs", chair];
  const title = chair === null ? nameOf(kind, `seat ${seat + 1}`) : `${nameOf(kind, "seat")}, ${nameOf(chairs[chair], `chair ${chair + 1}`)}`;

  const addSeat = (): void => {
    const copy: Json = isObject(kind) ? { ...kind, name: freshName("seat", seats) } : { name: "seat", frame: { shape: "taper" }, board: {}, padding: {} };
    if (isObject(copy)) delete copy["chairs"];
    change(["seats", seats.length], copy, true);
    location.hash = seatsAddress(id, seats.length);
  };
  const addChair = (): void => {
    change([...path, "chairs", chairs.length], { name: freshName("number", chairs) }, true);
    chosen.value = chairs.length;
    setJumped(jumped + 1);
  };
  return (
    <main id="main" tabindex={-1} class="seats">
      <h1>{jobTitle.value}</h1>
      <Mistakes />
      <nav class="tabs" aria-label="Kinds of seat">
        <ul>
          {seats.map((one, i) => (
            <li key={i}><a href={seatsAddress(id, i)} aria-current={i === seat ? "page" : undefined}>{nameOf(one, `seat ${i + 1}`)}</a></li>
          ))}
          <li><button type="button" class="quiet" onClick={addSeat}>Add a kind</button></li>
        </ul>
      </nav>
      <div class="work">
        <section class="board" aria-label="Drawing">
          {cover ? (
            <Board cover={cover} stale={!fresh} handles={handlesOf(cover, path, chairPath)} title={title} />
          ) : (
            <p class="blank">{derived.value ? "Type the measures; the cover is drawn as soon as they suffice." : ""}</p>
          )}
        </section>
        <section class="measures" aria-label={`Measures of ${title}`}>
          {chairs.length > 0 && (
            <div class="chairs" role="group" aria-label="Whose measures">
              <button type="button" aria-pressed={chair === null} onClick={() => { chosen.value = null; }}>All of the kind</button>
              {chairs.map((one, i) => (
                <button type="button" key={i} aria-pressed={chair === i} onClick={() => { chosen.value = i; }}>
                  {nameOf(one, `chair ${i + 1}`)}
                </button>
              ))}
            </div>
          )}
          {chairPath === null ? (
            <>
              <div class="grid">
                {fieldsOf(schema, "seat", kind).filter((field) => ["name", "count"].includes(field.key)).map((field) => (
                  <FieldRow key={field.key} schema={schema} path={[...path, field.key]} field={field} />
                ))}
              </div>
              <Parts key={seat} schema={schema} path={path} />
              <details class="group">
                <summary>Cutting and the chair</summary>
                <div class="grid">
                  <Group schema={schema} definition="seat" path={path}
                    without={["name", "count", "frame", "board", "padding", "fixing", "chairs"]} />
                </div>
              </details>
            </>
          ) : (
            <>
              <p class="help">Write only what differs; an empty field is as its kind.</p>
              <div class="grid">
                <Group schema={schema} definition="chair" path={chairPath} without={["frame", "board", "padding", "fixing"]} />
              </div>
              <Parts key={`${seat}-${chair}`} schema={schema} path={chairPath} kind={isObject(kind) ? kind : {}} />
            </>
          )}
          <div class="actions">
            <button type="button" onClick={addChair}>A chair that differs</button>
            {chairPath !== null && (
              <button type="button" class="quiet" onClick={() => { chosen.value = null; change(chairPath, undefined, true); }}>
                As its kind again
              </button>
            )}
            {chairPath === null && seats.length > 1 && (
              <button type="button" class="quiet" onClick={() => {
                location.hash = seatsAddress(id, Math.max(seat - 1, 0));
                change(path, undefined, true);
              }}>Take this kind away</button>
            )}
          </div>
          <details class="group">
            <summary>The job</summary>
            <div class="grid"><Group schema={schema} definition="job" path={[]}
              without={Object.keys(schema.$defs["job"]?.properties ?? {}).filter((key) => key !== "name" && key !== "notes" && key !== "paper")} /></div>
          </details>
        </section>
        <section class="below" aria-label="Figures">
          {cover && <RuleTable cover={cover} seen={unit.value} />}
          {cover && <Legend />}
        </section>
      </div>
    </main>
  );
}
