// The pages: which one is shown, and what it needs before it can be.

import { render } from "preact";
import { useEffect, useState } from "preact/hooks";
import { askJson } from "./api";
import { Bench } from "./bench";
import { Guide } from "./guide";
import { close, open, state } from "./job";
import { placeNamed } from "./places";
import { route } from "./route";
import type { Schema } from "./schema";
import { Share } from "./share";
import { ConflictDialog, Header, Notices } from "./shell";

interface Where {
  readonly job: number;
  readonly place: string;
  readonly part: number;
}

function Job({ job, place, part }: Where) {
  const [schema, setSchema] = useState<Schema | null>(null);
  const [why, setWhy] = useState<string | null>(null);
  const [round, setRound] = useState(0);
  useEffect(() => {
    setWhy(null);
    Promise.all([open(job), askJson<Schema>("/api/job.schema.json").then(setSchema)])
      .catch((error: Error) => setWhy(error.message));
  }, [job, round]);
  const here = placeNamed(place);
  if (here?.alone) return <here.page schema={schema ?? { $defs: {} }} part={part} />;
  if (why !== null || !here) {
    return (
      <main id="main" tabindex={-1}>
        <h1>{here ? "This job cannot be shown" : "There is no such page"}</h1>
        <p>{why}</p>
        {here && <p><button type="button" onClick={() => setRound(round + 1)}>Try again</button></p>}
        <p><a href="#/">To the bench</a></p>
      </main>
    );
  }
  return schema && state.value?.id === job ? <here.page schema={schema} part={part} />
    : <main id="main" tabindex={-1}><h1 class="unseen">{here.name}</h1><p role="status">Looking into the workshop file…</p></main>;
}

function Pages() {
  const where = route.value;
  useEffect(() => {
    if (where.page !== "place") void close();
  }, [where.page]);
  return (
    <>
      <Header />
      <Notices />
      <Guide />
      {where.page === "bench" ? <Bench /> : where.page === "share" ? <Share /> : <Job job={where.job} place={where.place} part={where.part} />}
      <ConflictDialog />
    </>
  );
}

const root = document.getElementById("pages");
if (root) {
  root.replaceChildren();
  render(<Pages />, root);
}
