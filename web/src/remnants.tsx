// What earlier cuts left, on the first page: a remnant is taken into a job on the job's page of hides.

import { useEffect, useState } from "preact/hooks";
import { askJson, type JobState, type Ring } from "./api";
import { CardPicture } from "./card_picture";
import { boxOf, path } from "./drawing";
import { showArea } from "./units";
import { unitChoice } from "./settings";

interface Hide {
  readonly id: number;
  readonly name: string;
  readonly version: number;
  readonly away: boolean;
  readonly cut_by: number;
  readonly left_of: number;
  readonly left_by: number;
  readonly on_tables: readonly { readonly job: number }[];
}
interface Facts {
  readonly hide: {
    readonly outline_mm: Ring;
    readonly area_mm2: number;
    readonly flaws: readonly { readonly polygons: readonly { readonly outer_mm: Ring }[] }[]; // where covers were cut: holes
  } | null;
}

async function drawing(hide: number) {
  const { hide: found } = await askJson<Facts>(`/api/hides/${hide}/facts`);
  if (!found) return null;
  const box = boxOf(found.outline_mm);
  const [wide, high] = [box.right - box.left, box.back - box.front];
  const unit = unitChoice.value === "job" ? (navigator.language === "en-US" ? "in" : "mm") : unitChoice.value;
  return (
    <>
      <svg class="cover small" aria-hidden="true"
        viewBox={`${box.left - wide * 0.03} ${-box.back - high * 0.03} ${wide * 1.06} ${high * 1.06}`}>
        <path class="band whole" d={path(found.outline_mm)} />
        {found.flaws.flatMap((flaw) => flaw.polygons).map((one, i) => <path key={i} class="band gap" d={path(one.outer_mm)} />)}
      </svg>
      <span class="note">{showArea(found.area_mm2, unit)} within its outline</span>
    </>
  );
}

interface Props {
  readonly jobs: readonly JobState[];
  readonly say: (text: string) => void;
}

export function Remnants({ jobs, say }: Props) {
  const [hides, setHides] = useState<readonly Hide[] | null>(null);
  useEffect(() => {
    askJson<{ hides: Hide[] }>("/api/hides?all=1").then((found) => setHides(found.hides), (error: Error) => say(error.message));
  }, []);
  const left = (hides ?? []).filter((one) => one.left_of > 0 && one.cut_by === 0 && !one.away);
  const hideName = (id: number): string => hides?.find((one) => one.id === id)?.name ?? "a hide";
  const jobName = (id: number): string => jobs.find((one) => one.id === id)?.name ?? "a job that is put away";
  return (
    <section aria-labelledby="remnants">
      <h2 id="remnants">Remnants</h2>
      {hides !== null && left.length === 0 &&
        <p class="count">None yet. What a hide leaves when it is cut is kept here for the next job.</p>}
      <ul class="cards">
        {left.map((one) => (
          <li class="card" key={`${one.id}-${one.version}`}>
            <div class="whole">
              <CardPicture find={() => drawing(one.id)} />
              <span class="name">{one.name}</span>
              <span class="note">left of {hideName(one.left_of)}{one.left_by > 0 && ` by ${jobName(one.left_by)}`}
                {one.on_tables.length > 0 && `; on the table of ${one.on_tables.map((table) => jobName(table.job)).join(", ")}`}</span>
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}
