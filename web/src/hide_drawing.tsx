// A hide at work: leather with its regions, hatched along the firm direction and looser where the
// leather is, flaws ringed as with chalk, the picture that is traced below; and what a hand does on
// it. All lines but those under the finger come from the program.

import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Point, Polygon, Ring } from "./api";
import { TAP_PX } from "./drawing";
import {
  addRegion, addRing, addScratch, addSpot, addToEdge, chosen, handles, hide, hold, listOf, moveTo, setEdge, spotMm, takeAway, tool, type Handle,
} from "./hide_edit";
import { madeFit, type Facts } from "./hide_facts";
import { boxAround, fitting, fromScreen, lineOf, moved, placeAt, ringOf, toScreen, zoomed, type View } from "./hide_view";
import { useSize } from "./size";

const REACH_PX = { mouse: 14, pen: 18, touch: 26 } as const;
const STROKE_PX = 3; // a freehand line gets a place every so often
const WITHIN_PX = 1.6; // and may move by so much when it is made fit
const WITHIN_LEAST_MM = 0.5;
const NEAR_PX = 13; // handles nearer than this to one another wait until one looks closer
const LOUPE_PX = 130;
const LOUPE_TIMES = 3;
const PRECISE = 0.25;
const SPOT_LEAST_MM = 2;

const areaOf = (polygons: readonly Polygon[]): string =>
  polygons.map((one) => [one.outer_mm, ...one.holes_mm].map(ringOf).join("")).join("");

function middleOf(polygons: readonly Polygon[]): Point | null {
  let best: { size: number; middle: Point } | null = null;
  for (const one of polygons) {
    const box = boxAround(one.outer_mm);
    const size = (box.right - box.left) * (box.bottom - box.top);
    if (!best || size > best.size) best = { size, middle: fromScreen([(box.left + box.right) / 2, (box.top + box.bottom) / 2]) };
  }
  return best?.middle ?? null;
}

/** The picture below: its bytes, its size, and how it lies, as the program worked it out. */
export interface Under {
  readonly address: string;
  readonly width: number;
  readonly height: number;
  readonly map: readonly [number, number, number, number, number, number];
}

function corners({ width, height, map: [a, b, c, d, e, f] }: Under): Point[] {
  return ([[0, 0], [width, 0], [width, height], [0, height]] as const).map(([column, row]) =>
    [a * column + c * row + e, b * column + d * row + f]);
}

interface SceneProps {
  readonly facts: Facts | null;
  readonly under: Under | null;
  readonly px: (count: number) => number;
}

function Scene({ facts, under, px }: SceneProps) {
  const shape = facts?.hide ?? null;
  const now = chosen.value;
  // Of a remnant the program leaves out the flaws that were cut away, so its numbers are not the list's.
  const whole = !Array.isArray(hide.value?.["remaining"]);
  return (
    <>
      {under && (
        <image href={under.address} width={under.width} height={under.height} preserveAspectRatio="none"
          transform={`matrix(${[-under.map[1], -under.map[0], -under.map[3], -under.map[2], -under.map[5], -under.map[4]].join(" ")})`} />
      )}
      {shape && <path class={`hideleather${under ? " thin" : ""}`} d={ringOf(shape.outline_mm)} />}
      {facts?.hatching?.flatMap((part) => part.lines_mm.map((line, i) => <path key={`${part.kind}${i}`} class="hidehatch" d={lineOf(line)} />))}
      {shape?.regions.map((region) => <path key={region.kind} class="regionedge" d={areaOf(region.polygons)} />)}
      {shape && <path class="hidebackbone" d={lineOf([[0, 0], [shape.backbone_mm, 0]])} />}
      {shape?.regions.map((region) => {
        const middle = middleOf(region.polygons);
        return middle && (
          <text key={region.kind} class="word name" x={toScreen(middle)[0]} y={toScreen(middle)[1]} font-size={px(13)} text-anchor="middle">
            {region.kind}
          </text>
        );
      })}
      {shape?.flaws.map((flaw) => {
        const middle = middleOf(flaw.polygons);
        const mine = whole && now?.what === "flaw" && now.index === flaw.number - 1;
        return (
          <g key={flaw.number} class="hideflaw" data-flaw={whole ? flaw.number - 1 : undefined}>
            <path class="flawgrip" d={areaOf(flaw.polygons)} />
            <path class={`flawmark${mine ? " mine" : ""}`} d={areaOf(flaw.polygons)} />
            {whole && middle && <text class="word number" x={toScreen(middle)[0] + px(9)} y={toScreen(middle)[1] - px(6)} font-size={px(13)}>{flaw.number}</text>}
          </g>
        );
      })}
    </>
  );
}

// Those that stand apart on the screen; what is chosen always does.
function shownHandles(all: readonly Handle[], perPx: number): Handle[] {
  const now = chosen.value;
  const mine = (one: Handle): boolean => now !== null && now.what === one.chosen.what && now.index === one.chosen.index && (now.point ?? 0) === one.chosen.point;
  const kept: Handle[] = [];
  for (const one of [...all].sort((a, b) => Number(mine(b)) - Number(mine(a)))) {
    if (mine(one) || kept.every((other) => Math.hypot(one.at[0] - other.at[0], one.at[1] - other.at[1]) > NEAR_PX * perPx)) kept.push(one);
  }
  return kept;
}

type Doing =
  | { readonly kind: "pan"; readonly view: View; readonly from: Point; readonly tapped: number | null }
  | { readonly kind: "drag"; readonly handle: Handle; readonly start: Point; readonly from: Point; readonly offset: Point; readonly back: () => void; moved: boolean }
  | { readonly kind: "draw"; readonly from: Point }
  | { readonly kind: "pinch"; readonly view: View; readonly middle: Point; readonly apart: number };

interface BoardProps {
  readonly facts: Facts | null;
  readonly stale: boolean;
  readonly under: Under | null;
  readonly name: string;
  readonly large: boolean;
  readonly children?: ComponentChildren; // more to press below it
}

export function HideDrawing({ facts, stale, under, name, large, children }: BoardProps) {
  const [holder, size] = useSize<SVGSVGElement>({ width: 600, height: 500 });
  const [own, setOwn] = useState<View | null>(null); // null: all of it is seen
  const [line, setLine] = useState<readonly Point[]>([]);
  const [under_finger, setUnderFinger] = useState<{ at: Point; touch: boolean } | null>(null);
  const [precise, setPrecise] = useState(false);
  const pointers = useRef(new Map<number, Point>());
  const doing = useRef<Doing | null>(null);

  const shape = facts?.hide ?? null;
  const all = handles.value;
  const whole = boxAround([
    ...(shape?.outline_mm ?? []), ...(chosen.value?.what === "flaw" || chosen.value?.what === "region" ? [] : all.map((one) => one.at)),
    ...(under && !shape ? corners(under) : []),
  ]);
  const view = own ?? fitting(whole, size);
  const px = (count: number): number => count * view.perPx * size.letter;
  const shown = shownHandles(all, view.perPx);

  const where = (event: MouseEvent): Point => {
    const box = holder.current?.getBoundingClientRect();
    return [event.clientX - (box?.left ?? 0), event.clientY - (box?.top ?? 0)];
  };
  const place = (at_px: Point): Point => fromScreen(placeAt(view, size, at_px));

  const begin = (event: PointerEvent): void => {
    if (event.button !== 0) return;
    const here = where(event);
    holder.current?.setPointerCapture(event.pointerId);
    pointers.current.set(event.pointerId, here);
    setOwn(view); // what is seen stays while a hand is at it
    const [first, second] = [...pointers.current.values()];
    if (first && second) {
      if (doing.current?.kind === "drag" && doing.current.moved) doing.current.back();
      setLine([]);
      setUnderFinger(null);
      doing.current = { kind: "pinch", view, middle: [(first[0] + second[0]) / 2, (first[1] + second[1]) / 2],
        apart: Math.max(Math.hypot(first[0] - second[0], first[1] - second[1]), 1) };
      return;
    }
    const reach = REACH_PX[event.pointerType as keyof typeof REACH_PX] ?? REACH_PX.mouse;
    const spot = place(here);
    const nearest = tool.value !== "move" && tool.value !== "edge" ? null : shown.reduce<{ handle: Handle; away: number } | null>((best, handle) => {
      const away = Math.hypot(handle.at[0] - spot[0], handle.at[1] - spot[1]) / view.perPx;
      return away <= reach && (!best || away < best.away) ? { handle, away } : best;
    }, null);
    if (nearest) {
      const { handle } = nearest;
      chosen.value = handle.chosen;
      doing.current = { kind: "drag", handle, start: here, from: spot, offset: [handle.at[0] - spot[0], handle.at[1] - spot[1]], back: hold(), moved: false };
      setUnderFinger({ at: handle.at, touch: event.pointerType !== "mouse" });
    } else if (tool.value === "move") {
      const flaw = (event.target as Element).closest("[data-flaw]")?.getAttribute("data-flaw");
      doing.current = { kind: "pan", view, from: here, tapped: flaw === null || flaw === undefined ? null : Number(flaw) };
    } else {
      doing.current = { kind: "draw", from: here };
      setLine([spot]);
      setUnderFinger({ at: spot, touch: event.pointerType !== "mouse" });
    }
  };

  const dragged = (drag: Extract<Doing, { kind: "drag" }>, here: Point): Point => {
    const now = place(here);
    const share = precise ? PRECISE : 1;
    return [drag.from[0] + (now[0] - drag.from[0]) * share + drag.offset[0], drag.from[1] + (now[1] - drag.from[1]) * share + drag.offset[1]];
  };

  const move = (event: PointerEvent): void => {
    if (!pointers.current.has(event.pointerId)) return;
    const here = where(event);
    pointers.current.set(event.pointerId, here);
    const now = doing.current;
    if (!now) return;
    if (now.kind === "pinch") {
      const [first, second] = [...pointers.current.values()];
      if (!first || !second) return;
      const middle: Point = [(first[0] + second[0]) / 2, (first[1] + second[1]) / 2];
      const apart = Math.max(Math.hypot(first[0] - second[0], first[1] - second[1]), 1);
      setOwn(moved(zoomed(now.view, size, now.middle, apart / now.apart), middle[0] - now.middle[0], middle[1] - now.middle[1]));
    } else if (now.kind === "pan") {
      setOwn(moved(now.view, here[0] - now.from[0], here[1] - now.from[1]));
    } else if (now.kind === "drag") {
      if (Math.hypot(here[0] - now.start[0], here[1] - now.start[1]) >= TAP_PX) now.moved = true;
      if (!now.moved) return;
      const to = dragged(now, here);
      moveTo(now.handle, to, false);
      setUnderFinger((seen) => seen && { ...seen, at: to });
    } else {
      const spot = place(here);
      setUnderFinger((seen) => seen && { ...seen, at: spot });
      setLine((drawn) => {
        const last = drawn[drawn.length - 1];
        return last && Math.hypot(last[0] - spot[0], last[1] - spot[1]) < STROKE_PX * view.perPx ? drawn : [...drawn, spot];
      });
    }
  };

  const finish = (drawn: readonly Point[], from: Point, here: Point): void => {
    const tapped = Math.hypot(here[0] - from[0], here[1] - from[1]) < TAP_PX && drawn.length < 4;
    const first = place(from);
    const within = Math.max(WITHIN_LEAST_MM, WITHIN_PX * view.perPx);
    const closed = async (then: (points: Ring) => void): Promise<void> => {
      const made = drawn.length < 3 ? null : await madeFit(drawn, within, true);
      if (made) then(made);
    };
    switch (tool.value) {
      case "spot": {
        const radius = tapped ? spotMm.value : Math.max(SPOT_LEAST_MM, Math.hypot(place(here)[0] - first[0], place(here)[1] - first[1]));
        addSpot(first, radius);
        break;
      }
      case "line":
        if (drawn.length > 1) void madeFit(drawn, within, false).then((made) => made && addScratch(made));
        break;
      case "ring": void closed(addRing); break;
      case "region": void closed(addRegion); break;
      case "edge":
        if (tapped) addToEdge(first);
        else if (listOf("points").length < 3) void closed((made) => { setEdge(made); });
        break;
      case "move": break;
    }
  };

  const end = (event: PointerEvent, good: boolean): void => {
    if (!pointers.current.delete(event.pointerId)) return;
    const now = doing.current;
    const here = where(event);
    doing.current = null;
    setUnderFinger(null);
    setLine([]);
    if (!now || now.kind === "pinch") return;
    if (now.kind === "drag") {
      if (now.moved && good) moveTo(now.handle, dragged(now, here), true);
      else if (now.moved) now.back();
    } else if (!good) return;
    else if (now.kind === "draw") finish(line, now.from, here);
    else if (Math.hypot(here[0] - now.from[0], here[1] - now.from[1]) < TAP_PX) {
      chosen.value = now.tapped === null ? null : { what: "flaw", index: now.tapped, point: null };
    }
  };

  const zoom = (factor: number, at_px: Point = [size.width / 2, size.height / 2]): void => setOwn(zoomed(view, size, at_px, factor));
  // Passive listeners may not keep the page from scrolling; this one must.
  useEffect(() => {
    const svg = holder.current;
    const wheel = (event: WheelEvent): void => {
      event.preventDefault();
      zoom(Math.exp(-event.deltaY * (event.deltaMode === 1 ? 0.05 : 0.0015)), where(event));
    };
    svg?.addEventListener("wheel", wheel, { passive: false });
    return () => svg?.removeEventListener("wheel", wheel);
  });

  const key = (event: KeyboardEvent): void => {
    const step = 40;
    const acts: Record<string, () => void> = {
      ArrowLeft: () => setOwn(moved(view, step, 0)), ArrowRight: () => setOwn(moved(view, -step, 0)),
      ArrowUp: () => setOwn(moved(view, 0, step)), ArrowDown: () => setOwn(moved(view, 0, -step)),
      "+": () => zoom(1.25), "=": () => zoom(1.25), "-": () => zoom(0.8), "0": () => setOwn(null),
      Delete: takeAway, Backspace: takeAway, Escape: () => { chosen.value = null; tool.value = "move"; },
    };
    const act = event.ctrlKey || event.metaKey || event.altKey ? undefined : acts[event.key];
    if (!act) return;
    event.preventDefault();
    act();
  };

  const box = [view.x - (size.width * view.perPx) / 2, view.y - (size.height * view.perPx) / 2, size.width * view.perPx, size.height * view.perPx] as const;
  const now = chosen.value;
  const seen = under_finger && toScreen(under_finger.at);
  const loupeLeft = seen !== null && seen[0] > view.x; // away from the finger
  return (
    <div class="hidesheet">
      <svg ref={holder} class={`hide${stale ? " stale" : ""}${large ? " large" : ""} ${tool.value}`} viewBox={box.map((one) => one.toFixed(3)).join(" ")}
        role="group" tabindex={0} aria-label={name} aria-describedby="hide-keys"
        onPointerDown={begin} onPointerMove={move} onPointerUp={(event) => end(event, true)} onPointerCancel={(event) => end(event, false)} onKeyDown={key}>
        <g id="hide-scene">
          <Scene facts={facts} under={under} px={px} />
          {line.length > 1 && <path class="drawnline" d={lineOf(line)} />}
          {shown.map((one) => {
            const [x, y] = toScreen(one.at);
            const mine = now !== null && now.what === one.chosen.what && now.index === one.chosen.index && now.point === one.chosen.point;
            return one.part === "radius"
              ? <rect key={`r${one.chosen.index}`} class="hideknob" x={x - px(6)} y={y - px(6)} width={px(12)} height={px(12)} />
              : <circle key={`${one.chosen.what}${one.chosen.index}-${one.chosen.point}${one.part}`} class={`hideknob${mine ? " mine" : ""}`} cx={x} cy={y} r={px(mine ? 8 : 5)} />;
          })}
        </g>
        <text class="word outside" x={box[0] + px(8)} y={box[1] + box[3] - px(8)} font-size={px(13)}>butt below, neck above, grain side up</text>
        {under_finger?.touch && seen && (
          <svg class="loupe" x={loupeLeft ? box[0] + px(8) : box[0] + box[2] - px(LOUPE_PX + 8)} y={box[1] + px(8)} width={px(LOUPE_PX)} height={px(LOUPE_PX)}
            viewBox={[seen[0] - px(LOUPE_PX) / 2 / LOUPE_TIMES, seen[1] - px(LOUPE_PX) / 2 / LOUPE_TIMES, px(LOUPE_PX) / LOUPE_TIMES, px(LOUPE_PX) / LOUPE_TIMES].join(" ")}>
            <rect class="ground" x={seen[0] - px(LOUPE_PX)} y={seen[1] - px(LOUPE_PX)} width={px(LOUPE_PX) * 2} height={px(LOUPE_PX) * 2} />
            <use href="#hide-scene" />
            <path class="cross" d={`M${seen[0] - px(12)},${seen[1]}h${px(24)}M${seen[0]},${seen[1] - px(12)}v${px(24)}`} />
          </svg>
        )}
      </svg>
      <p class="unseen" id="hide-keys">Arrow keys move the drawing, plus and minus make it larger and smaller, 0 shows all of it, Delete takes away what is chosen. Every
        place can be typed in the lists.</p>
      <div class="looks" role="group" aria-label="How the drawing is seen">
        <button type="button" onClick={() => zoom(1.25)} aria-label="Larger">+</button>
        <button type="button" onClick={() => zoom(0.8)} aria-label="Smaller">−</button>
        <button type="button" onClick={() => setOwn(null)}>All</button>
        <button type="button" aria-pressed={precise} onClick={() => setPrecise(!precise)} title="What is dragged moves a quarter as far as the finger">Precise</button>
        {children}
      </div>
    </div>
  );
}
