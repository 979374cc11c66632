// A picture to trace: from the disk or the camera to the workshop file, and the marks that say how it
// lies under the hide. Where it lies then is worked out by the program.

import { useEffect, useRef, useState } from "preact/hooks";
import { ask, askJson, type Point } from "./api";
import { isObject, pathText, type Json, type JsonObject } from "./document";
import { hide, path, units } from "./hide_edit";
import { lastGood, facts } from "./hide_facts";
import type { Under } from "./hide_drawing";
import { FieldRow, Problems } from "./fields";
import { change, problemsIn, state, unit } from "./job";
import { fieldsOf, type Schema } from "./schema";
import { shownMeasure, toMm, writtenMeasure } from "./units";

const SIDE_MAX_PX = 4096; // finer than anybody can tap, and small enough to keep many
const QUALITY = 0.9;

interface Kept {
  readonly uid: string;
  readonly name: string;
}

// Drawn anew by the browser: any sort that it can show, the right way up, without the place and
// time that a camera writes into its files.
async function drawnAnew(file: File): Promise<Blob> {
  const bitmap = await createImageBitmap(file);
  const share = Math.min(1, SIDE_MAX_PX / Math.max(bitmap.width, bitmap.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(bitmap.width * share));
  canvas.height = Math.max(1, Math.round(bitmap.height * share));
  canvas.getContext("2d")?.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  bitmap.close();
  return new Promise((found, failed) => canvas.toBlob((blob) => (blob ? found(blob) : failed(new Error("the browser could not write the picture"))), "image/jpeg", QUALITY));
}

async function keep(file: File, job: number): Promise<Kept> {
  let body: Blob;
  try {
    body = await drawnAnew(file);
  } catch {
    throw new Error(`${file.name} is no picture that this browser can show`);
  }
  const name = [...file.name].slice(0, 60).join("") || "picture";
  return (await ask(`/api/pictures?of=${job}&name=${encodeURIComponent(name)}`, { method: "POST", file: body })).json() as Promise<Kept>;
}

const addressOf = (uid: string): string => `/api/pictures/${encodeURIComponent(uid)}`;

interface Loaded {
  readonly uid: string;
  readonly size: { readonly width: number; readonly height: number } | null; // null: the workshop does not have it
}

// A picture of the workshop, once the browser has loaded it.
function usePicture(uid: string | null): Loaded | null {
  const [loaded, setLoaded] = useState<Loaded | null>(null);
  useEffect(() => {
    if (uid === null) return;
    const image = new Image();
    image.onload = () => setLoaded({ uid, size: { width: image.naturalWidth, height: image.naturalHeight } });
    image.onerror = () => setLoaded({ uid, size: null });
    image.src = addressOf(uid);
  }, [uid]);
  return loaded?.uid === uid ? loaded : null;
}

const NOT_HERE = "This workshop does not have the picture of this hide.";

/** The picture of the hide, loaded; null while there is none. `why`: it could not be shown. */
export function useUnder(): { under: Under | null; why: string | null } {
  const found = facts.value?.picture ?? null;
  const loaded = usePicture(found?.uid ?? null);
  if (!found || !loaded) return { under: null, why: null };
  return loaded.size ? { under: { address: addressOf(found.uid), ...loaded.size, map: found.map }, why: null } : { under: null, why: NOT_HERE };
}

type Mark = "butt" | "neck" | "from" | "to";
const MARKS: readonly (readonly [Mark, string])[] = [
  ["butt", "the root of the tail, where the tape's zero was"],
  ["neck", "the other end of the backbone, at the neck"],
  ["from", "one end of the length that was measured"],
  ["to", "the other end of that length"],
];
type Marks = Partial<Record<Mark, Point>>;

const pixel = (value: Json | undefined): Point | undefined =>
  isObject(value) && typeof value["column"] === "number" && typeof value["row"] === "number" ? [value["column"], value["row"]] : undefined;

function marksOf(picture: Json | undefined): Marks {
  if (!isObject(picture)) return {};
  return Object.fromEntries(MARKS.flatMap(([mark]) => {
    const found = pixel(picture[mark]);
    return found ? [[mark, found]] : [];
  }));
}

const same = (a: Point | undefined, b: Point | undefined): boolean => a !== undefined && b !== undefined && a[0] === b[0] && a[1] === b[1];

interface MarkingProps {
  readonly schema: Schema;
  readonly uid: string;
  readonly done: () => void;
}

/** The picture by itself, with the marks that say how long and how it lies. */
export function Marking({ schema, uid, done }: MarkingProps) {
  const kept = hide.value?.["picture"];
  const mine = isObject(kept) && kept["uid"] === uid ? kept : undefined;
  const [marks, setMarks] = useState<Marks>(() => marksOf(mine));
  const [along, setAlong] = useState(() => mine === undefined || (same(pixel(mine["butt"]), pixel(mine["from"])) && same(pixel(mine["neck"]), pixel(mine["to"]))));
  const [apart, setApart] = useState(() => (mine ? shownMeasure(mine["apart"], units.value.document, units.value.seen) : ""));
  const loaded = usePicture(uid);
  const size = loaded?.size ?? null;
  const [said, setSaid] = useState<string | null>(null);
  const wanted = along ? MARKS.slice(0, 2) : MARKS;
  const [which, setWhich] = useState<Mark>("butt");
  const dragging = useRef(false);
  const svg = useRef<SVGSVGElement>(null);

  const where = (event: PointerEvent): Point | null => {
    const matrix = svg.current?.getScreenCTM();
    if (!matrix || !size) return null;
    const found = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
    return [Math.min(size.width, Math.max(0, Math.round(found.x))), Math.min(size.height, Math.max(0, Math.round(found.y)))];
  };
  const put = (mark: Mark, to: Point): void => setMarks((before) => ({ ...before, [mark]: to }));
  const begin = (event: PointerEvent): void => {
    const to = where(event);
    if (!to || event.button !== 0) return;
    svg.current?.setPointerCapture(event.pointerId);
    dragging.current = true;
    put(which, to);
  };
  const end = (): void => {
    if (!dragging.current) return;
    dragging.current = false;
    const open = wanted.find(([mark]) => mark !== which && !marks[mark]);
    if (open) setWhich(open[0]);
  };
  const number = (mark: Mark, axis: 0 | 1, typed: string): void => {
    const value = Number(typed);
    if (typed.trim() === "" || !Number.isFinite(value)) return;
    const before = marks[mark] ?? [0, 0];
    put(mark, axis === 0 ? [value, before[1]] : [before[0], value]);
  };
  const use = (): void => {
    const missing = wanted.find(([mark]) => !marks[mark]);
    if (missing) {
      setSaid(`Mark ${missing[1]} first.`);
      setWhich(missing[0]);
      return;
    }
    const mm = toMm(writtenMeasure(apart, units.value.document, units.value.seen), units.value.document);
    if (mm === null || mm <= 0) {
      setSaid("Type the length that was measured first.");
      return;
    }
    const as = (mark: Mark): JsonObject => ({ column: marks[mark]?.[0] ?? 0, row: marks[mark]?.[1] ?? 0 });
    change([...path.value, "picture"], {
      uid, butt: as("butt"), neck: as("neck"), from: as(along ? "butt" : "from"), to: as(along ? "neck" : "to"),
      apart: writtenMeasure(apart, units.value.document, units.value.seen) ?? 0,
    }, true);
    done();
  };
  const knob = size ? Math.max(size.width, size.height) / 90 : 10;
  return (
    <section class="marking" aria-label="The picture and its marks">
      <p class="help">The picture should be taken from straight above, grain side up. Tap the marks, drag them where they belong, and type how far two of them are
        apart on the hide.</p>
      {size && (
        <svg ref={svg} class="photo" viewBox={`0 0 ${size.width} ${size.height}`} role="img" aria-label="The picture with its marks"
          onPointerDown={begin} onPointerMove={(event) => {
            const to = where(event);
            if (dragging.current && to) put(which, to);
          }} onPointerUp={end} onPointerCancel={end}>
          <image href={addressOf(uid)} width={size.width} height={size.height} />
          {marks.butt && marks.neck && <path class="line" d={`M${marks.butt.join(",")}L${marks.neck.join(",")}`} />}
          {!along && marks.from && marks.to && <path class="line measured" d={`M${marks.from.join(",")}L${marks.to.join(",")}`} />}
          {wanted.map(([mark], i) => {
            const to = marks[mark];
            return to && (
              <g key={mark} class={mark === which ? "knobs mine" : "knobs"}>
                <circle cx={to[0]} cy={to[1]} r={knob} /><path d={`M${to[0] - knob},${to[1]}h${2 * knob}M${to[0]},${to[1] - knob}v${2 * knob}`} />
                <text x={to[0] + knob * 1.3} y={to[1] - knob} font-size={knob * 2}>{i + 1}</text>
              </g>
            );
          })}
        </svg>
      )}
      {(said ?? (loaded && !size)) && <p class="stalenote" role="alert">{said ?? NOT_HERE}</p>}
      <label class="tick"><input type="checkbox" checked={along} onChange={(event) => setAlong(event.currentTarget.checked)} />the backbone itself was measured</label>
      <ol class="marks">
        {wanted.map(([mark, text], i) => (
          <li key={mark}>
            <button type="button" aria-pressed={which === mark} onClick={() => setWhich(mark)}>{i + 1} {text}</button>
            <label>from the left, px<input type="number" min={0} value={marks[mark]?.[0] ?? ""} onChange={(event) => number(mark, 0, event.currentTarget.value)} /></label>
            <label>from the top, px<input type="number" min={0} value={marks[mark]?.[1] ?? ""} onChange={(event) => number(mark, 1, event.currentTarget.value)} /></label>
          </li>
        ))}
      </ol>
      <span class="size"><label for="apart">{along ? "Length of the backbone" : "Length between 3 and 4"}</label>
        <input id="apart" type="text" autocomplete="off" value={apart} onInput={(event) => { setApart(event.currentTarget.value); setSaid(null); }} /><span class="suffix">{unit.value}</span>
      </span>
      <div class="actions">
        <button type="button" class="strong" onClick={use}>Lay it under the drawing</button>
        <button type="button" class="quiet" onClick={done}>Not now</button>
      </div>
      {mine && fieldsOf(schema, "picture", mine).filter((field) => field.key === "apart" && problemsIn(pathText([...path.value, "picture"])).length > 0)
        .map((field) => <FieldRow key={field.key} schema={schema} path={[...path.value, "picture", field.key]} field={field} />)}
    </section>
  );
}

/** Loads a picture, chooses one that is there, or takes the present one away. */
export function PictureChoice({ mark }: { readonly mark: (uid: string) => void }) {
  const [list, setList] = useState<readonly Kept[]>([]);
  const [said, setSaid] = useState<string | null>(null);
  const file = useRef<HTMLInputElement>(null);
  const camera = useRef<HTMLInputElement>(null);
  const job = state.value?.id ?? 0;
  const picture = hide.value?.["picture"];
  const has = isObject(picture);
  useEffect(() => {
    askJson<{ pictures: Kept[] }>(`/api/pictures?of=${job}`).then((found) => setList(found.pictures), () => setList([]));
  }, [job]);
  const take = (input: HTMLInputElement): void => {
    const one = input.files?.[0];
    input.value = "";
    if (!one) return;
    setSaid("Loading the picture…");
    keep(one, job).then((kept) => {
      setSaid(null);
      setList((before) => [kept, ...before]);
      mark(kept.uid);
    }, (error: Error) => setSaid(error.message));
  };
  const where = pathText([...path.value, "picture"]);
  const mine = problemsIn(where);
  return (
    <>
      <p class="help">A picture from straight above can lie under the drawing, to trace the edge and the flaws on it. It stays in this workshop file.</p>
      <input ref={file} hidden type="file" accept="image/*" aria-label="A picture from the disk" onChange={(event) => take(event.currentTarget)} />
      <input ref={camera} hidden type="file" accept="image/*" capture="environment" aria-label="A picture from the camera"
        onChange={(event) => take(event.currentTarget)} />
      <div class="actions">
        <button type="button" onClick={() => file.current?.click()}>Load a picture</button>
        <button type="button" onClick={() => camera.current?.click()}>Take one with the camera</button>
        {has && <button type="button" onClick={() => mark(String(picture["uid"] ?? ""))}>Set its marks again</button>}
        {has && <button type="button" class="quiet" onClick={() => change([...path.value, "picture"], undefined, true)}>Take it from the drawing</button>}
      </div>
      {mine.length > 0 && <Problems list={mine} id="picture-problems" />}
      {facts.value?.picture && <p>1 point of the picture is {facts.value.picture.mm_per_px.toPrecision(3)} mm on the hide.</p>}
      {said && <p role="status">{said}</p>}
      {list.length > 0 && !has && (
        <ul class="keptpictures">
          {list.map((one) => (
            <li key={one.uid}><button type="button" class="link" onClick={() => mark(one.uid)}>
              <img src={addressOf(one.uid)} alt="" loading="lazy" />{one.name}</button></li>
          ))}
        </ul>
      )}
      {lastGood.value === null && !has && <p class="help">Without a picture, the edge can be drawn freely too.</p>}
    </>
  );
}
