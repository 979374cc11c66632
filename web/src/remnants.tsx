// What earlier cuts left, on the first page: a remnant is taken into a job on the job's page of hides.

import { useEffect, useState } from "preact/hooks";
import { askJson, type JobState } from "./api";
import { CardPicture } from "./card_picture";
import { smallHide } from "./hide_small";
import { unitAtHand } from "./settings";

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
              <CardPicture find={() => smallHide(one.id, unitAtHand(), true)} />
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
