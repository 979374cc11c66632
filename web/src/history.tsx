// The history of a job: every version, what each was made from, and ways to name one, to compare
// two and to go to any of them. Nothing is ever taken out of it.

import { useEffect, useState } from "preact/hooks";
import { ask, askJson } from "./api";
import type { JsonObject } from "./document";
import { Differences } from "./differences";
import { draft, goTo, jobTitle, state } from "./job";
import { lanesOf, type Lanes } from "./lanes";
import { moment, refusalWords } from "./words";

const LANE = 16; // of the drawing, from line to line

interface Past {
  readonly version: number;
  readonly base: number;
  readonly saved_ms: number;
  readonly call: string | null;
  readonly bytes: number;
}

const middle = (lane: number): number => (lane + 0.5) * LANE;

// Drawn as high as its row is; lines keep their width.
function Branches({ lanes, wide, here }: { readonly lanes: Lanes; readonly wide: number; readonly here: boolean }) {
  const x = middle(lanes.at);
  const lines = [
    ...lanes.past.map((lane) => `M${middle(lane)} 0V100`),
    ...lanes.from.map((lane) => `M${middle(lane)} 0C${middle(lane)} 35 ${x} 15 ${x} 50`),
    ...(lanes.down ? [`M${x} 50V100`] : []),
  ];
  return (
    <svg class="branches" viewBox={`0 0 ${wide * LANE} 100`} preserveAspectRatio="none" aria-hidden="true" style={{ width: `${wide}rem` }}>
      <path class="branch" d={lines.join("")} />
      <path class={here ? "knot here" : "knot"} d={`M${x} 50h0`} />
    </svg>
  );
}

interface RowProps {
  readonly past: Past;
  readonly present: boolean;
  readonly beside: boolean; // not made from the one before it
  readonly compared: boolean;
  readonly compare: () => void;
  readonly again: () => void;
  readonly say: (text: string) => void;
}

function Row({ past, present, beside, compared, compare, again, say }: RowProps) {
  const [naming, setNaming] = useState(false);
  const [name, setName] = useState(past.call ?? "");
  const id = `name-${past.version}`;
  const keep = async (): Promise<void> => {
    const words = name.trim();
    const query = words === "" ? "" : `?call=${encodeURIComponent(words)}`;
    try {
      await ask(`/api/jobs/${state.value?.id ?? 0}/versions/${past.version}/name${query}`, { method: "PUT" });
      setNaming(false);
      say(words === "" ? `Version ${past.version} has no name any more.` : `Version ${past.version} is called ${words}.`);
      again();
    } catch (error) {
      say(refusalWords(error));
    }
  };
  const which = <span class="unseen"> version {past.version}</span>;
  return (
    <div class="version">
      <p>
        <strong>Version {past.version}</strong>
        {past.call !== null && <span class="call">{" · "}{past.call}</span>}
        {present && <span class="present">{" – as the job stands"}</span>}
        <br />
        <span class="note">saved {moment(past.saved_ms)}
          {beside && (past.base > 0 ? `, made from version ${past.base}` : ", the first")}</span>
      </p>
      {naming ? (
        <form class="actions" onSubmit={(event) => { event.preventDefault(); void keep(); }}>
          <label for={id}>Name of version {past.version}</label>
          <input id={id} value={name} maxlength={80} onInput={(event) => setName(event.currentTarget.value)} ref={(one) => one?.focus()} />
          <button type="submit">Keep the name</button>
          <button type="button" class="quiet" onClick={() => { setNaming(false); setName(past.call ?? ""); }}>Leave it</button>
        </form>
      ) : (
        <div class="actions">
          {!present && <button type="button" onClick={() => void goTo(past.version).then(() => {
            if (state.value?.version === past.version) say(`The job stands at version ${past.version}.`);
          })}>Go to{which}</button>}
          {!present && <button type="button" class="quiet" aria-pressed={compared} onClick={compare}>What differs{which}</button>}
          <button type="button" class="quiet" onClick={() => setNaming(true)}>{past.call === null ? "Name" : "Rename"}{which}</button>
        </div>
      )}
    </div>
  );
}

function Compared({ version }: { readonly version: number }) {
  const [found, setFound] = useState<JsonObject | null>(null);
  const [why, setWhy] = useState("");
  const id = state.value?.id ?? 0;
  useEffect(() => {
    setFound(null);
    setWhy("");
    askJson<JsonObject>(`/api/jobs/${id}/document?version=${version}`).then(setFound, (error: Error) => setWhy(error.message));
  }, [id, version]);
  return (
    <div class="compared">
      {why && <p>{why}</p>}
      {found && <Differences mine={found} theirs={draft.value} mineIs={`version ${version}`} theirsIs="as the job stands" />}
    </div>
  );
}

export function History() {
  const [list, setList] = useState<readonly Past[] | null>(null);
  const [chosen, choose] = useState<number | null>(null);
  const [said, say] = useState("");
  const id = state.value?.id ?? 0;
  const present = state.value?.version ?? 0;
  const look = (): void => {
    askJson<{ versions: Past[] }>(`/api/jobs/${id}/versions`).then((found) => setList(found.versions), (error: Error) => say(error.message));
  };
  useEffect(look, [id, present]);
  const lanes = lanesOf(list ?? []);
  const wide = Math.max(1, ...lanes.map((one) => Math.max(one.at, ...one.past, ...one.from) + 1));
  return (
    <main id="main" tabindex={-1} class="history">
      <h1>{jobTitle.value}: history</h1>
      <p class="help">Every save is a version, and none is ever lost. Go to an older one and go on from there: what came after it stays in the list.</p>
      <p role="status" class={said ? "said" : "said unseen"}>{said}</p>
      <ol class="versions" reversed>
        {(list ?? []).map((past, i) => (
          <li key={past.version} aria-current={past.version === present ? "true" : undefined}>
            <Branches lanes={lanes[i] as Lanes} wide={wide} here={past.version === present} />
            <div class="what">
              <Row past={past} present={past.version === present} beside={past.base !== past.version - 1 || past.base === 0}
                compared={chosen === past.version} compare={() => choose(chosen === past.version ? null : past.version)} again={look} say={say} />
              {chosen === past.version && past.version !== present && <Compared version={past.version} />}
            </div>
          </li>
        ))}
      </ol>
    </main>
  );
}
