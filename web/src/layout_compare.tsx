// Layouts that were kept, and one of them beside the one at hand, with figures of both.

import { useEffect, useState } from "preact/hooks";
import { Bands, HideShape } from "./layout_board";
import { boxOf } from "./drawing";
import {
  AT_HAND, keep, keptLaid, keptOf, layTable, putAway, reportOf, shapeOf,
  type Kept, type Laid, type Measures, type Report, type Shape,
} from "./layout_api";
import { countAgain, counting, hideAt, laid, put, report, said, shape, standing } from "./layout_state";
import { unit } from "./job";
import { Table } from "./table";
import { showArea, tapeLength } from "./units";
import { moment, refusalWords } from "./words";

function Small({ now, list, title, hideIndex }: { readonly now: Shape; readonly list: readonly Laid[]; readonly title: string; readonly hideIndex: number }) {
  const hide = now.hides[hideIndex];
  if (!hide) return null;
  const box = boxOf(hide.outline_mm);
  const room = (box.right - box.left) * 0.02;
  const view = [box.left - room, -box.back - room, box.right - box.left + 2 * room, box.back - box.front + 2 * room];
  return (
    <svg class="hide small" viewBox={view.map((value) => value.toFixed(1)).join(" ")} role="img" aria-label={title}>
      <g transform="scale(1 -1)">
        <HideShape hide={hide} flip={-1} px={0} />
        {list.filter((one) => one.hide === hide.name).map((one, i) => {
          const cover = now.covers.find((other) => other.name === one.cover);
          return cover && (
            <g key={i} class="piece" transform={`translate(${one.x_mm} ${one.y_mm}) rotate(${one.turn_deg})`}>
              <Bands cover={cover} standing={undefined} />
            </g>
          );
        })}
      </g>
    </svg>
  );
}

interface Other {
  readonly kept: Kept;
  readonly shape: Shape;
  readonly laid: readonly Laid[];
  readonly report: Report;
}

async function look(kept: Kept): Promise<Other> {
  const { job } = standing();
  const list = await keptLaid(kept.layout);
  const [now, table] = await Promise.all([shapeOf(job, kept.version), layTable(job, kept.version, list, null)]);
  return { kept, shape: now, laid: list, report: await reportOf(table) };
}

const FIGURES: readonly (readonly [string, (measures: Measures, hide: number) => string])[] = [
  ["leather used", (measures, hide) => {
    const one = measures.hides[hide];
    return one ? `${showArea(one.used_mm2, unit.value)} (${Math.round((100 * one.used_mm2) / one.area_mm2)} %)` : "";
  }],
  ["largest rectangle left, along the backbone", (measures, hide) => {
    const rectangle = measures.hides[hide]?.left?.rectangle_mm;
    return rectangle && rectangle[1][0] > rectangle[0][0]
      ? `${tapeLength(rectangle[1][0] - rectangle[0][0], unit.value)} × ${tapeLength(rectangle[1][1] - rectangle[0][1], unit.value)} ${unit.value}` : "none";
  }],
  ["largest part left", (measures, hide) => showArea(measures.hides[hide]?.left?.largest_mm2 ?? 0, unit.value)],
  ["useful parts left", (measures, hide) => String(measures.hides[hide]?.left?.parts ?? 0)],
  ["off the firm direction, mean", (measures) => `${measures.mean_off_deg.toFixed(1)}°`],
  ["softness of the leather under the faces (0: none)", (measures) => measures.mean_cost.toFixed(3)],
  ["between partners, mean", (measures) => `${tapeLength(measures.partner_distance_mm, unit.value)} ${unit.value}`],
];

export function Figures({ columns, label }: { readonly label: string; readonly columns: readonly { readonly title: string; readonly report: Report | null }[] }) {
  const missing = (one: Report | null): string => (one ? String(one.missing.reduce((sum, each) => sum + each.count, 0)) : "…");
  return (
    <Table label={label} head={["figure", ...columns.map((one) => one.title)]}
      rows={[
        { key: "missing", cells: ["covers without a place", ...columns.map((one) => missing(one.report))] },
        ...FIGURES.map(([name, show]) => ({
          key: name,
          cells: [name, ...columns.map(({ report: one }) => (one?.measures ? show(one.measures, hideAt.value) : one ? "not while something is wrong" : "…"))],
        })),
      ]} />
  );
}

export function KeptLayouts() {
  const { job, version } = standing();
  const [list, setList] = useState<readonly Kept[]>([]);
  const [other, setOther] = useState<Other | null>(null);
  const [name, setName] = useState("");
  const [told, tell] = useState("");
  const renew = (): void => {
    keptOf(job).then((found) => setList(found), (error) => tell(refusalWords(error)));
  };
  useEffect(() => {
    setOther(null);
  }, [job, version]);
  useEffect(renew, [job, version, counting.value?.layout]);
  const doing = (what: Promise<unknown>): void => {
    tell("");
    what.catch((error) => tell(refusalWords(error)));
  };
  const good = report.value !== null && report.value.faulty === 0 && laid.value.length > 0;
  return (
    <section class="group kept" aria-labelledby="kept">
      <h2 id="kept">Kept layouts</h2>
      <form class="keep" onSubmit={(event) => {
        event.preventDefault();
        doing(keep(job, version, name.trim() || "by hand", laid.value).then(async () => {
          setName("");
          said.value = "It is kept.";
          renew();
          await countAgain();
        }));
      }}>
        <div class="row">
          <label for="keep-name">Keep this one as</label>
          <input id="keep-name" autocomplete="off" placeholder="by hand" maxLength={120} value={name} onInput={(event) => setName(event.currentTarget.value)} />
        </div>
        <button type="submit" disabled={!good} aria-describedby={good ? undefined : "keep-why"}>Keep it</button>
      </form>
      {!good && <p id="keep-why" class="help">Only a layout in which nothing is wrong can be kept.</p>}
      <p role="status" class={told ? "said" : "unseen"}>{told}</p>
      <ul class="keptlist">
        {list.filter((one) => one.layout !== counting.value?.layout || one.name !== AT_HAND).map((kept) => (
          <li key={kept.layout}>
            <span class="name">{kept.name}</span>
            <span class="help">version {kept.version}, {moment(kept.kept_ms)}</span>
            <span class="actions">
              <button type="button" aria-pressed={other?.kept.layout === kept.layout}
                onClick={() => (other?.kept.layout === kept.layout ? setOther(null) : doing(look(kept).then(setOther)))}>
                Compare<span class="unseen"> with {kept.name}</span>
              </button>
              <button type="button" class="quiet" onClick={() => doing(putAway(kept.layout).then(async () => {
                if (other?.kept.layout === kept.layout) setOther(null);
                renew();
                await countAgain();
              }))}>Put away<span class="unseen"> {kept.name}</span></button>
            </span>
          </li>
        ))}
      </ul>
      {other && shape.value && (
        <div class="compare">
          <figure>
            <Small now={shape.value} list={laid.value} title="The layout at hand" hideIndex={hideAt.value} />
            <figcaption>At hand</figcaption>
          </figure>
          <figure>
            <Small now={other.shape} list={other.laid} title={`The layout kept as ${other.kept.name}`} hideIndex={hideAt.value} />
            <figcaption>{other.kept.name}</figcaption>
          </figure>
          <Figures label="Figures of both" columns={[{ title: "at hand", report: report.value }, { title: other.kept.name, report: other.report }]} />
          {other.kept.version === version
            ? <button type="button" onClick={() => put(other.laid)}>Go on with {other.kept.name}</button>
            : <p class="help">It belongs to version {other.kept.version} of the job, so it can be looked at but not gone on with.</p>}
        </div>
      )}
    </section>
  );
}
