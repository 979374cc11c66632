// The seats of a job: their measures beside the drawing that follows from them.

import { useSignal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Cover, Point } from "./api";
import { at, isObject, type Json, type JsonObject, type Path } from "./document";
import { boxOf, CoverDrawing, Legend, type Handle } from "./drawing";
import { FieldRow, Group, idOf, wordsOf } from "./fields";
import { change, derived, documentUnit, draft, problems, state, unit } from "./job";
import type { PlaceProps } from "./places";
import { fieldsOf, type Schema } from "./schema";
import { exactLength, MM_PER, showArea, tapeLength, toMm, writtenMeasure, type LengthUnit } from "./units";
import { seatsAddress } from "./route";

const nameOf = (value: Json | undefined, usual: string): string =>
  isObject(value) && typeof value["name"] === "string" && value["name"].trim() !== "" ? value["name"] : usual;
const listAt = (path: Path): readonly Json[] => {
  const found = at(draft.value, path);
  return Array.isArray(found) ? found : [];
};

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
  const least = seen === "in" ? (MM_PER["in"] ?? 1) / 8 : 1;
  return (GRIPS[String(frame["shape"])] ?? []).flatMap(([key, along, factor, place]): Handle[] => {
    const mm = toMm(frame[key], documentUnit.value);
    if (mm === null) return [];
    return [{
      label: key.charAt(0).toUpperCase() + key.slice(1), at: placeOf(cover, place), along, factor, mm, least,
      text: `${exactLength(mm, seen)} ${seen}`,
      set: (to, done) => change([...(chair ?? seat), "frame", key], writtenMeasure(exactLength(to, seen), documentUnit.value, seen), done),
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
      <div><dt>Leather</dt><dd>{showArea(cover.gross_area_mm2, seen)}</dd></div>
      <div><dt>On the seat</dt><dd>{showArea(cover.net_area_mm2, seen)}</dd></div>
      <div><dt>Cover {cover.name}</dt><dd>{cover.count === 1 ? "1 chair" : `${cover.count} chairs`}</dd></div>
    </dl>
  );
}

function Figures({ cover, seen }: { readonly cover: Cover; readonly seen: LengthUnit }) {
  const show = (mm: number): string => `${tapeLength(mm, seen)} ${seen}`;
  const sides = Object.keys(cover.paths);
  return (
    <div class="figures">
      <div class="wide" role="region" aria-label="Allowance beside the flat rules" tabindex={0}>
        <table>
          <caption>Allowance beyond the frame, and what the flat rules would make of it</caption>
          <thead><tr><th scope="col">side</th><th scope="col">this cover</th>
            {cover.flat_rules.map((rule) => <th scope="col" key={rule.name}>{rule.name}</th>)}</tr></thead>
          <tbody>
            {sides.map((side) => (
              <tr key={side}>
                <th scope="row">{side}</th>
                <td>{show(cover.paths[side]?.["allowance_mm"] ?? 0)}</td>
                {cover.flat_rules.map((rule) => {
                  const wasted = rule.wasted_mm[side] ?? 0;
                  return <td key={rule.name} class={wasted < 0 ? "short" : undefined}>
                    {wasted < 0 ? `${show(-wasted)} short` : `${show(wasted)} wasted`}</td>;
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <ul class="sources">{cover.flat_rules.map((rule) => <li key={rule.name}>{rule.name}: {rule.source}</li>)}</ul>
    </div>
  );
}

function Layers({ schema, path }: { readonly schema: Schema; readonly path: Path }) {
  const layers = listAt(path);
  return (
    <fieldset class="sides">
      <legend>Layers</legend>
      <p class="help">What lies between padding and leather, from below.</p>
      {layers.map((layer, i) => (
        <fieldset key={i} class="item">
          <legend>{isObject(layer) && typeof layer["material"] === "string" ? layer["material"] : `layer ${i + 1}`}</legend>
          <div class="parts"><Group schema={schema} definition="layer" path={[...path, i]} /></div>
          <button type="button" class="quiet" onClick={() => change([...path, i], undefined, true)}>
            Take away<span class="unseen"> layer {i + 1}</span>
          </button>
        </fieldset>
      ))}
      <button type="button" onClick={() => change([...path, layers.length],
        { material: "muslin", thickness: "0.3 mm", sides: true, under: true }, true)}>Add a layer</button>
    </fieldset>
  );
}

const PARTS = [
  ["frame", "Frame"], ["board", "Board"], ["padding", "Padding"], ["fixing", "Fixing"],
] as const;

// The four groups of measures, of a kind of seat or of a chair that differs from it.
function Parts({ schema, path, kind }: { readonly schema: Schema; readonly path: Path; readonly kind?: JsonObject }) {
  return (
    <>
      {PARTS.map(([part, title], i) => {
        const inPart = problems.value.filter((one) => one.kind !== "doubt" && one.where.startsWith(`${where(path)}.${part}`)).length;
        return (
          <details key={part} class="group" open={i === 0 || inPart > 0}>
            <summary>{title}{inPart > 0 && <span class="mark"> {inPart === 1 ? "1 mistake" : `${inPart} mistakes`}</span>}</summary>
            <div class="grid">
              <Group schema={schema} definition={part} path={[...path, part]}
                {...(kind ? { kind: isObject(kind[part]) ? kind[part] : {} } : {})} />
              {part === "padding" && <Layers schema={schema} path={[...path, part, "layers"]} />}
            </div>
          </details>
        );
      })}
    </>
  );
}

function where(path: Path): string {
  return path.map((one) => (typeof one === "number" ? `[${one}]` : `.${one}`)).join("").slice(1);
}

function freshName(base: string, taken: readonly Json[]): string {
  const names = new Set(taken.map((one) => nameOf(one, "")));
  let count = taken.length + 1;
  while (names.has(`${base} ${count}`)) count++;
  return `${base} ${count}`;
}

function Mistakes() {
  const list = problems.value;
  const count = list.filter((one) => one.kind !== "doubt").length;
  const doubts = list.length - count;
  const text = [count > 0 && (count === 1 ? "1 mistake" : `${count} mistakes`),
    doubts > 0 && (doubts === 1 ? "1 doubt" : `${doubts} doubts`)].filter(Boolean).join(", ");
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
                <button type="button" class="link" onClick={() => go(one.where)}>{one.where}</button> {wordsOf(one)}
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
      <h1>{String(draft.value["name"] ?? "A job")}</h1>
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
            <>
              <CoverDrawing cover={cover} handles={handlesOf(cover, path, chairPath)} stale={!fresh}
                name={`Cover of ${title}, grain side up, front nearest to you`} />
              {fresh ? <Caption cover={cover} seen={unit.value} /> : <p class="stalenote">As it was before the mistakes.</p>}
              <Legend place="beside" />
            </>
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
          {cover && <Legend place="under" />}
          {cover && <Figures cover={cover} seen={unit.value} />}
        </section>
      </div>
    </main>
  );
}
