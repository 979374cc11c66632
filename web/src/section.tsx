// The seat cut through at the middle of one side, to scale, as the program draws it: wood,
// padding, layers, and the leather's way over them with the length of each band. Here only is
// decided where words stand and how much of it has room.

import type { Chain, Cover, CrossSection, Point, Ring } from "./api";
import { leatherSeen } from "./job";
import { labelOf } from "./schema";
import { useSize } from "./size";
import { MM_PER, tapeLength, type LengthUnit } from "./units";

const chain = (points: Chain): string => `M${points.map(([x, y]) => `${x},${-y}`).join("L")}`;
const ring = (points: Ring): string => (points.length > 0 ? `${chain(points)}Z` : "");

const BANDS = [
  ["face", ["dome"]], ["edge", ["round", "side"]], ["turn", ["bottom", "under", "hold"]], ["grip", ["grip"]],
] as const;
type Band = (typeof BANDS)[number][0];

const STILL_CLEAR_PX = 1.7; // for 1 mm; with less, only the edge is shown
const AROUND_PX = { left: 8, right: 112, top: 30, bottom: 52 }; // for the words

interface Word {
  readonly text: string;
  readonly at: Point;
  readonly from: Point; // what is meant
  readonly anchor: "start" | "middle" | "end";
}

function middleOf(points: Chain): Point {
  const [a, b] = [points[Math.floor((points.length - 1) / 2)], points[Math.ceil((points.length - 1) / 2)]];
  return a && b ? [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2] : [0, 0];
}

const bandChain = (section: CrossSection, parts: readonly (keyof CrossSection["leather_mm"])[]): Chain =>
  parts.flatMap((part, i) => section.leather_mm[part].slice(i === 0 ? 0 : 1));

/** The lengths of the bands in words, for those who cannot see them. */
export function sectionWords(section: CrossSection, unit: LengthUnit): string {
  return BANDS.map(([band]) => `${band} ${tapeLength(section.lengths_mm[band], unit)} ${unit}`).join(", ");
}

interface Seen {
  readonly cover: Cover;
  readonly side: string;
  readonly unit: LengthUnit;
  readonly stale: boolean;
}

/** The section through one side. */
export function SectionDrawing({ cover, side, unit, stale }: Seen) {
  const [holder, size] = useSize<SVGSVGElement>({ width: 600, height: 220 });
  const section = cover.sections[side];
  if (!section) return null;

  const leather = BANDS.map(([band, parts]) => [band, bandChain(section, parts)] as const);
  const all = leather.flatMap(([, points]) => points);
  const out = Math.max(...all.map(([x]) => x));
  const top = Math.max(...all.map(([, y]) => y));
  const low = Math.min(...all.map(([, y]) => y));
  const inmost = Math.min(...section.leather_mm.grip.map(([x]) => x));
  const room = {
    width: Math.max(size.width - (AROUND_PX.left + AROUND_PX.right) * size.letter, 40),
    height: Math.max(size.height - (AROUND_PX.top + AROUND_PX.bottom) * size.letter, 40),
  };
  const scaleFrom = (left: number): number => Math.min(room.width / (out - left), room.height / (top - low));
  const start = Math.min(0, inmost);
  const whole = scaleFrom(start) >= STILL_CLEAR_PX * size.letter;
  const scale = whole ? scaleFrom(start) : Math.min(room.width / (out - inmost + 10), room.height / (top - low));
  const px = (count: number): number => (count * size.letter) / scale;
  const left = whole ? start : Math.max(start, out - room.width / scale);
  const slack = size.width / scale - (out - left) - px(AROUND_PX.left + AROUND_PX.right);
  const view = [left - px(AROUND_PX.left) - Math.max(slack, 0) / 2, -(top + px(AROUND_PX.top)), size.width / scale, size.height / scale];
  const show = (band: Band): string => `${band} ${tapeLength(section.lengths_mm[band], unit)} ${unit}`;

  const dome = section.leather_mm.dome.filter(([x]) => x >= left);
  const face = middleOf(dome);
  const edge = middleOf(section.leather_mm.side);
  const tack = section.leather_mm.under.at(-1) ?? [0, 0];
  const turn = middleOf(section.leather_mm.under);
  const grip = middleOf(section.leather_mm.grip);
  const words: readonly Word[] = [
    { text: show("face"), at: [face[0], top + px(14)], from: face, anchor: "middle" },
    { text: show("edge"), at: [out + px(10), edge[1]], from: edge, anchor: "start" },
    { text: show("turn"), at: [Math.max(turn[0], tack[0] + px(10)), low - px(20)], from: turn, anchor: "start" },
    { text: show("grip"), at: [grip[0], low - px(40)], from: grip, anchor: "middle" },
  ];
  const thick = Math.max(section.leather_thickness_mm, px(2));
  return (
    <svg ref={holder} class={`section${stale ? " stale" : ""}`} viewBox={view.map((value) => value.toFixed(2)).join(" ")} role="img"
      aria-label={`Cut through at the ${side}, to scale: ${sectionWords(section, unit)}`}>
      <defs>
        <pattern id="grain" width={px(7)} height={px(7)} patternUnits="userSpaceOnUse" patternTransform="rotate(-60)">
          <path class="hatch" d={`M0,${px(3.5)}H${px(7)}`} />
        </pattern>
        <pattern id="soft" width={px(9)} height={px(9)} patternUnits="userSpaceOnUse">
          <circle class="dot" cx={px(2)} cy={px(2)} r={px(0.9)} /><circle class="dot" cx={px(6.5)} cy={px(6.5)} r={px(0.9)} />
        </pattern>
      </defs>
      <path class="sheet wood" d={ring(section.board_mm)} /><path fill="url(#grain)" d={ring(section.board_mm)} />
      <path class="sheet padding" d={ring(section.padding_mm)} /><path fill="url(#soft)" d={ring(section.padding_mm)} />
      {section.layers.map((layer, i) => <path key={i} class={`sheet layer${i % 2}`} d={ring(layer.outline_mm)} />)}
      {leather.map(([band, points]) => <path key={band} class={`hide ${band}`} d={chain(points)} stroke-width={thick} />)}
      {leather.slice(0, -1).map(([band, points]) => {
        const [x, y] = points.at(-1) ?? [0, 0];
        const across = band === "face" ? 0 : 1; // the face ends on top, the others on the underside
        return <path key={band} class="tick" d={across ? `M${x},${-y - px(5)}v${px(10)}` : `M${x},${-y - px(6)}v${px(12)}`} />;
      })}
      <path class="tackmark" d={`M${tack[0]},${-tack[1] + px(3)}l${px(-4)},${px(7)}h${px(8)}Z`} />
      {words.map((word) => (
        <g key={word.text}>
          <path class="lead" d={`M${word.from[0]},${-word.from[1]}L${word.at[0]},${-word.at[1] + (word.from[1] > word.at[1] ? px(-11) : px(3))}`} />
          <text class="word outside" x={word.at[0]} y={-word.at[1] + (word.anchor === "start" ? px(4) : 0)} font-size={px(14)}
            text-anchor={word.anchor}>{word.text}</text>
        </g>
      ))}
    </svg>
  );
}

/** What the sheets of a section are, from the outside in. */
export function SectionLegend({ section }: { readonly section: CrossSection }) {
  const layers = section.layers.map((layer, i) => [`layer${i % 2}`, layer.material] as const).reverse();
  return (
    <ul class="keys">
      <li><span class="key hide" />leather {leatherSeen.value === "mm" ? `${Number(section.leather_thickness_mm.toFixed(2))} mm`
        : `${Number((section.leather_thickness_mm / MM_PER.oz).toFixed(1))} oz`}</li>
      {layers.map(([look, name], i) => <li key={i}><span class={`key ${look}`} />{name}</li>)}
      {section.padding_mm.length > 0 && <li><span class="key padding" />padding</li>}
      <li><span class="key wood" />board</li>
      <li><span class="key tackkey" aria-hidden="true">▲</span>tack line</li>
    </ul>
  );
}

interface ChoiceProps {
  readonly sides: readonly string[];
  readonly chosen: string;
  readonly choose: (side: string) => void;
}

export function SideChoice({ sides, chosen, choose }: ChoiceProps) {
  return (
    <div role="group" aria-label="Cut through at the middle of the">
      {sides.map((side) => (
        <button type="button" key={side} aria-pressed={side === chosen} onClick={() => choose(side)}>{labelOf(side)}</button>
      ))}
    </div>
  );
}
