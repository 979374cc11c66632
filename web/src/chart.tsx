// The chance that an area is enough: a curve with the band in which it surely lies. What stands
// at a place is read off with the pointer or the arrow keys, and in the table beneath.

import { useState } from "preact/hooks";
import type { Buying, CurvePoint } from "./buy";
import { useSize } from "./size";
import { Table } from "./table";
import { MM2_PER, showArea, type LengthUnit } from "./units";

const STEPS = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50];
const ROWS = 14; // of the table

export const times = (share: number): string =>
  share > 0.995 && share < 1 ? "more than 99" : share > 0 && share < 0.005 ? "less than 1" : String(Math.round(share * 100));

export function readingOf(point: CurvePoint, seen: LengthUnit): string {
  return `${showArea(point.area_mm2, seen)}: enough ${times(point.chance)} times in 100, 95 in 100 sure: ${times(point.low)} to ${times(point.high)}`;
}

interface Plot {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly x: (mm2: number) => number;
  readonly y: (share: number) => number;
  readonly marks: readonly number[]; // in the unit seen
}

// The drawing is as wide as its place, and its letters are those of the page.
function plotOf(curve: readonly CurvePoint[], wide: number, rem: number, seen: LengthUnit): Plot {
  const left = 3.25 * rem;
  const right = wide - rem;
  const top = 1.75 * rem;
  const bottom = top + Math.min(Math.max(wide * 0.42, 12 * rem), 24 * rem);
  const first = curve[0]?.area_mm2 ?? 0;
  const last = Math.max(curve[curve.length - 1]?.area_mm2 ?? 1, first + 1);
  const x = (mm2: number): number => left + ((mm2 - first) / (last - first)) * (right - left);
  const most = Math.max(2, Math.floor((right - left) / (3.5 * rem)));
  const span = (last - first) / MM2_PER[seen];
  const step = STEPS.find((one) => span / one <= most) ?? 100;
  const marks: number[] = [];
  for (let k = Math.ceil(first / MM2_PER[seen] / step); k * step * MM2_PER[seen] <= last + 1; k++) marks.push(k * step);
  return { left, right, top, bottom, x, y: (share) => bottom - share * (bottom - top), marks };
}

const pathOf = (points: readonly (readonly [number, number])[]): string =>
  points.map(([x, y], i) => `${i === 0 ? "M" : "L"}${x.toFixed(1)} ${y.toFixed(1)}`).join("");

function Axes({ plot, rem, seen }: { readonly plot: Plot; readonly rem: number; readonly seen: LengthUnit }) {
  return (
    <g class="axes">
      {[0, 0.25, 0.5, 0.75, 1].map((share) => (
        <g key={share}>
          <line x1={plot.left} x2={plot.right} y1={plot.y(share)} y2={plot.y(share)} />
          <text x={plot.left - 0.5 * rem} y={plot.y(share) + 0.35 * rem} text-anchor="end">{share * 100}</text>
        </g>
      ))}
      {plot.marks.map((mark) => (
        <g key={mark}>
          <line class="tickmark" x1={plot.x(mark * MM2_PER[seen])} x2={plot.x(mark * MM2_PER[seen])} y1={plot.bottom} y2={plot.bottom + 0.375 * rem} />
          <text x={plot.x(mark * MM2_PER[seen])} y={plot.bottom + 1.5 * rem} text-anchor="middle">{Number(mark.toFixed(1))}</text>
        </g>
      ))}
      <text x={(plot.left + plot.right) / 2} y={plot.bottom + 2.9 * rem} text-anchor="middle">stamped area of each, {seen === "in" ? "ft²" : "m²"}</text>
      <text x={0.25 * rem} y={0.9 * rem}>enough, times in 100</text>
    </g>
  );
}

// What was asked for: how often, and from where to where the area for it surely lies.
function Asked({ plot, buying, rem, seen }: { readonly plot: Plot; readonly buying: Buying; readonly rem: number; readonly seen: LengthUnit }) {
  const level = plot.y(buying.comfort);
  const { area_mm2: area, area_low_mm2: low, area_high_mm2: high } = buying;
  const fits = area !== null && plot.x(area) <= plot.right + 1;
  const from = low === null ? plot.right : Math.min(Math.max(plot.x(low), plot.left), plot.right);
  const to = high === null ? plot.right : Math.min(plot.x(high), plot.right);
  const beyond = fits && plot.x(area) > (plot.left + plot.right) / 2;
  return (
    <g class="asked">
      <line class="comfort" x1={plot.left} x2={plot.right} y1={level} y2={level} />
      {to > from && <line class="surely" x1={from} x2={to} y1={level} y2={level} />}
      {fits && (
        <>
          <line class="area" x1={plot.x(area)} x2={plot.x(area)} y1={level} y2={plot.bottom} />
          <circle cx={plot.x(area)} cy={level} r={0.4 * rem} />
          <text x={plot.x(area) + (beyond ? -0.6 : 0.6) * rem} y={plot.bottom - 0.6 * rem} text-anchor={beyond ? "end" : "start"}>{showArea(area, seen)}</text>
        </>
      )}
    </g>
  );
}

function ChanceTable({ buying, seen }: { readonly buying: Buying; readonly seen: LengthUnit }) {
  const apart = Math.max(1, Math.ceil(buying.curve.length / ROWS));
  const rows = buying.curve.filter((point, i) => i % apart === 0 || point.area_mm2 === buying.area_mm2);
  return (
    <details class="group">
      <summary>The chances as a table</summary>
      <Table label="Chances" class="chances" head={["area of each", "enough", "95 in 100 sure"]}
        rows={rows.map((point) => ({
          key: point.area_mm2,
          class: point.area_mm2 === buying.area_mm2 ? "asked" : undefined,
          cells: [showArea(point.area_mm2, seen), `${times(point.chance)} in 100`, `${times(point.low)} to ${times(point.high)}`],
        }))} />
    </details>
  );
}

interface ChartProps {
  readonly buying: Buying;
  readonly seen: LengthUnit;
  readonly running: boolean;
}

export function Chart({ buying, seen, running }: ChartProps) {
  const { curve } = buying;
  const [place, { width, letter }] = useSize<HTMLDivElement>({ width: 640, height: 0 });
  const rem = 16 * letter;
  const [chosen, setChosen] = useState<number | null>(null); // mm2
  const plot = plotOf(curve, width, rem, seen);
  const nearest = (mm2: number): number =>
    curve.reduce((best, point, i) => (Math.abs(point.area_mm2 - mm2) < Math.abs((curve[best]?.area_mm2 ?? 0) - mm2) ? i : best), 0);
  const index = nearest(chosen ?? buying.area_mm2 ?? Infinity);
  const here = curve[index];
  if (!here) return null;
  const go = (to: number): void => setChosen(curve[Math.min(Math.max(to, 0), curve.length - 1)]?.area_mm2 ?? null);
  const steps: Readonly<Record<string, number>> = {
    ArrowLeft: index - 1, ArrowDown: index - 1, ArrowRight: index + 1, ArrowUp: index + 1,
    PageDown: index - 10, PageUp: index + 10, Home: 0, End: curve.length - 1,
  };
  const point = (event: PointerEvent): void => {
    const left = place.current?.getBoundingClientRect().left ?? 0;
    const share = (event.clientX - left - plot.left) / (plot.right - plot.left);
    const first = curve[0]?.area_mm2 ?? 0;
    go(nearest(first + share * ((curve[curve.length - 1]?.area_mm2 ?? 0) - first)));
  };
  const band = [...curve.map((one) => [plot.x(one.area_mm2), plot.y(one.high)] as const),
    ...[...curve].reverse().map((one) => [plot.x(one.area_mm2), plot.y(one.low)] as const)];
  const high = plot.bottom + 3.25 * rem;
  return (
    <figure class={running ? "chart sharpening" : "chart"}>
      <div class="plot" ref={place}>
        <svg width={width} height={high} viewBox={`0 0 ${width} ${high}`} aria-hidden="true">
          <Axes plot={plot} rem={rem} seen={seen} />
          <path class="band95" d={`${pathOf(band)}Z`} />
          <path class="curve" d={pathOf(curve.map((one) => [plot.x(one.area_mm2), plot.y(one.chance)]))} />
          <Asked plot={plot} buying={buying} rem={rem} seen={seen} />
          {chosen !== null && (
            <g class="reading">
              <line x1={plot.x(here.area_mm2)} x2={plot.x(here.area_mm2)} y1={plot.top} y2={plot.bottom} />
              <circle cx={plot.x(here.area_mm2)} cy={plot.y(here.chance)} r={0.35 * rem} />
            </g>
          )}
        </svg>
        <div class="reader" role="slider" tabindex={0} aria-label="Area of each" aria-valuemin={0} aria-valuemax={curve.length - 1}
          aria-valuenow={index} aria-valuetext={readingOf(here, seen)}
          onPointerMove={point} onPointerDown={point}
          onKeyDown={(event) => {
            const to = steps[event.key];
            if (to === undefined) return;
            event.preventDefault();
            go(to);
          }} />
      </div>
      <p class="reading">{readingOf(here, seen)}.</p>
      <figcaption>
        The line is the chance that an area is enough, the band where it lies (95 in 100 sure). The dashed line is how sure you
        want to be; the thick part of it, from where to where the area for that lies. Point at the chart, or go along it with the arrow keys.
      </figcaption>
      <ChanceTable buying={buying} seen={seen} />
    </figure>
  );
}
