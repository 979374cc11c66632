// The layout of a job: covers on hides, looked for by itself, moved by hand, judged at every move.

import { useEffect, useMemo, useState } from "preact/hooks";
import type { Cover } from "./api";
import { pathOf, placeWords } from "./document";
import { boxOf } from "./drawing";
import { draft, jobTitle, saving, state, unit } from "./job";
import { Board, centreOf, faultsOf, KEYS, touchesOf, turnedBy } from "./layout_board";
import { Figures, KeptLayouts } from "./layout_compare";
import { Cut } from "./layout_cut";
import type { Hide, Laid, Missing } from "./layout_api";
import {
  back, canBack, canForth, chosen, counting, counts, fit, fitting, forth, goOn, halt, haltFit, hideAt, laid, leave, lock, lookForFit, nudge, put, putDown,
  REACH_MM, reasons, replaced, report, said, search, shape, snapping, standAt, swap, swapping, trouble, tryAnswer,
} from "./layout_state";
import type { PlaceProps } from "./places";
import { placeAddress } from "./route";
import { tapeLength } from "./units";

const coverWords = (cover: Pick<Cover, "seat" | "chair"> | undefined): string => (cover ? (cover.chair ? `${cover.seat}, ${cover.chair}` : cover.seat) : "");

/** How it stands, in words: the search, what is laid, what is wrong, what has no place. */
function Words() {
  const now = report.value;
  const going = search.value;
  const missing = (now?.missing ?? []).reduce((sum, one) => sum + one.count, 0);
  const faulty = (now?.placements ?? []).flatMap((one) => (one.fits ? [] : [`${one.name}: ${faultsOf(one)}`]));
  const count = laid.value.length;
  return (
    <div class="words">
      <p role="status" class="standing">
        {going ? `Looking for a layout: ${going.what}. ${count} laid so far.`
          : !now ? (trouble.value ? "" : "Being judged…")
            : faulty.length > 0 ? `${count} laid; with ${faulty.length} of them something is wrong.`
              : missing > 0 ? `${count} laid; ${missing} without a place.`
                : count > 0 ? `All ${count} covers lie where they may.` : "Nothing is laid yet."}
      </p>
      {now && !going && (counts.value ? <p class="help">Papers and the bench follow this layout.</p>
        : faulty.length > 0 && counting.value && <p class="help">Papers and the bench follow the last layout in which nothing was wrong.</p>)}
      {trouble.value && <p class="trouble" role="alert">{trouble.value}</p>}
      {faulty.length > 0 && <ul class="faults">{faulty.map((one) => <li key={one}>{one}</li>)}</ul>}
      {now && !going && missing > 0 && (
        <ul class="faults">
          {now.missing.map((one) => {
            const why = reasons.value.find((other) => other.cover === one.cover)?.reason;
            return <li key={one.cover}>{one.count === 1 ? "" : `${one.count} × `}{one.cover}, {coverWords(one)}: {why ?? "not laid yet"}</li>;
          })}
        </ul>
      )}
      <p class="unseen" role="status">{said.value}</p>
    </div>
  );
}

function Search() {
  const going = search.value;
  return (
    <div class="search-bar">
      {going ? (
        <>
          <progress max={1} value={going.share} aria-label="Of the search" />
          <button type="button" class="strong" onClick={() => void halt()}>Stop</button>
        </>
      ) : (
        <button type="button" class="strong" onClick={() => void goOn()}>{laid.value.length > 0 ? "Go on looking" : "Look for a layout"}</button>
      )}
      <button type="button" disabled={!canBack.value} onClick={back}>Take back</button>
      <button type="button" disabled={!canForth.value} onClick={forth}>Do again</button>
    </div>
  );
}

interface HandProps {
  readonly covers: ReadonlyMap<string, Cover>;
  readonly hides: readonly Hide[];
}

// What can be done with the cover that is chosen: all that the pointer can, for fingers and keys.
function Hand({ covers, hides }: HandProps) {
  const index = chosen.value;
  const one = index === null ? undefined : laid.value[index];
  if (index === null || !one) return <p class="help hand-none">Choose a cover on the hide or in the list to move, turn, lock or swap it.</p>;
  const cover = covers.get(one.cover);
  const standing = report.value?.placements[index];
  const name = standing?.name ?? one.cover;
  const turn = (deg: number): void => {
    if (cover) nudge(index, turnedBy(cover, one, deg));
  };
  const touching = touchesOf(standing);
  const partners = (report.value?.placements ?? []).flatMap((other, i) => (i !== index && other.partners === standing?.partners ? [other.name] : []));
  return (
    <section class="hand" aria-label={`Cover ${name}`}>
      <h2>{name}: {coverWords(cover)}</h2>
      <p>{standing ? (standing.fits ? "✓ It may lie here." : `✗ ${faultsOf(standing)}.`) : "Being judged…"}
        {touching && ` Under it: ${touching}.`}
        {standing && ` ${standing.off_firm_deg.toFixed(1)}° off the firm direction.`}
        {partners.length > 0 && ` Belongs beside ${partners.join(", ")}.`}</p>
      <div class="actions">
        <button type="button" disabled={one.locked} onClick={() => turn(1)}>Turn left 1°</button>
        <button type="button" disabled={one.locked} onClick={() => turn(-1)}>Turn right 1°</button>
        <button type="button" disabled={one.locked} onClick={() => turn(180)}>Half turn</button>
        <button type="button" disabled={one.locked} onClick={() => void putDown(index, one, REACH_MM)}>Snap</button>
        <button type="button" aria-pressed={one.locked} onClick={() => lock(index, !one.locked)}>Lock</button>
        <button type="button" aria-pressed={swapping.value} disabled={one.locked} onClick={() => { swapping.value = !swapping.value; }}>Swap…</button>
        <button type="button" class="quiet" disabled={one.locked} onClick={() => {
          chosen.value = null;
          put(laid.value.filter((_, i) => i !== index));
        }}>Take off</button>
        {hides.length > 1 && (
          <label class="row"><span>On</span>
            <select value={one.hide} disabled={one.locked} onChange={(event) => {
              const to = event.currentTarget.value;
              put(replaced(index, { hide: to }));
              hideAt.value = hides.findIndex((hide) => hide.name === to);
            }}>
              {hides.map((hide) => <option key={hide.name} value={hide.name}>{hide.name}</option>)}
            </select>
          </label>
        )}
      </div>
      {swapping.value && <p class="said" role="status">Choose the cover that {name} is to change places with, on the hide or in the list.</p>}
    </section>
  );
}

// Onto the middle of the hide, its front to the butt; from there it is moved by hand.
function laidInTheMiddle(missing: Missing, cover: Cover | undefined, hide: Hide): Laid {
  const box = boxOf(hide.outline_mm);
  const at = { x_mm: 0, y_mm: 0, turn_deg: -90 };
  const [x, y] = cover ? centreOf(cover, at) : [0, 0];
  return { cover: missing.cover, hide: hide.name, x_mm: (box.left + box.right) / 2 - x, y_mm: -y, turn_deg: -90, locked: false };
}

function CoverList({ covers, hides, choose }: HandProps & { readonly choose: (index: number) => void }) {
  const hide = hides[hideAt.value];
  return (
    <section class="covers" aria-label="Covers">
      <ul>
        {laid.value.map((one, i) => {
          const standing = report.value?.placements[i];
          return (
            <li key={i}>
              <button type="button" aria-pressed={chosen.value === i} onClick={() => choose(i)}>
                <span class="name">{standing?.name ?? one.cover}</span>
                <span>{standing ? (standing.fits ? "fits" : faultsOf(standing)) : "…"}{one.locked ? ", locked" : ""}{hides.length > 1 ? `, on ${one.hide}` : ""}</span>
              </button>
            </li>
          );
        })}
        {hide && (report.value?.missing ?? []).map((one) => (
          <li key={`missing ${one.cover}`}>
            <button type="button" class="quiet" onClick={() => {
              put([...laid.value, laidInTheMiddle(one, covers.get(one.cover), hide)]);
              chosen.value = laid.value.length - 1;
            }}>
              <span class="name">{one.cover}</span>
              <span>{one.count} without a place: put one on the hide</span>
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Fit() {
  const missing = (report.value?.missing ?? []).length > 0;
  const found = fit.value;
  if (!missing && !found && !fitting.value) return null;
  return (
    <section class="group fit" aria-labelledby="fit">
      <h2 id="fit">What would make it fit</h2>
      {fitting.value ? (
        <div class="search-bar">
          <progress max={1} value={fitting.value.share} aria-label="Of the tries" />
          <span role="status">{fitting.value.what}</span>
          <button type="button" onClick={() => void haltFit()}>Stop</button>
        </div>
      ) : !found ? (
        <>
          <p class="help">One change at a time is tried, from the least harm to the greatest, each with a layout that proves it.</p>
          <button type="button" disabled={search.value !== null} onClick={() => void lookForFit()}>Look for it</button>
        </>
      ) : (
        <>
          {found.bound.most < found.bound.wanted && <p>No layout can hold more than {found.bound.most} of the {found.bound.wanted}.</p>}
          <ol class="answers">
            {found.answers.map((one) => (
              <li key={one.change}>
                <span><strong>{one.change}</strong><br /><span class="help">{one.cost}</span></span>
                {one.changes.length > 0
                  ? <button type="button" onClick={() => void tryAnswer(one)}>Try it<span class="unseen">: {one.change}</span></button>
                  : null}
              </li>
            ))}
          </ol>
          {found.answers.length === 0 && <p>Nothing that was tried makes all of them fit.</p>}
          {found.failed.length > 0 && (
            <details><summary>Tried, and no layout was found</summary><ul>{found.failed.map((one) => <li key={one.change}>{one.change}</li>)}</ul></details>
          )}
        </>
      )}
    </section>
  );
}

function NoHide({ job }: { readonly job: number }) {
  return (
    <main id="main" tabindex={-1} class="layout">
      <h1>{jobTitle.value}: layout</h1>
      <p class="said">This job has no hide yet, so there is nothing to lay the covers on.</p>
      <p><a class="go" href={placeAddress(job, "hide")}>Measure a hide</a></p>
    </main>
  );
}

function Mistaken({ job }: { readonly job: number }) {
  return (
    <main id="main" tabindex={-1} class="layout">
      <h1>{jobTitle.value}: layout</h1>
      <p class="said">There are mistakes in the job. Mend them, then the covers can be laid.</p>
      <ul class="faults">{(shape.value?.problems ?? []).filter((one) => one.kind !== "doubt").map((one, i) => <li key={i}>{placeWords(pathOf(one.where), draft.value)}: {one.found}</li>)}</ul>
      <p><a class="go" href={placeAddress(job, "seats")}>To the seats</a></p>
    </main>
  );
}

// Steps back are those of the layout here, unless a field has the focus.
function useStepKeys(): void {
  useEffect(() => {
    const key = (event: KeyboardEvent): void => {
      const inField = event.target instanceof HTMLInputElement || event.target instanceof HTMLSelectElement;
      const word = event.key.toLowerCase();
      if (inField || !(event.ctrlKey || event.metaKey) || (word !== "z" && word !== "y")) return;
      const forward = word === "y" || event.shiftKey;
      if (!(forward ? canForth : canBack).value) return; // then it is a step of the job
      event.preventDefault();
      event.stopImmediatePropagation();
      (forward ? forth : back)();
    };
    addEventListener("keydown", key, true);
    return () => removeEventListener("keydown", key, true);
  }, []);
}

export function Layout(_: PlaceProps) {
  const job = state.value?.id ?? 0;
  const version = state.value?.version ?? 0;
  const settled = saving.value === "saved";
  const [flesh, setFlesh] = useState(false);
  const [left, setLeft] = useState(true);
  useEffect(() => {
    if (job > 0 && settled) void standAt(job, version);
  }, [job, version, settled]);
  useEffect(() => leave, []);
  useStepKeys();
  const now = shape.value;
  const covers = useMemo(() => new Map((now?.covers ?? []).map((cover) => [cover.name, cover])), [now]);
  if (!now) {
    return (
      <main id="main" tabindex={-1} class="layout">
        <h1>{jobTitle.value}: layout</h1>
        <p role="status">{trouble.value ?? "Looking at covers and hides…"}</p>
      </main>
    );
  }
  if (!now.good) return <Mistaken job={job} />;
  const hide = now.hides[hideAt.value];
  if (!hide) return <NoHide job={job} />;
  const rest = report.value?.measures?.hides[hideAt.value]?.left;
  const choose = (index: number): void => {
    const from = chosen.value;
    if (swapping.value && from !== null) {
      swap(from, index);
      return;
    }
    chosen.value = chosen.value === index ? null : index;
    const on = now.hides.findIndex((one) => one.name === laid.value[index]?.hide);
    if (on >= 0) hideAt.value = on;
  };
  return (
    <main id="main" tabindex={-1} class="layout">
      <h1>{jobTitle.value}: layout</h1>
      {now.hides.length > 1 && (
        <div class="tabs" role="group" aria-label="Hides">
          <ul>
            {now.hides.map((one, i) => {
              const count = laid.value.filter((each) => each.hide === one.name).length;
              return (
                <li key={one.name}>
                  <button type="button" aria-pressed={i === hideAt.value} onClick={() => { hideAt.value = i; }}>
                    {one.name} ({count === 0 ? "whole" : count})
                  </button>
                </li>
              );
            })}
          </ul>
        </div>
      )}
      <div class="work">
        <section class="board" aria-label={`Hide ${hide.name}`}>
          <Search />
          <Board hide={hide} hideIndex={hideAt.value} covers={covers} flesh={flesh} left={left} />
          <div class="switches">
            <label class="tick"><input type="checkbox" checked={snapping.value} onChange={(event) => { snapping.value = event.currentTarget.checked; }} />snap to touch</label>
            <label class="tick"><input type="checkbox" checked={flesh} onChange={(event) => setFlesh(event.currentTarget.checked)} />flesh side</label>
            <label class="tick"><input type="checkbox" checked={left} onChange={(event) => setLeft(event.currentTarget.checked)} />what is left</label>
          </div>
          {left && rest && rest.rectangle_mm[1][0] > rest.rectangle_mm[0][0] && (
            <p class="help restwords">
              Hatched: the largest rectangle left along the backbone, {tapeLength(rest.rectangle_mm[1][0] - rest.rectangle_mm[0][0], unit.value)} × {tapeLength(rest.rectangle_mm[1][1] - rest.rectangle_mm[0][1], unit.value)} {unit.value}.
            </p>
          )}
          <details class="keys"><summary>Keys and hands</summary>
            <p id="layout-keys">{KEYS} Drag a cover to move it, the knob at its back to turn it; the wheel turns it while it is carried. Two fingers, or Ctrl and the wheel, look nearer.</p>
          </details>
        </section>
        <div class="measures">
          <Words />
          <Hand covers={covers} hides={now.hides} />
          <CoverList covers={covers} hides={now.hides} choose={choose} />
          <Fit />
          <section class="group" aria-labelledby="figures">
            <h2 id="figures">Figures</h2>
            <Figures label="Figures of the layout" columns={[{ title: "at hand", report: report.value }]} />
          </section>
          <KeptLayouts />
          <Cut />
        </div>
      </div>
    </main>
  );
}
