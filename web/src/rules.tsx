// What each side needs beyond the frame, band by band, against what the flat rules would give.

import type { Cover } from "./api";
import { labelOf } from "./schema";
import { Table } from "./table";
import { tapeLength, type LengthUnit } from "./units";

const BANDS = ["edge", "turn", "grip"] as const;
const LOOK = { edge: "edge", turn: "turn", grip: "whole" } as const;
const WIDTH = 320; // of the drawing's own units; it is scaled to its place
const ROW = 30;
const NAMES = 46;
const HEAD = 20;

/** Bars from the frame's edge outward; a rule that a bar passes comes short by what is beyond. */
export function RuleBars({ cover, unit }: { readonly cover: Cover; readonly unit: LengthUnit }) {
  const sides = Object.keys(cover.paths);
  const rows = sides.map((side) => {
    const allowance = cover.paths[side]?.["allowance_mm"] ?? 0;
    const lengths = cover.sections[side]?.lengths_mm;
    const widths = BANDS.map((band) => lengths?.[band] ?? 0);
    return { side, allowance, widths, begin: allowance - widths.reduce((sum, one) => sum + one, 0) };
  });
  const most = Math.max(...rows.map((row) => row.allowance), ...cover.flat_rules.map((rule) => rule.allowance_mm));
  const least = Math.min(0, ...rows.map((row) => row.begin));
  const scale = (WIDTH - NAMES - 58) / (most - least);
  const x = (mm: number): number => NAMES + (mm - least) * scale;
  const height = HEAD + rows.length * ROW + 6;
  const said = rows.map((row) => `${row.side} ${tapeLength(row.allowance, unit)} ${unit}`).join(", ");
  return (
    <svg class="bars" viewBox={`0 0 ${WIDTH} ${height}`} role="img"
      aria-label={`Needed beyond the frame: ${said}. The flat rules: ${cover.flat_rules.map((rule) => rule.name).join(", ")}.`}>
      {rows.map((row, i) => {
        let from = row.begin;
        const y = HEAD + i * ROW + 4;
        return (
          <g key={row.side}>
            <text class="word outside" x={0} y={y + 15} font-size={11}>{labelOf(row.side)}</text>
            {row.widths.map((width, band) => {
              const start = from;
              from += width;
              const name = BANDS[band] ?? "edge";
              return (
                <g key={name}>
                  <rect class={`band ${LOOK[name]}`} x={x(start)} y={y} width={width * scale} height={ROW - 9} />
                  {i === 0 && width * scale > 24 && <text class="word" x={x(start) + 4} y={y + 14} font-size={10}>{name}</text>}
                </g>
              );
            })}
            <text class="word outside strongword" x={x(Math.max(row.allowance, most)) + 5} y={y + 15} font-size={11}>
              {tapeLength(row.allowance, unit)} {unit}</text>
          </g>
        );
      })}
      <path class="line frame" d={`M${x(0)},${HEAD - 4}V${height}`} />
      <text class="word outside" x={x(0)} y={11} font-size={10} text-anchor="middle">frame</text>
      {cover.flat_rules.map((rule) => (
        <g key={rule.name}>
          <path class="rule" d={`M${x(rule.allowance_mm)},${HEAD - 6}V${height}`} />
          <text class="word outside" x={x(rule.allowance_mm)} y={11} font-size={10} text-anchor="middle">
            {tapeLength(rule.allowance_mm, unit)} {unit}</text>
        </g>
      ))}
    </svg>
  );
}

/** The same in figures, with where the rules come from. */
export function RuleTable({ cover, seen }: { readonly cover: Cover; readonly seen: LengthUnit }) {
  const show = (mm: number): string => `${tapeLength(mm, seen)} ${seen}`;
  return (
    <div class="figures">
      <Table label="Allowance beside the flat rules" caption={<caption>Allowance beyond the frame, and what the flat rules would make of it</caption>}
        head={["side", "this cover", ...cover.flat_rules.map((rule) => rule.name)]}
        rows={Object.keys(cover.paths).map((side) => ({
          key: side,
          cells: [
            side, show(cover.paths[side]?.["allowance_mm"] ?? 0),
            ...cover.flat_rules.map((rule) => {
              const wasted = rule.wasted_mm[side] ?? 0;
              return wasted < 0 ? <span class="short">{show(-wasted)} short</span> : `${show(wasted)} wasted`;
            }),
          ],
        }))} />
      <ul class="sources">{cover.flat_rules.map((rule) => <li key={rule.name}>{rule.name}: {rule.source}</li>)}</ul>
    </div>
  );
}
