// A hide: by tape with the outline growing while one types, or traced over a picture; its flaws and
// regions marked with finger or mouse; stamped area against measured.

import { useEffect, useState } from "preact/hooks";
import { freshName, nameOf, pathText, type JsonObject } from "./document";
import { chosen, hide, hideIndex, listOf, path, setEdge, takeAway, tool, units } from "./hide_edit";
import { facts, lastGood, madeFit, useFacts } from "./hide_facts";
import { HideDrawing } from "./hide_drawing";
import { EdgePlaces, Flaws, HideFields, Regions, Section, Stations, ToolBar } from "./hide_lists";
import { Marking, PictureChoice, useUnder } from "./hide_picture";
import { AtHand, Shop } from "./hide_shop";
import { pointsOf } from "./hide_places";
import { areaSeen, change, jobTitle, listAt, mistakesIn, problemsIn, state } from "./job";
import type { PlaceProps } from "./places";
import { placeAddress } from "./route";
import { showArea } from "./units";
import { countedAll, problemWords } from "./words";

const EDGE_WITHIN_MM = 4; // as a tape is read
const TRACED_WITHIN_MM = 8;

function begin(more: JsonObject): void {
  const hides = listAt(["hides"]);
  const index = hides.length;
  change(["hides", index], { name: freshName("hide", hides), form: "whole", ...more }, true);
  location.hash = placeAddress(state.value?.id ?? 0, "hide", index);
}

function Ways() {
  return (
    <section class="ways" aria-label="A way to enter a hide">
      <div>
        <h2>By tape</h2>
        <p>Lay a tape along the backbone and measure out to the edge, left and right. The outline grows while you type.</p>
        <button type="button" class="strong" onClick={() => begin({ stations: [] })}>Enter stations</button>
      </div>
      <div>
        <h2>Over a picture</h2>
        <p>Load a picture from straight above, say how long something on it is, and trace the edge with a finger or the mouse.</p>
        <button type="button" class="strong" onClick={() => begin({ points: [] })}>Trace a picture</button>
      </div>
      <div>
        <h2>From the workshop</h2>
        <p>A hide that another job knows, or a remnant.</p>
        <AtHand />
      </div>
    </section>
  );
}

/** Measured against stamped, in the program's words. */
function Areas() {
  const shape = lastGood.value?.hide;
  if (!shape) return null;
  const words = lastGood.value?.area_words;
  return (
    <dl class="areas">
      <div><dt>Measured</dt><dd>{showArea(shape.area_mm2, areaSeen.value)}</dd></div>
      {words ? <div class={shape.stamp === "agrees" ? "" : "doubt"}><dt>Stamp</dt><dd>{words}: {shape.stamp === "agrees" ? "they agree" : shape.stamp}</dd></div>
        : <div><dt>Stamp</dt><dd>not given</dd></div>}
      <div><dt>Flaws</dt><dd>{shape.flaws.length}</dd></div>
    </dl>
  );
}

/** Mistakes and doubts of this hide; those of its parts stand beside their fields too. */
function Said() {
  const where = pathText(path.value);
  const mine = problemsIn(where);
  const mistakes = mistakesIn(where);
  const text = countedAll([[mistakes, "mistake"], [mine.length - mistakes, "doubt"]]);
  return (
    <>
      <p class="unseen" role="status">{text || "No mistakes"}</p>
      {mine.length > 0 && (
        <details class="mistakes">
          <summary>{text}</summary>
          <ul>{mine.map((one, i) => <li key={i}><b>{one.where.slice(where.length + 1) || "hide"}</b> {problemWords(one)}</li>)}</ul>
        </details>
      )}
    </>
  );
}

function Edge({ schema, mark }: { readonly schema: PlaceProps["schema"]; readonly mark: (uid: string) => void }) {
  const value = hide.value ?? {};
  if (value["form"] === "panel") return <p>A panel has a length and a width; its edge is straight.</p>;
  const traced = Array.isArray(value["points"]) || !Array.isArray(value["stations"]);
  const shape = lastGood.value?.hide;
  const asPlaces = async (): Promise<void> => {
    const made = shape ? await madeFit(shape.outline_mm, TRACED_WITHIN_MM, true) : [];
    if (made) setEdge(made);
  };
  const fewer = async (): Promise<void> => {
    const list = pointsOf([...listOf("points")], units.value).flatMap((one) => (one ? [one] : []));
    const made = await madeFit(list, EDGE_WITHIN_MM, true);
    if (made) setEdge(made);
  };
  const byTape = (): void => {
    const { points: _, ...rest } = value;
    change(path.value, { ...rest, stations: [] }, true);
  };
  return traced ? (
    <>
      <PictureChoice mark={mark} />
      <EdgePlaces schema={schema} />
      <div class="actions">
        {listOf("points").length >= 4 && <button type="button" onClick={() => void fewer()}>Fewer places</button>}
        <button type="button" class="quiet" onClick={byTape}>By tape instead</button>
      </div>
    </>
  ) : (
    <>
      <Stations />
      <div class="actions">
        <button type="button" class="quiet" onClick={() => void asPlaces()}>As places round the edge instead</button>
      </div>
      <details class="more"><summary>A picture under the drawing</summary><PictureChoice mark={mark} /></details>
    </>
  );
}

export function HidePage({ schema, part }: PlaceProps) {
  const hides = listAt(["hides"]);
  const index = Math.min(part, Math.max(hides.length - 1, 0));
  const [marking, setMarking] = useState<string | null>(null);
  const [large, setLarge] = useState(false);
  const id = state.value?.id ?? 0;
  hideIndex.value = index;
  useFacts(index);
  useEffect(() => {
    chosen.value = null;
    tool.value = "move";
    setMarking(null);
  }, [index, id]);
  const { under, why } = useUnder();
  const fresh = facts.value?.hide ? facts.value : null;
  const shown = fresh ?? lastGood.value;
  const where = pathText(path.value);
  const title = nameOf(hides[index], `hide ${index + 1}`);
  return (
    <main id="main" tabindex={-1} class="hides">
      <h1>{jobTitle.value}: hides</h1>
      {hides.length > 0 && (
        <nav class="tabs" aria-label="Hides">
          <ul>
            {hides.map((one, i) => (
              <li key={i}><a href={placeAddress(id, "hide", i)} aria-current={i === index ? "page" : undefined}>{nameOf(one, `hide ${i + 1}`)}</a></li>
            ))}
          </ul>
        </nav>
      )}
      {hides.length === 0 ? <Ways /> : marking !== null ? <Marking schema={schema} uid={marking} done={() => setMarking(null)} /> : (
        <>
          <Said />
          <div class={large ? "work large" : "work"}>
            <section class="board" aria-label="Drawing">
              <ToolBar schema={schema} />
              <HideDrawing key={index} facts={shown} stale={!fresh && shown !== null} under={under} large={large}
                name={`${title}, grain side up, butt below, neck above`}>
                <button type="button" aria-pressed={large} onClick={() => setLarge(!large)}>Large</button>
                <button type="button" disabled={chosen.value === null} onClick={takeAway}>Take away<span class="unseen"> what is chosen</span></button>
              </HideDrawing>
              {!fresh && shown && <p class="stalenote">As it was before the mistakes.</p>}
              {why && <p class="stalenote">{why}</p>}
              <Areas />
            </section>
            <section class="measures" aria-label={`Measures of ${title}`}>
              <HideFields schema={schema} />
              <Section title="Edge" where={[`${where}.stations`, `${where}.points`, `${where}.picture`]} open><Edge schema={schema} mark={setMarking} /></Section>
              <Section title={`Flaws (${listOf("flaws").length})`} where={[`${where}.flaws`]} open><Flaws schema={schema} /></Section>
              <Section title="Regions and stretch" where={[`${where}.regions`]} open={chosen.value?.what === "region"}><Regions schema={schema} /></Section>
              <Section title="The workshop" where={[]} open><Shop /></Section>
              <details class="group">
                <summary>Another hide</summary>
                <div class="hidelist"><Ways /></div>
              </details>
              <div class="actions">
                <button type="button" class="quiet" onClick={() => {
                  location.hash = placeAddress(id, "hide", Math.max(index - 1, 0));
                  change(path.value, undefined, true);
                }}>Take {title} from this job</button>
              </div>
            </section>
          </div>
        </>
      )}
    </main>
  );
}
