// A job's hide and the workshop's: which it is, whether both say the same, and hides and remnants at
// hand that may be taken. docs/workshop-file.md says how the two are related.

import { useEffect, useState } from "preact/hooks";
import { ask, askJson, Refused } from "./api";
import { useInSight } from "./card_picture";
import { at, isObject, type JsonObject } from "./document";
import { hideIndex } from "./hide_edit";
import { smallHide } from "./hide_small";
import { areaSeen, change, draft, flush, listAt, notice, saving, state } from "./job";
import { placeAddress } from "./route";
import { refusalWords } from "./words";

interface Stand {
  readonly called: string;
  readonly hide: number;
  readonly same: boolean;
  readonly cut_by: number;
}
interface Hide {
  readonly id: number;
  readonly name: string;
  readonly left_of: number;
  readonly on_tables: readonly { readonly job: number; readonly called: string }[];
}

const say = (error: unknown): void => {
  notice.value = refusalWords(error);
};

async function documentOf(hide: number, job: number): Promise<JsonObject> {
  const found = await askJson<{ hide: JsonObject }>(`/api/hides/${hide}/document?job=${job}`);
  return found.hide;
}

/** A hide of the workshop, small, once it is in sight. */
export function HideOfShop({ hide, remnant }: { readonly hide: number; readonly remnant: boolean }) {
  const [holder, found] = useInSight<HTMLSpanElement>(() => smallHide(hide, areaSeen.value, remnant));
  return <span ref={holder} class="smallhide">{found}</span>;
}

/** Puts a hide of the workshop beside those of the job. */
async function take(hide: Hide): Promise<void> {
  const job = state.value?.id ?? 0;
  const copy = await documentOf(hide.id, job);
  const hides = listAt(["hides"]);
  const names = new Set(hides.map((one) => (isObject(one) ? one["name"] : null)));
  let name = String(copy["name"] ?? hide.name);
  for (let i = 2; names.has(name); i++) name = `${String(copy["name"])} (${i})`;
  const index = hides.length;
  const priced = hides.some((one) => isObject(one) && "price" in one);
  const { price: _, ...rest } = copy; // a price counts only beside those of all others
  await ask(`/api/jobs/${job}/hides/${hide.id}?called=${encodeURIComponent(name)}`, { method: "PUT" });
  change(["hides", index], { ...(priced || index === 0 ? copy : rest), name }, true);
  await flush();
  location.hash = placeAddress(job, "hide", index);
}

/** Hides and remnants that nobody has cut. */
export function AtHand() {
  const [list, setList] = useState<readonly Hide[] | null>(null);
  const job = state.value?.id ?? 0;
  useEffect(() => {
    askJson<{ hides: Hide[] }>("/api/hides").then((found) => setList(found.hides), say);
  }, [state.value?.version]);
  const free = (list ?? []).filter((one) => !one.on_tables.some((table) => table.job === job));
  if (list === null) return null;
  if (free.length === 0) return <p>The workshop has no other hide or remnant at hand.</p>;
  return (
    <ul class="athand">
      {free.map((one) => (
        <li key={one.id}>
          <button type="button" onClick={() => void take(one).catch(say)}>
            <span class="unseen">Take </span><b>{one.name}</b>{one.left_of > 0 && <span> remnant</span>}
            <HideOfShop hide={one.id} remnant={one.left_of > 0} />
          </button>
        </li>
      ))}
    </ul>
  );
}

/** How this hide stands to the workshop's. */
export function Shop() {
  const [stand, setStand] = useState<Stand | null>(null);
  const [why, setWhy] = useState<string | null>(null);
  const id = state.value?.id ?? 0;
  const version = state.value?.version ?? 0;
  const index = hideIndex.value;
  const [asked, setAsked] = useState(0);
  const look = (): void => setAsked((count) => count + 1);
  useEffect(() => setStand(null), [id, index]); // what is known is of another hide
  useEffect(() => {
    let off = false; // an answer that comes late is dropped
    askJson<{ hides: Stand[] }>(`/api/jobs/${id}/hides`).then((found) => {
      if (off) return;
      setStand(found.hides[index] ?? null);
      setWhy(null);
    }, (error: unknown) => {
      if (off) return;
      setStand(null);
      setWhy(error instanceof Refused && error.status === 422 ? "Once the mistakes among the hides are mended, they can be kept in the workshop." : null);
    });
    return () => { off = true; };
  }, [id, version, index, asked]);
  const keep = async (): Promise<void> => {
    await flush();
    if (saving.value !== "saved") return;
    await ask(`/api/jobs/${id}/hides/keep`, { method: "POST", ifMatch: state.value?.version ?? 0 });
    look();
  };
  const fetch = async (): Promise<void> => {
    if (!stand) return;
    const copy = await documentOf(stand.hide, id);
    const mine = at(draft.value, ["hides", index]);
    const own = isObject(mine) ? mine : {};
    const { price: _, ...rest } = copy;
    change(["hides", index], { ...rest, name: own["name"] ?? stand.called, ...("price" in own ? { price: own["price"] ?? 0 } : {}) }, true);
    await flush();
    look();
  };
  if (why) return <p>{why}</p>;
  if (!stand) return null;
  if (stand.cut_by > 0) return <p>This hide was cut, {stand.cut_by === id ? "for this job" : `for job ${stand.cut_by}`}. What was left of it are hides of their own.</p>;
  return (
    <>
      <p>{stand.hide === 0 ? "The workshop does not have this hide yet." : stand.same ? "The workshop has this hide, and says the same of it."
        : "The workshop has this hide, but says something else of it."}</p>
      <div class="actions">
        {!(stand.hide > 0 && stand.same) && (
          <button type="button" onClick={() => void keep().catch(say)}>
            {stand.hide === 0 ? "Keep the hides of this job in the workshop" : "Keep: the workshop says what this job says"}
          </button>
        )}
        {stand.hide > 0 && !stand.same && <button type="button" onClick={() => void fetch().catch(say)}>Take what the workshop says</button>}
      </div>
    </>
  );
}
