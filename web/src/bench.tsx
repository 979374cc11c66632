// The bench: the jobs of the workshop with small pictures, search, and ways to begin one.

import { useEffect, useRef, useState } from "preact/hooks";
import { ask, askJson, derive, type Derived, type Example, type JobState } from "./api";
import { CardPicture } from "./card_picture";
import { SmallCover } from "./drawing";
import { GuideInvitation } from "./guide";
import { Remnants } from "./remnants";
import { seatsAddress } from "./route";
import { unitAtHand } from "./settings";
import { counted, countedAll, moment, refusalWords } from "./words";

const SEARCH_AFTER_MS = 150;

const coverOf = (found: Derived) => (found.covers[0] ? <SmallCover cover={found.covers[0]} /> : null);

const exampleText = async (name: string): Promise<string> => (await ask(`/api/examples/${name}`)).text();

async function begin(text: string): Promise<void> {
  const job = await askJson<JobState>("/api/jobs", { method: "POST", body: text });
  location.hash = seatsAddress(job.id);
}

function emptyJob(): string {
  return JSON.stringify({
    seatwright: 1, name: "New job", units: unitAtHand(),
    seats: [{ name: "seat", count: 1, frame: { shape: "taper" }, board: {}, padding: {} }],
  }, null, 2) + "\n";
}

interface Said {
  readonly say: (text: string) => void;
}

function JobCard({ job, say, again }: Said & { readonly job: JobState; readonly again: () => void }) {
  const name = job.name || "(without a name)";
  const move = async (): Promise<void> => {
    await ask(`/api/jobs/${job.id}/${job.away ? "take-out" : "put-away"}`, { method: "POST" });
    say(job.away ? `${name} is on the bench again.` : `${name} is put away; nothing of it is lost.`);
    again();
  };
  return (
    <li class="card">
      <a href={seatsAddress(job.id)} class="whole">
        <CardPicture key={job.version} find={async () => coverOf(await askJson<Derived>(`/api/jobs/${job.id}/derived`))} />
        <span class="name">{name}</span>
        <span class="note">version {job.version}, saved {moment(job.saved_ms)}{job.away && ", put away"}</span>
      </a>
      <div class="actions">
        <button type="button" class="quiet" onClick={() => void move().catch((error: Error) => say(error.message))}>
          {job.away ? "Take out" : "Put away"}<span class="unseen"> {name}</span>
        </button>
        <a class="button quiet" href={`/api/jobs/${job.id}/export`} download>Download<span class="unseen"> {name} as a file</span></a>
      </div>
    </li>
  );
}

function ExampleCard({ example, say }: Said & { readonly example: Example }) {
  return (
    <li class="card">
      <button type="button" class="whole" onClick={() => void exampleText(example.example).then(begin)
        .catch((error: Error) => say(error.message))}>
        <CardPicture find={async () => coverOf(await derive(await exampleText(example.example)))} />
        <span class="name"><span class="unseen">Start from </span>{example.name}</span>
        {example.notes && <span class="note">{example.notes}</span>}
      </button>
    </li>
  );
}

interface Imported {
  readonly jobs: number;
  readonly hides: number;
  readonly versions: number;
  readonly moved: number;
  readonly apart: number;
}

function importedWords(told: Imported): string {
  const fresh = countedAll([[told.jobs, "job"], [told.hides, "hide"], [told.versions, "version"]]);
  return [fresh ? `New here: ${fresh}.` : "Everything in it was here already.",
    told.moved > 0 && `Newer than here, and now the same: ${told.moved}.`,
    told.apart > 0 && `Changed on both sides: ${told.apart}. They stand as they stood; the other side's versions are in their history.`,
  ].filter(Boolean).join(" ");
}

/** Jobs come and go as files. */
function Exchange({ say, again }: Said & { readonly again: () => void }) {
  const take = async (input: HTMLInputElement): Promise<void> => {
    const file = input.files?.[0];
    if (!file) return;
    say(`Taking in ${file.name}…`);
    try {
      const answer = await ask("/api/import", { method: "POST", file });
      say(importedWords((await answer.json()) as Imported));
      again();
    } catch (error) {
      say(`${file.name} was not taken in, and nothing is changed: ${refusalWords(error)}`);
    }
    input.value = "";
  };
  return (
    <section aria-labelledby="exchange">
      <h2 id="exchange">From and to other machines</h2>
      <div class="tools">
        <label class="field">Take in a file that was downloaded here or elsewhere
          <input type="file" accept=".seatwright,.db" onChange={(event) => void take(event.currentTarget)} />
        </label>
        <a class="button" href="/api/export" download>Download everything</a>
      </div>
      <p class="help">A file holds jobs with all their versions, hides, layouts, pictures and ticks. It is checked before anything of it is taken in,
        and nothing that is here is changed. Files over 30 MB: <code>seatwright import</code>.</p>
    </section>
  );
}

export function Bench() {
  const [jobs, setJobs] = useState<readonly JobState[] | null>(null);
  const [examples, setExamples] = useState<readonly Example[]>([]);
  const [words, setWords] = useState("");
  const [away, setAway] = useState(false);
  const [said, say] = useState("");
  const asked = useRef(0);
  const look = (): void => {
    const mine = ++asked.current;
    askJson<{ jobs: JobState[] }>(`/api/jobs?words=${encodeURIComponent(words)}${away ? "&away=1" : ""}`).then((found) => {
      if (mine === asked.current) setJobs(found.jobs);
    }, (error: Error) => say(error.message));
  };
  useEffect(() => {
    const timer = setTimeout(look, jobs === null ? 0 : SEARCH_AFTER_MS);
    return () => clearTimeout(timer);
  }, [words, away]);
  useEffect(() => {
    askJson<{ examples: Example[] }>("/api/examples").then((found) => setExamples(found.examples),
      (error: Error) => say(error.message));
  }, []);
  return (
    <main id="main" tabindex={-1} class="bench">
      <h1>All jobs</h1>
      <p role="status" class={said ? "said" : "said unseen"}>{said}</p>
      <GuideInvitation say={say} />
      <section aria-labelledby="jobs">
        <h2 id="jobs">In the workshop</h2>
        <div class="tools">
          <div class="search" role="search">
            <label for="words">Search names and notes</label>
            <input id="words" type="search" autocomplete="off" value={words} onInput={(event) => setWords(event.currentTarget.value)} />
          </div>
          <label class="tick" for="away">
            <input id="away" type="checkbox" checked={away} onChange={(event) => setAway(event.currentTarget.checked)} />
            those put away too
          </label>
          <button type="button" class="strong" onClick={() => void begin(emptyJob()).catch((error: Error) => say(error.message))}>
            New job
          </button>
        </div>
        <p class="count" role="status">
          {jobs === null ? "" : jobs.length > 0 ? counted(jobs.length, "job")
            : words ? "No job has these words." : "No jobs yet. Start from an example below, or with a new one."}
        </p>
        <ul class="cards">{(jobs ?? []).map((job) => <JobCard key={job.id} job={job} say={say} again={look} />)}</ul>
      </section>
      <Remnants jobs={jobs ?? []} say={say} />
      <section aria-labelledby="examples">
        <h2 id="examples">Start from an example</h2>
        <ul class="cards">{examples.map((one) => <ExampleCard key={one.example} example={one} say={say} />)}</ul>
      </section>
      <Exchange say={say} again={look} />
    </main>
  );
}
