// The pages: which one is shown, and what it needs before it can be.

import { render } from "preact";
import { useEffect, useState } from "preact/hooks";
import { askJson } from "./api";
import { Bench } from "./bench";
import { close, open, state } from "./job";
import { route } from "./route";
import type { Schema } from "./schema";
import { Seats } from "./seats";
import { ConflictDialog, Header, Notices } from "./shell";

function Job({ job, seat }: { readonly job: number; readonly seat: number }) {
  const [schema, setSchema] = useState<Schema | null>(null);
  const [why, setWhy] = useState<string | null>(null);
  useEffect(() => {
    setWhy(null);
    Promise.all([open(job), askJson<Schema>("/api/job.schema.json").then(setSchema)])
      .catch((error: Error) => setWhy(error.message));
  }, [job]);
  if (why !== null) {
    return (
      <main id="main" tabindex={-1}>
        <h1>This job cannot be shown</h1>
        <p>{why}</p>
        <p><a href="#/">To the bench</a></p>
      </main>
    );
  }
  return schema && state.value?.id === job ? <Seats schema={schema} seat={seat} />
    : <main id="main" tabindex={-1}><h1 class="unseen">Seats</h1><p role="status">Looking into the workshop file…</p></main>;
}

function Pages() {
  const where = route.value;
  useEffect(() => {
    if (where.page === "bench") void close();
  }, [where.page]);
  return (
    <>
      <Header />
      <Notices />
      {where.page === "bench" ? <Bench /> : <Job job={where.job} seat={where.seat} />}
      <ConflictDialog />
    </>
  );
}

const root = document.getElementById("pages");
if (root) {
  root.replaceChildren();
  render(<Pages />, root);
}
