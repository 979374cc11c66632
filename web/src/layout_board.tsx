// The hide to scale with the covers on it, and the hand that moves them. All outlines come from the
// server; here they are only turned, moved and shown. While a cover is carried nothing is drawn
// anew: it lies on a sheet of its own above the others, and that sheet alone is moved.

import type { RefObject } from "preact";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { Cover, Polygon, Ring } from "./api";
import { BANDS, boxOf } from "./drawing";
import type { Hide, Laid, Place, Report, Standing } from "./layout_api";
import {
  carry as carryOn, check, chosen, laid, lock, moving, nudge, putDown, REACH_MM, report, said, search, snapping, swap, swapping, takeOver,
} from "./layout_state";
import { useSize } from "./size";

const ROOM_SHARE = 0.03; // round the hide
const ZOOM_MAX = 12;
const TAP_PX = 5; // less than this is no drag
const REACH_PX = 14; // a hand is no surer than this
const REACH_MOST_MM = 200;
const STEP_MM = 1;
const STEP_DEG = 1;
const MANY = 10; // with Shift

const path = (ring: Ring): string => `M${ring.map(([x, y]) => `${x.toFixed(1)},${y.toFixed(1)}`).join("L")}Z`;
const paths = new WeakMap<Ring, string>();
function pathOf(ring: Ring): string {
  let found = paths.get(ring);
  if (found === undefined) paths.set(ring, found = path(ring));
  return found;
}
const areaPath = (polygons: readonly Polygon[]): string =>
  polygons.map((one) => path(one.outer_mm) + one.holes_mm.map(path).join("")).join("");

const turned = (deg: number, [x, y]: readonly [number, number]): readonly [number, number] => {
  const rad = (deg * Math.PI) / 180;
  return [Math.cos(rad) * x - Math.sin(rad) * y, Math.sin(rad) * x + Math.cos(rad) * y];
};
const roundTurn = (deg: number): number => {
  const within = ((((deg + 180) % 360) + 360) % 360) - 180;
  return Math.round(within * 1000) / 1000;
};

/** The middle of a cover in its own coordinates. */
function middleOf(cover: Cover): readonly [number, number] {
  const box = boxOf(cover.outline_mm);
  return [(box.left + box.right) / 2, (box.front + box.back) / 2];
}
export function centreOf(cover: Cover, at: Place): readonly [number, number] {
  const [x, y] = turned(at.turn_deg, middleOf(cover));
  return [x + at.x_mm, y + at.y_mm];
}
/** Turned about its own middle. */
export function turnedBy(cover: Cover, at: Place, deg: number): Place {
  const [x, y] = centreOf(cover, at);
  const turn_deg = roundTurn(at.turn_deg + deg);
  const [dx, dy] = turned(turn_deg, middleOf(cover));
  return { x_mm: x - dx, y_mm: y - dy, turn_deg };
}

/** Words for what is wrong with a cover where it lies; "" when nothing is. */
export const faultsOf = (standing: Pick<Standing, "faults"> | undefined | null): string =>
  (standing?.faults ?? []).map((one) => one.words).join("; ");
export const touchesOf = (standing: Pick<Standing, "touches"> | undefined | null): string =>
  (standing?.touches ?? []).map((one) => `${one.flaw === undefined ? `soft leather of the ${one.region}` : `${one.kind} ${one.flaw}`} under its ${one.band}`).join("; ");

interface PieceProps {
  readonly cover: Cover;
  readonly standing: Standing | undefined;
}

// The bands of one cover; what is wrong is hatched, never told by colour alone.
export function Bands({ cover, standing }: PieceProps) {
  const bad = new Set((standing?.faults ?? []).map((one) => one.band ?? "grip"));
  const outlineOf = (band: typeof BANDS[number][0]): string => pathOf(band === "grip" ? cover.outline_mm : cover.within_mm[band]);
  return (
    <>
      {BANDS.map(([band, look]) => <path key={band} class={`band ${look}`} d={outlineOf(band)} />)}
      {BANDS.map(([band]) => bad.has(band) && <path key={band} class="hit" d={outlineOf(band)} />)}
    </>
  );
}

/** The hide with what is on it, but for covers. */
export function HideShape({ hide, flip, px }: { readonly hide: Hide; readonly flip: number; readonly px: number }) {
  return (
    <>
      <path class="skin" d={pathOf(hide.outline_mm)} />
      {hide.regions.map((region, i) => region.firmness !== "firm" && (
        <path key={i} class={`region ${region.firmness}`} d={areaPath(region.polygons)} fill-rule="evenodd" />
      ))}
      {hide.flaws.map((flaw) => {
        const first = flaw.polygons[0]?.outer_mm;
        const box = first ? boxOf(first) : null;
        return (
          <g key={flaw.number}>
            <path class="flaw" d={areaPath(flaw.polygons)} fill-rule="evenodd" />
            {box && px > 0 && (
              <text class="flawname" transform={`translate(${box.right} ${box.back}) scale(1 ${flip})`} font-size={12 * px} dx={2 * px}>
                {flaw.number}
              </text>
            )}
          </g>
        );
      })}
    </>
  );
}

// These two follow the answers to every move; the board itself is left alone meanwhile.
function CarriedPiece({ cover }: { readonly cover: Cover }) {
  const tried = moving.value?.tried;
  return (
    <g class={`piece chosen${tried && !tried.fits ? " wrong" : ""}`}>
      <Bands cover={cover} standing={tried ? { ...tried, name: "", partners: 0 } : undefined} />
      <path class="rim" d={pathOf(cover.outline_mm)} />
    </g>
  );
}

interface TagProps {
  readonly holder: RefObject<HTMLParagraphElement | null>;
  readonly placeOf: (index: number) => readonly [number, number] | null;
}
function Tag({ holder, placeOf }: TagProps) {
  const told = moving.value;
  const at = told ? placeOf(told.index) : null;
  if (!told || !at) return null;
  const { tried } = told;
  const under = touchesOf(tried);
  return (
    <p ref={holder} class={`tag${tried ? (tried.fits ? " good" : " bad") : ""}`} style={{ left: `${at[0]}px`, top: `${at[1]}px` }}>
      {!tried ? "…" : tried.fits ? `✓ fits${under ? `: ${under}` : ""}` : `✗ ${faultsOf(tried)}`}
    </p>
  );
}

interface BoardProps {
  readonly hide: Hide;
  readonly hideIndex: number;
  readonly covers: ReadonlyMap<string, Cover>;
  readonly flesh: boolean;
  readonly left: boolean;
}

interface Carry {
  readonly index: number;
  readonly cover: Cover;
  readonly start: Place;
  readonly pointer: number;
  readonly x: number;
  readonly y: number;
  readonly kind: "move" | "turn";
  readonly mm: number; // per px
  readonly pivot: readonly [number, number]; // on the screen, in px of the board
  dx: number;
  dy: number;
  deg: number; // turned, as the hide is seen from its grain
  moved: boolean;
  frame: number;
}

export function Board({ hide, hideIndex, covers, flesh, left }: BoardProps) {
  const [svg, size] = useSize<SVGSVGElement>({ width: 600, height: 400 });
  const sheet = useRef<SVGSVGElement>(null);
  const tag = useRef<HTMLParagraphElement>(null);
  const carry = useRef<Carry | null>(null);
  const touches = useRef(new Map<number, { x: number; y: number }>());
  const [view, setView] = useState({ zoom: 1, x: 0, y: 0 }); // middle, from the hide's
  const [lifted, setLifted] = useState<number | null>(null);
  const flip = flesh ? 1 : -1;

  useEffect(() => setView({ zoom: 1, x: 0, y: 0 }), [hide.name]);

  const box = useMemo(() => boxOf(hide.outline_mm), [hide]);
  const whole = Math.max((box.right - box.left) * (1 + 2 * ROOM_SHARE) / size.width, (box.back - box.front) * (1 + 2 * ROOM_SHARE) / size.height);
  const mm = whole / view.zoom; // of a px
  const px = mm * size.letter;
  const middle = [(box.left + box.right) / 2 + view.x, flip * ((box.front + box.back) / 2) + view.y] as const;
  const viewBox = [middle[0] - (size.width * mm) / 2, middle[1] - (size.height * mm) / 2, size.width * mm, size.height * mm]
    .map((value) => value.toFixed(2)).join(" ");
  const onBoard = ([x, y]: readonly [number, number]): readonly [number, number] =>
    [(x - middle[0]) / mm + size.width / 2, (flip * y - middle[1]) / mm + size.height / 2];

  const placed = laid.value.map((one, index) => ({ one, index, cover: covers.get(one.cover) }))
    .filter((each): each is { one: Laid; index: number; cover: Cover } => each.cover !== undefined && each.one.hide === hide.name);
  const standings: Report["placements"] | undefined = report.value?.placements;
  const mine = chosen.value;
  const partners = mine === null ? undefined : standings?.[mine]?.partners;

  // ---- Zoom and pan

  const clampZoom = (zoom: number): number => Math.min(Math.max(zoom, 1), ZOOM_MAX);
  const zoomAt = (factor: number, clientX?: number, clientY?: number): void => {
    const frame = svg.current?.getBoundingClientRect();
    setView((now) => {
      const zoom = clampZoom(now.zoom * factor);
      if (zoom === 1) return { zoom, x: 0, y: 0 };
      const off = frame && clientX !== undefined && clientY !== undefined
        ? [clientX - frame.left - frame.width / 2, clientY - frame.top - frame.height / 2] as const : [0, 0] as const;
      const change = whole / now.zoom - whole / zoom;
      return { zoom, x: now.x + off[0] * change, y: now.y + off[1] * change };
    });
  };
  const pan = (dx: number, dy: number): void => setView((now) => (now.zoom === 1 ? now : { ...now, x: now.x - dx * mm, y: now.y - dy * mm }));

  // ---- Carrying

  const placeNow = (held: Carry): Place => {
    const there = held.deg === 0 ? held.start : turnedBy(held.cover, held.start, held.deg);
    return held.kind === "turn" ? there : { ...there, x_mm: there.x_mm + held.dx * held.mm, y_mm: there.y_mm + flip * held.dy * held.mm };
  };
  const show = (held: Carry): void => {
    held.frame = 0;
    if (sheet.current) {
      sheet.current.style.transform = `translate3d(${held.dx}px, ${held.dy}px, 0) rotate(${flip * held.deg}deg)`;
    }
    if (tag.current) {
      tag.current.style.transform = `translate3d(${held.dx}px, ${held.dy}px, 0)`;
    }
    check(held.index, hideIndex, placeNow(held));
  };
  const showSoon = (held: Carry): void => {
    if (held.frame === 0) held.frame = requestAnimationFrame(() => show(held));
  };
  const take = (event: PointerEvent, index: number, kind: Carry["kind"]): void => {
    const one = laid.value[index];
    const cover = one && covers.get(one.cover);
    if (carry.current) { // one hand at a time
      event.stopPropagation();
      return;
    }
    if (!one || !cover || event.button !== 0) return;
    event.stopPropagation();
    if (swapping.value && mine !== null) {
      swap(mine, index);
      return;
    }
    takeOver();
    chosen.value = index;
    (event.currentTarget as Element).closest("svg")?.focus({ preventScroll: true });
    if (one.locked) {
      said.value = "It is locked.";
      return;
    }
    svg.current?.setPointerCapture(event.pointerId);
    carry.current = {
      index, cover, start: one, pointer: event.pointerId, x: event.clientX, y: event.clientY, kind, mm,
      pivot: onBoard(centreOf(cover, one)), dx: 0, dy: 0, deg: 0, moved: false, frame: 0,
    };
  };
  const lift = (held: Carry): void => {
    held.moved = true;
    carryOn(true);
    moving.value = { index: held.index, tried: null };
    setLifted(held.index);
  };
  const move = (event: PointerEvent): void => {
    const held = carry.current;
    if (!held || held.pointer !== event.pointerId) return;
    const [dx, dy] = [event.clientX - held.x, event.clientY - held.y];
    if (!held.moved && Math.hypot(dx, dy) < TAP_PX) return;
    if (!held.moved) lift(held);
    if (held.kind === "turn") {
      const frame = svg.current?.getBoundingClientRect();
      if (!frame) return;
      const angle = (x: number, y: number): number => Math.atan2(y - frame.top - held.pivot[1], x - frame.left - held.pivot[0]);
      held.deg = roundTurn(flip * ((angle(event.clientX, event.clientY) - angle(held.x, held.y)) * 180) / Math.PI);
    } else {
      held.dx = dx;
      held.dy = dy;
    }
    showSoon(held);
  };
  const drop = (event: PointerEvent, keep: boolean): void => {
    touches.current.delete(event.pointerId);
    const held = carry.current;
    if (!held || held.pointer !== event.pointerId) return;
    carry.current = null;
    cancelAnimationFrame(held.frame);
    if (!held.moved) return;
    carryOn(false);
    const done = (): void => {
      setLifted(null);
      if (tag.current) tag.current.style.transform = "";
      if (sheet.current) sheet.current.style.transform = "";
      if (!keep) moving.value = null;
    };
    if (keep) void putDown(held.index, placeNow(held), snapping.value && held.kind === "move" ? Math.min(Math.max(REACH_MM, REACH_PX * held.mm), REACH_MOST_MM) : 0).finally(done);
    else done();
  };
  useEffect(() => {
    // The sheet is drawn when the cover is lifted; only then can it be moved.
    if (carry.current?.moved) showSoon(carry.current);
  }, [lifted]);

  const down = (event: PointerEvent): void => {
    if (event.button !== 0 || carry.current) return;
    svg.current?.setPointerCapture(event.pointerId); // let go outside, it is let go all the same
    touches.current.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (touches.current.size === 1 && !swapping.value) chosen.value = null;
  };
  const slide = (event: PointerEvent): void => {
    const before = touches.current.get(event.pointerId);
    if (!before) {
      move(event);
      return;
    }
    const others = [...touches.current.entries()].filter(([id]) => id !== event.pointerId).map(([, at]) => at);
    const other = others[0];
    if (other) {
      const far = (x: number, y: number): number => Math.max(Math.hypot(x - other.x, y - other.y), 1);
      zoomAt(far(event.clientX, event.clientY) / far(before.x, before.y), (event.clientX + other.x) / 2, (event.clientY + other.y) / 2);
    } else {
      pan(event.clientX - before.x, event.clientY - before.y);
    }
    touches.current.set(event.pointerId, { x: event.clientX, y: event.clientY });
  };
  useEffect(() => {
    const holder = svg.current;
    if (!holder) return undefined;
    // Not passive, so that the page does not scroll while a cover is turned.
    const wheel = (event: WheelEvent): void => {
      const held = carry.current;
      if (held?.moved) {
        event.preventDefault();
        held.deg = roundTurn(held.deg + (event.deltaY > 0 ? -STEP_DEG : STEP_DEG));
        showSoon(held);
      } else if (event.ctrlKey) {
        event.preventDefault();
        zoomAt(event.deltaY > 0 ? 1 / 1.2 : 1.2, event.clientX, event.clientY);
      } else if (mine !== null && (event.target as Element).closest(`[data-index="${mine}"]`)) {
        event.preventDefault();
        step(mine, 0, 0, event.deltaY > 0 ? -STEP_DEG : STEP_DEG);
      }
    };
    holder.addEventListener("wheel", wheel, { passive: false });
    return () => holder.removeEventListener("wheel", wheel);
  });

  // ---- Keys

  const step = (index: number, dx: number, dy: number, deg: number): void => {
    const one = laid.value[index];
    const cover = one && covers.get(one.cover);
    if (!one || !cover) return;
    if (one.locked) {
      said.value = "It is locked.";
      return;
    }
    const at = deg === 0 ? one : turnedBy(cover, one, deg);
    nudge(index, { x_mm: at.x_mm + dx, y_mm: at.y_mm + dy, turn_deg: at.turn_deg });
  };
  const key = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const many = event.shiftKey ? MANY : 1;
    const ways: Record<string, readonly [number, number, number]> = {
      ArrowLeft: [-1, 0, 0], ArrowRight: [1, 0, 0], ArrowUp: [0, -flip, 0], ArrowDown: [0, flip, 0],
      ",": [0, 0, 1], ".": [0, 0, -1], "<": [0, 0, 1], ">": [0, 0, -1],
    };
    const here = placed.findIndex(({ index }) => index === mine);
    const way = ways[event.key];
    if (way && mine !== null) step(mine, way[0] * STEP_MM * many, way[1] * STEP_MM * many, way[2] * STEP_DEG * many);
    else if (event.key === "PageDown") chosen.value = placed[(here + 1) % Math.max(placed.length, 1)]?.index ?? null;
    else if (event.key === "PageUp") chosen.value = placed[(here <= 0 ? placed.length : here) - 1]?.index ?? null;
    else if (event.key === "Escape" && (mine !== null || swapping.value)) {
      swapping.value = false;
      chosen.value = null;
    } else if ((event.key === "l" || event.key === "L") && mine !== null) lock(mine, !laid.value[mine]?.locked);
    else if ((event.key === "s" || event.key === "S") && mine !== null && laid.value[mine]) {
      if (laid.value[mine].locked) said.value = "It is locked.";
      else void putDown(mine, laid.value[mine], REACH_MM);
    }
    else if (event.key === "+" || event.key === "=") zoomAt(1.4);
    else if (event.key === "-") zoomAt(1 / 1.4);
    else return;
    event.preventDefault();
  };

  const nameAt = (index: number): string => standings?.[index]?.name ?? laid.value[index]?.cover ?? "";
  const stands = (index: number): string => {
    const standing = standings?.[index];
    return standing ? (standing.fits ? "fits" : faultsOf(standing)) : "is being judged";
  };
  const carried = lifted === null ? null : placed.find(({ index }) => index === lifted);
  const tagPlace = (index: number): readonly [number, number] | null => {
    const tagged = placed.find((each) => each.index === index);
    if (!tagged) return null;
    const [x, y] = onBoard(centreOf(tagged.cover, carried ? (carry.current?.start ?? tagged.one) : tagged.one));
    const down = radiusOf(tagged.cover) / mm + 8;
    const under = y + down <= size.height - 40;
    const half = (size.width < 500 ? 116 : 148) * size.letter; // of the words' own width
    return [Math.min(Math.max(x, half), Math.max(size.width - half, half)), under ? y + down : Math.max(y - down - 40, 0)];
  };
  const held = mine === null ? undefined : placed.find(({ index }) => index === mine);
  const handle = held && !held.one.locked && lifted === null ? knobOf(held.cover, held.one, px) : null;
  const rest = left ? report.value?.measures?.hides[hideIndex]?.left : undefined;
  const rectangle = rest && rest.rectangle_mm[1][0] > rest.rectangle_mm[0][0] ? rest.rectangle_mm : null;
  return (
    <div class="table">
      <svg ref={svg} class={`hide${view.zoom > 1 ? " near" : ""}`} viewBox={viewBox} tabindex={0} role="application"
        aria-label={`Hide ${hide.name}, ${flesh ? "flesh side" : "grain side"}. ${mine === null ? "Page Down chooses a cover." : `${nameAt(mine)} ${stands(mine)}.`}`}
        aria-describedby="layout-keys" onKeyDown={key} onPointerDown={down} onPointerMove={slide}
        onPointerUp={(event) => drop(event, true)} onPointerCancel={(event) => drop(event, false)}>
        <defs>
          <pattern id="hatch-bad" width={9 * px} height={9 * px} patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <path class="stroke" d={`M0,0V${9 * px}`} stroke-width={4 * px} />
          </pattern>
          <pattern id="hatch-left" width={12 * px} height={12 * px} patternUnits="userSpaceOnUse" patternTransform="rotate(-45)">
            <path class="stroke" d={`M0,0V${12 * px}`} stroke-width={1.5 * px} />
          </pattern>
          {[["middling", 14, 1], ["soft", 9, 1.2], ["loose", 5, 1.4]].map(([name, wide, dot]) => (
            <pattern key={name} id={`soft-${name}`} width={Number(wide) * px} height={Number(wide) * px} patternUnits="userSpaceOnUse">
              <circle class="speck" cx={(Number(wide) * px) / 2} cy={(Number(wide) * px) / 2} r={Number(dot) * px} />
            </pattern>
          ))}
        </defs>
        <g transform={`scale(1 ${flip})`}>
          <HideShape hide={hide} flip={flip} px={px} />
          {placed.map(({ one, index, cover }) => {
            const standing = standings?.[index];
            const look = [index === mine ? "chosen" : "", standing && !standing.fits ? "wrong" : "", one.locked ? "locked" : "",
              partners !== undefined && index !== mine && standing?.partners === partners ? "partner" : "", index === lifted ? "lifted" : ""];
            const [x, y] = centreOf(cover, one);
            return (
              <g key={index} class={`piece ${look.filter(Boolean).join(" ")}`} data-index={index} onPointerDown={(event) => take(event, index, "move")}>
                <g transform={`translate(${one.x_mm} ${one.y_mm}) rotate(${one.turn_deg})`}>
                  <Bands cover={cover} standing={standing} />
                  <path class="rim" d={pathOf(cover.outline_mm)} />
                  <path class="arrow" d={arrowOf(cover, px)} />
                </g>
                <text class="word name" transform={`translate(${x} ${y}) scale(1 ${flip})`} font-size={15 * px} text-anchor="middle" dy={5 * px}>
                  {nameAt(index)}
                  {one.locked && <tspan x={0} dy={14 * px} font-size={12 * px}>locked</tspan>}
                </text>
              </g>
            );
          })}
          {rectangle && (
            <rect class="rest" x={rectangle[0][0]} y={rectangle[0][1]} width={rectangle[1][0] - rectangle[0][0]} height={rectangle[1][1] - rectangle[0][1]} />
          )}
          {held && handle && (
            <g class="turner" onPointerDown={(event) => take(event, held.index, "turn")}>
              <path class="stalk" d={`M${handle.from[0]},${handle.from[1]}L${handle.at[0]},${handle.at[1]}`} />
              <circle class="room" cx={handle.at[0]} cy={handle.at[1]} r={24 * px} />
              <circle class="knob" cx={handle.at[0]} cy={handle.at[1]} r={11 * px} />
            </g>
          )}
        </g>
      </svg>
      <svg ref={sheet} class={`hide carried${carried ? " on" : ""}`} viewBox={viewBox} aria-hidden="true"
        style={carried && carry.current ? { transformOrigin: `${carry.current.pivot[0]}px ${carry.current.pivot[1]}px` } : undefined}>
        {carried && (
          <g transform={`scale(1 ${flip})`}>
            <g transform={`translate(${carried.one.x_mm} ${carried.one.y_mm}) rotate(${carried.one.turn_deg})`}>
              <CarriedPiece cover={carried.cover} />
            </g>
          </g>
        )}
      </svg>
      <Tag holder={tag} placeOf={tagPlace} />
      <div class="nearer" role="group" aria-label="Nearer and farther">
        <button type="button" onClick={() => zoomAt(1.4)}><span aria-hidden="true">+</span><span class="unseen">Nearer</span></button>
        <button type="button" disabled={view.zoom === 1} onClick={() => zoomAt(1 / 1.4)}><span aria-hidden="true">−</span><span class="unseen">Farther</span></button>
        <button type="button" disabled={view.zoom === 1} onClick={() => setView({ zoom: 1, x: 0, y: 0 })}>Whole hide</button>
      </div>
      <p class="side" aria-hidden="true">{flesh ? "flesh side" : "grain side"}{search.value ? " · looking…" : ""}</p>
    </div>
  );
}

// Half of the longer side: so far below its middle words do not lie on it.
function radiusOf(cover: Cover): number {
  const box = boxOf(cover.outline_mm);
  return Math.max(box.right - box.left, box.back - box.front) / 2;
}

// The firm direction on the face: from front to back.
function arrowOf(cover: Cover, px: number): string {
  const box = boxOf(cover.within_mm.face);
  const [from, to] = [box.front + (box.back - box.front) * 0.76, box.front + (box.back - box.front) * 0.96];
  return `M0,${from}V${to}M${-5 * px},${to - 8 * px}L0,${to}L${5 * px},${to - 8 * px}`;
}

// Where the hand takes hold to turn a cover: beyond its back.
function knobOf(cover: Cover, at: Place, px: number): { readonly from: readonly [number, number]; readonly at: readonly [number, number] } {
  const box = boxOf(cover.outline_mm);
  const place = (y: number): readonly [number, number] => {
    const [x, up] = turned(at.turn_deg, [(box.left + box.right) / 2, y]);
    return [x + at.x_mm, up + at.y_mm];
  };
  return { from: place(box.back), at: place(Math.max(box.back - 34 * px, (box.front + box.back) / 2 + 26 * px)) };
}

export const KEYS = `Page Down and Page Up choose a cover; arrows move it by ${STEP_MM} mm, with Shift by ${MANY} mm; comma and full stop turn it by ${STEP_DEG}°, with Shift by ${MANY}°; S snaps it to what it can touch within ${REACH_MM} mm; L locks it; plus and minus look nearer; Escape lets go.`;
