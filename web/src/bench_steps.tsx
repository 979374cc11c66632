// The steps of the bench and the small drawing of each: where on the hide the mark or the cut is,
// or where on the seat is fastened. All points come from the server; they are only turned so that
// the backbone runs up the page, as on the printed tables.

import type { Point, Ring } from "./api";

export interface Step {
  readonly step: string;
  readonly kind: "check" | "mark" | "diagonals" | "cut" | "after" | "fasten";
  readonly part: string;
  readonly say: string;
  readonly readings: readonly { readonly name: string; readonly value: string }[];
  readonly notes: readonly string[];
  readonly caution: string | null;
  readonly hide?: number;
  readonly cover?: number;
  readonly mark?: number;
  readonly fastened?: number;
  readonly sides: readonly string[];
}
export interface Bench {
  readonly job: string;
  readonly hides: readonly { readonly name: string; readonly axis: string; readonly backbone_mm: number; readonly outline_mm: Ring; readonly flaws_mm: readonly Ring[] }[];
  readonly covers: readonly { readonly name: string; readonly hide: number; readonly outline_mm: Ring; readonly marks_mm: Ring }[];
  readonly kinds: readonly {
    readonly name: string; readonly outline_mm: Ring; readonly frame_mm: Ring; readonly tack_line_mm: Ring;
    readonly middles_mm: Readonly<Record<string, Point>>;
  }[];
  readonly steps: readonly Step[];
}

type Turn = (point: Point) => Point;
const upThePage: Turn = ([x, y]) => [-y, -x];
// The seat lies upside down: what is right from above is left here.
const fromBelow: Turn = ([x, y]) => [-x, -y];

const path = (ring: Ring, turn: Turn): string => `M${ring.map((point) => turn(point).map((value) => value.toFixed(1)).join(",")).join("L")}Z`;

interface Frame {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

function frameOf(rings: readonly Ring[], turn: Turn, margin: number): Frame {
  const points = rings.flat().map(turn);
  const xs = points.map((point) => point[0]);
  const ys = points.map((point) => point[1]);
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const room = Math.max(right - left, bottom - top) * margin;
  return { left: left - room, top: top - room, width: right - left + 2 * room, height: bottom - top + 2 * room };
}

const middleOf = (frame: Frame): Point => [frame.left + frame.width / 2, frame.top + frame.height / 2];

interface DrawingProps {
  readonly bench: Bench;
  readonly step: Step;
  readonly done: (kind: Step["kind"], cover: number) => boolean;
}

function HideDrawing({ bench, step, done }: DrawingProps) {
  const hide = bench.hides[step.hide ?? 0];
  const cover = step.cover === undefined ? undefined : bench.covers[step.cover];
  if (!hide) return null;
  const near = step.kind === "mark" || step.kind === "diagonals";
  const frame = cover && near ? frameOf([cover.outline_mm], upThePage, 0.2) : frameOf([hide.outline_mm], upThePage, 0.03);
  const unit = Math.max(frame.width, frame.height) / 100;
  const words = cover ? `Cover ${cover.name} on ${hide.name}, the ${hide.axis} up the page` : hide.name;
  const here = cover && step.mark !== undefined ? cover.marks_mm[step.mark] : undefined;
  return (
    <svg class="place" role="img" aria-label={words} viewBox={`${frame.left} ${frame.top} ${frame.width} ${frame.height}`}>
      <path class="hide" d={path(hide.outline_mm, upThePage)} />
      {hide.backbone_mm > 0 && <path class="axis" d={`M0,0V${-hide.backbone_mm}`} />}
      {hide.flaws_mm.map((flaw, i) => <path key={i} class="fault" d={path(flaw, upThePage)} />)}
      {bench.covers.map((one, i) => {
        if (one.hide !== (step.hide ?? 0)) return null;
        const current = one === cover;
        const cut = done("cut", i);
        const [x, y] = middleOf(frameOf([one.outline_mm], upThePage, 0));
        return (
          <g key={one.name}>
            <path class={`piece${current ? " now" : cut ? " off" : ""}`} d={path(one.outline_mm, upThePage)} />
            {(!near || current) && <text class="word" x={x} y={y + unit * 2} font-size={unit * (near ? 7 : 5)} text-anchor="middle">{cut ? `${one.name} ✓` : one.name}</text>}
          </g>
        );
      })}
      {near && cover?.marks_mm.map((mark, i) => {
        const [x, y] = upThePage(mark);
        const [cx, cy] = middleOf(frameOf([cover.outline_mm], upThePage, 0));
        const away = Math.hypot(x - cx, y - cy) || 1;
        return (
          <g key={i}>
            <circle class="mark" cx={x} cy={y} r={unit * 1.2} />
            <text class="word" x={x + ((x - cx) / away) * unit * 7} y={y + ((y - cy) / away) * unit * 7 + unit * 2} font-size={unit * 6} text-anchor="middle">{i + 1}</text>
          </g>
        );
      })}
      {here && <circle class="here" cx={upThePage(here)[0]} cy={upThePage(here)[1]} r={unit * 3.4} />}
    </svg>
  );
}

function SeatDrawing({ bench, step }: { readonly bench: Bench; readonly step: Step }) {
  const kind = bench.kinds[step.fastened ?? 0];
  if (!kind) return null;
  const frame = frameOf([kind.outline_mm], fromBelow, 0.1);
  const unit = Math.max(frame.width, frame.height) / 100;
  return (
    <svg class="place" role="img" aria-label={`Cover ${kind.name} with its frame, seen from below`}
      viewBox={`${frame.left} ${frame.top} ${frame.width} ${frame.height}`}>
      <path class="hide" d={path(kind.outline_mm, fromBelow)} />
      <path class="piece" d={path(kind.frame_mm, fromBelow)} />
      <path class="tackline" d={path(kind.tack_line_mm, fromBelow)} />
      {Object.entries(kind.middles_mm).map(([side, middle]) => {
        const [x, y] = fromBelow(middle);
        return (
          <g key={side}>
            {step.sides.includes(side) && <circle class="here" cx={x} cy={y} r={unit * 4} />}
            <text class="word" x={x * 0.45} y={(y + (frame.top + frame.height / 2) * 0.55) / 1.55 + unit * 2} font-size={unit * 6} text-anchor="middle">{side}</text>
          </g>
        );
      })}
    </svg>
  );
}

export function StepDrawing(props: DrawingProps) {
  if (props.step.kind === "fasten") return <SeatDrawing bench={props.bench} step={props.step} />;
  return props.step.hide === undefined ? null : <HideDrawing {...props} />;
}
