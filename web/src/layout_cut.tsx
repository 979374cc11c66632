// When the covers have been cut: the workshop is told, and what is left of the hide is kept for the
// next job.

import { useEffect, useState } from "preact/hooks";
import { askJson } from "./api";
import { HideOfShop } from "./hide_shop";
import { cutAsLaid } from "./layout_api";
import { laid, report, search, standing } from "./layout_state";
import { counted, refusalWords } from "./words";

interface Stand {
  readonly called: string;
  readonly hide: number;
  readonly cut_by: number;
}
interface Remnant {
  readonly id: number;
  readonly name: string;
  readonly left_by: number;
}

async function leftBy(job: number, stands: readonly Stand[]): Promise<readonly Remnant[]> {
  const answers = await Promise.all(stands.map((one) => askJson<{ hides: Remnant[] }>(`/api/hides/${one.hide}/remnants`)));
  return answers.flatMap((one) => one.hides).filter((one) => one.left_by === job);
}

function IsCut({ job, stands }: { readonly job: number; readonly stands: readonly Stand[] }) {
  const [left, setLeft] = useState<readonly Remnant[] | null>(null);
  const [why, setWhy] = useState("");
  useEffect(() => {
    leftBy(job, stands).then(setLeft, (error) => setWhy(refusalWords(error)));
  }, [job, stands]);
  const names = stands.map((one) => one.called).join(", ");
  return (
    <>
      <p>{names} {stands.length === 1 ? "is" : "are"} cut.{left && (left.length > 0
        ? ` What is left is at hand for other jobs, as ${counted(left.length, "remnant")}:` : " Nothing of use is left.")}</p>
      {why && <p class="trouble" role="alert">{why}</p>}
      <ul class="remnants">
        {(left ?? []).map((one) => <li key={one.id}><b>{one.name}</b> <HideOfShop hide={one.id} remnant /></li>)}
      </ul>
    </>
  );
}

function ToCut({ cut }: { readonly cut: () => Promise<void> }) {
  const [sure, setSure] = useState(false);
  const missing = report.value?.missing.length ?? 0;
  const good = report.value !== null && report.value.faulty === 0 && missing === 0 && laid.value.length > 0 && search.value === null;
  useEffect(() => setSure(false), [laid.value]); // what somebody was sure of is another layout now
  return (
    <>
      <p class="help">Once the covers are cut from the hide as they lie here, say so. What is left is kept as remnants, with outline and flaws, for the next job.</p>
      {sure && good ? (
        <div role="group" aria-label="Is it cut?">
          <p>This cannot be taken back: the hide is gone, and its remnants are at hand.</p>
          <div class="actions">
            <button type="button" class="strong" onClick={() => void cut()}>Yes, all of it is cut</button>
            <button type="button" onClick={() => setSure(false)}>Not yet</button>
          </div>
        </div>
      ) : (
        <button type="button" disabled={!good} aria-describedby={good ? undefined : "cut-why"} onClick={() => setSure(true)}>It is cut as it lies here…</button>
      )}
      {!good && <p id="cut-why" class="help">Only when all covers have a place and nothing is wrong.</p>}
    </>
  );
}

export function Cut() {
  const { job, version } = standing();
  const [stands, setStands] = useState<readonly Stand[] | null>(null);
  const [told, tell] = useState("");
  const [asked, setAsked] = useState(0);
  useEffect(() => {
    let off = false; // an answer that comes late is dropped
    askJson<{ hides: Stand[] }>(`/api/jobs/${job}/hides`).then((found) => {
      if (!off) setStands(found.hides);
    }, (error) => {
      if (!off) tell(refusalWords(error));
    });
    return () => { off = true; };
  }, [job, version, asked]);
  const cut = async (): Promise<void> => {
    tell("");
    try {
      await cutAsLaid(job, version, laid.value);
    } catch (error) {
      tell(refusalWords(error));
    }
    setAsked((count) => count + 1);
  };
  const done = (stands ?? []).filter((one) => one.cut_by === job);
  return (
    <section class="group cut" id="cut" aria-labelledby="cut-head">
      <h2 id="cut-head">When it is cut</h2>
      {done.length > 0 ? <IsCut job={job} stands={done} /> : stands && <ToCut cut={cut} />}
      {told && <p class="trouble" role="alert">{told}</p>}
    </section>
  );
}
