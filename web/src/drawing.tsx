// A cover as the program's own drawings show it: leather-coloured sheet, bands as paler and
// paler chalk, lines told apart by their dashes, never by colour alone. All points come from the
// server; this only turns them over, since y runs to the back and a screen's y runs down.

import { useEffect, useRef } from "preact/hooks";
import type { Cover, Point, Ring } from "./api";
import { useSize } from "./size";

export interface Box {
  readonly left: number;
  readonly right: number;
  readonly front: number;
  readonly back: number;
}

export function boxOf(ring: Ring): Box {
  const xs = ring.map((point) => point[0]);
  const ys = ring.map((point) => point[1]);
  return { left: Math.min(...xs), right: Math.max(...xs), front: Math.min(...ys), back: Math.max(...ys) };
}

/** A ring as the path of a drawing. */
export const path = (ring: Ring): string => `M${ring.map(([x, y]) => `${x.toFixed(2)},${(-y).toFixed(2)}`).join("L")}Z`;

/** The bands of a cover with how each looks, the widest first. */
export const BANDS = [
  ["grip", "whole"], ["turn", "turn"], ["edge", "edge"], ["face", "face"],
] as const;

/** The small picture of a cover on a card. */
export function SmallCover({ cover }: { readonly cover: Cover }) {
  const box = boxOf(cover.outline_mm);
  const size = Math.max(box.right - box.left, box.back - box.front) * 1.06;
  const middle = [(box.left + box.right) / 2, -(box.front + box.back) / 2] as const;
  return (
    <svg class="cover small" viewBox={`${middle[0] - size / 2} ${middle[1] - size / 2} ${size} ${size}`} aria-hidden="true">
      {BANDS.map(([band, look]) => (
        <path key={band} class={`band ${look}`} d={path(band === "grip" ? cover.outline_mm : cover.within_mm[band])} />
      ))}
      <path class="line frame" d={path(cover.frame_mm)} />
    </svg>
  );
}

/** A measure that can be dragged on the drawing. */
export interface Handle {
  readonly label: string;
  readonly at: Point;
  readonly along: "x" | "y";
  readonly factor: number; // change of the measure for 1 mm outward
  readonly mm: number;
  readonly least: number; // steps of the arrow keys and of dragging
  readonly text: string; // the measure as a person reads it
  readonly set: (mm: number, done: boolean) => void;
  readonly hold: () => () => void; // what it returns puts the measure back as it was written
}

export const TAP_PX = 7; // what moves less was a tap

interface Seen {
  readonly cover: Cover;
  readonly side: string; // where it is cut through in the other drawing
  readonly onSide: (side: string) => void;
  readonly handles: readonly Handle[];
  readonly name: string;
  readonly stale: boolean;
}

const ROOM_PX = 28; // round the cover, for the word for the front
const CUT_FROM = 0.55; // of the way from the middle: the firm direction's arrow has its place
const TIGHT_PX = 320; // on a drawing less high, readings are shown only of what the hand is at

/** The drawing of a cover at work: large, with what can be dragged. */
export function CoverDrawing({ cover, side, onSide, handles, name, stale }: Seen) {
  const [holder, size] = useSize<SVGSVGElement>({ width: 600, height: 600 });

  const box = boxOf(cover.outline_mm);
  const room = ROOM_PX * size.letter;
  const perPx = Math.max(
    (box.right - box.left) / Math.max(size.width - 2 * room, 50),
    (box.back - box.front) / Math.max(size.height - 2 * room, 50));
  const px = (count: number): number => count * perPx * size.letter;
  const width = size.width * perPx;
  const height = size.height * perPx;
  const view = [(box.left + box.right - width) / 2, -(box.front + box.back + height) / 2, width, height];
  const tight = size.height < TIGHT_PX * size.letter;
  const arrow = boxOf(cover.within_mm.face);
  const frame = boxOf(cover.frame_mm);
  const centre: Point = [(frame.left + frame.right) / 2, (frame.front + frame.back) / 2];
  // Pointing at a side of the cover cuts it through there.
  const point = (event: PointerEvent): void => {
    const svg = holder.current;
    if (!svg || (event.target as Element).closest(".grab")) return;
    const at = svg.getBoundingClientRect();
    const x = ((view[0] ?? 0) + (event.clientX - at.left) * perPx - centre[0]) / (box.right - box.left);
    const y = (-(view[1] ?? 0) - (event.clientY - at.top) * perPx - centre[1]) / (box.back - box.front);
    onSide(Math.abs(x) > Math.abs(y) ? (x > 0 ? "right" : "left") : y > 0 ? "back" : "front");
  };
  const ends: Readonly<Record<string, Point>> = {
    front: [centre[0], box.front], back: [centre[0], box.back], left: [box.left, centre[1]], right: [box.right, centre[1]],
  };
  const end = ends[side] ?? centre;
  const middle = (arrow.front + arrow.back) / 2;
  const reach = Math.min((arrow.back - arrow.front) * 0.22, px(70));
  return (
    <svg ref={holder} class={`cover${stale ? " stale" : ""}${tight ? " tight" : ""}`} viewBox={view.map((value) => value.toFixed(2)).join(" ")}
      role="group" aria-label={name} onPointerDown={point}>
      {BANDS.map(([band, look]) => (
        <path key={band} class={`band ${look}`} d={path(band === "grip" ? cover.outline_mm : cover.within_mm[band])} />
      ))}
      <path class="line frame" d={path(cover.frame_mm)} />
      <path class="line tack" d={path(cover.tack_line_mm)} />
      <g class="direction">
        <path class="line" d={`M0,${-(middle - reach)}V${-(middle + reach)}`} />
        <path class="head" d={`M0,${-(middle + reach) - px(9)}l${px(6)},${px(13)}h${px(-12)}Z`} />
      </g>
      <text class="word firm" x={px(8)} y={-middle} font-size={px(14)}>firm direction</text>
      <text class="word outside" x={0} y={-box.front + px(20)} font-size={px(14)} text-anchor="middle">front</text>
      <path class="cutmark" d={`M${centre[0] + (end[0] - centre[0]) * CUT_FROM},${-centre[1] - (end[1] - centre[1]) * CUT_FROM}L${end[0]},${-end[1]}`} />
      {handles.map((handle) => <Grab key={handle.label} handle={handle} perPx={perPx} letter={size.letter} knob={tight ? 10 : 13} />)}
    </svg>
  );
}

// How it was when the hand took hold: the drawing is scaled anew while it is dragged.
interface Start {
  readonly pointer: number;
  readonly px: number;
  readonly mm: number;
  readonly perPx: number;
  readonly back: () => void;
  moved: boolean;
}

interface GrabProps {
  readonly handle: Handle;
  readonly perPx: number;
  readonly letter: number; // 1 with letters of 16 px
  readonly knob: number;
}

function Grab({ handle, perPx, letter, knob }: GrabProps) {
  const start = useRef<Start | null>(null);
  const px = (count: number): number => count * perPx * letter;
  const place = (event: PointerEvent): number => (handle.along === "x" ? event.clientX : -event.clientY);
  const rounded = (mm: number): number => Math.max(handle.least, Math.round(mm / handle.least) * handle.least);
  const move = (event: PointerEvent, done: boolean): void => {
    const from = start.current;
    if (!from || event.pointerId !== from.pointer) return;
    const away = place(event) - from.px;
    if (Math.abs(away) >= TAP_PX) from.moved = true;
    if (from.moved) handle.set(rounded(from.mm + away * from.perPx * handle.factor), done);
    if (done) start.current = null;
  };
  const back = (): void => {
    if (start.current?.moved) start.current.back();
    start.current = null;
  };
  useEffect(() => {
    const another = (event: PointerEvent): void => {
      if (start.current && event.pointerId !== start.current.pointer) back();
    };
    addEventListener("pointerdown", another, true);
    return () => removeEventListener("pointerdown", another, true);
  }, []);
  const key = (event: KeyboardEvent): void => {
    const steps: Record<string, number> = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1, PageUp: 8, PageDown: -8 };
    const count = steps[event.key];
    if (count === undefined) return;
    event.preventDefault();
    handle.set(rounded(handle.mm + count * handle.least), true);
  };
  const [x, y] = [handle.at[0], -handle.at[1]];
  const arrows = handle.along === "x" ? "M-4,-4L-9,0L-4,4M4,-4L9,0L4,4" : "M-4,-4L0,-9L4,-4M-4,4L0,9L4,4";
  return (
    <g class="grab" role="slider" tabindex={0} aria-label={handle.label} aria-valuenow={Math.round(handle.mm)}
      aria-valuemin={0} aria-valuemax={3000} aria-valuetext={handle.text}
      aria-orientation={handle.along === "x" ? "horizontal" : "vertical"}
      onPointerDown={(event) => {
        if (event.button !== 0 || !event.isPrimary) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        start.current = { pointer: event.pointerId, px: place(event), mm: handle.mm, perPx, back: handle.hold(), moved: false };
      }}
      onPointerMove={(event) => move(event, false)}
      onPointerUp={(event) => move(event, true)}
      onPointerCancel={(event) => { if (event.pointerId === start.current?.pointer) back(); }}
      onKeyDown={key}>
      <circle class="room" cx={x} cy={y} r={px(24)} />
      <circle class="knob" cx={x} cy={y} r={px(knob)} />
      <path class="arrows" transform={`translate(${x} ${y}) scale(${px(knob) / 13})`} d={arrows} />
      <text class="word reading" x={x - px(19)} y={y + px(5)} font-size={px(14)} text-anchor="end">{handle.text}</text>
    </g>
  );
}

const LEGEND = [
  ["whole", "cut", "cut here; the grip outside is for the hands and comes off again"],
  ["turn", "turned", "turn: turned under and held"],
  ["edge", "edge", "edge: wraps the edge and is seen"],
  ["face", "face", "face: what is sat on"],
] as const;

/** What the bands and lines mean. */
export function Legend() {
  return (
    <ul class="legend">
      {LEGEND.map(([look, key, text]) => (
        <li key={key}>
          <svg viewBox="0 0 36 18" aria-hidden="true"><path class={`band ${look}`} d="M2,2H34V16H2Z" /></svg>{text}
        </li>
      ))}
      <li><svg viewBox="0 0 36 18" aria-hidden="true"><path class="line frame" d="M2,9H34" /></svg>frame</li>
      <li><svg viewBox="0 0 36 18" aria-hidden="true"><path class="line tack" d="M2,9H34" /></svg>tack line</li>
      <li>
        <svg class="direction" viewBox="0 0 36 18" aria-hidden="true">
          <path class="line" d="M4,9H26" /><path class="head" d="M34,9L24,4V14Z" />
        </svg>firm direction
      </li>
    </ul>
  );
}
