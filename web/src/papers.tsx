// Papers: each page as it will be printed, the paper to print on, and everything to take along.

import { useEffect, useRef, useState } from "preact/hooks";
import { Refused } from "./api";
import { flush, state } from "./job";
import { countingOf, layFirst } from "./layout_api";
import { Table } from "./table";
import { counted, refusalLines } from "./words";
import { doWork, stopWork, type Work } from "./work";

interface Paper {
  readonly page: number;
  readonly title: string;
  readonly name: string;
  readonly width_mm: number;
  readonly height_mm: number;
}
interface PaperFile {
  readonly name: string;
  readonly what: string;
  readonly type: string;
  readonly bytes: number;
}
interface Papers {
  readonly paper: string;
  readonly kept_layout: boolean;
  readonly unplaced: number;
  readonly pages: readonly Paper[];
  readonly files: readonly PaperFile[];
}
interface Made {
  readonly work: number;
  readonly papers: Papers;
}

const SORTS: Readonly<Record<string, string>> = {
  "application/pdf": "PDF", "image/svg+xml": "SVG", "image/vnd.dxf": "DXF", "application/json": "JSON",
};
const LEAST_ZOOM = 1;
const GREATEST_ZOOM = 6;

const addressOf = (made: Made, name: string): string => `/api/work/${made.work}/papers/${name}`;
const sizeOf = (bytes: number): string => (bytes < 1e6 ? `${Math.ceil(bytes / 1000)} kB` : `${(bytes / 1e6).toFixed(1)} MB`);

// What was made of a layout with these choices is shown again when one comes back.
const shelf = new Map<string, Made>();

interface Choices {
  readonly paper: string; // "": as the job says
  readonly buying: boolean;
}

function queryOf({ paper, buying }: Choices): string {
  const today = new Date();
  const date = [today.getFullYear(), today.getMonth() + 1, today.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
  return `date=${date}${paper ? `&paper=${paper}` : ""}${buying ? "&buying=1" : ""}`;
}

/** Null: it was stopped. */
async function make(choices: Choices, tell: (work: Work) => void, signal: AbortSignal): Promise<Made | null> {
  await flush();
  const job = state.value;
  const [id, version] = [job?.id ?? 0, job?.version ?? 0];
  const address = `/api/jobs/${id}/papers?version=${version}&${queryOf(choices)}`;
  // What stands in the way of a layout is said by the papers, too, and better.
  const laid = await layFirst(id, version, tell, signal).catch((error) => error instanceof Refused || Promise.reject(error));
  if (!laid) return null;
  const { layout } = await countingOf(id, version, signal);
  const key = `${job?.uid ?? ""} ${layout} ${address}`;
  const known = shelf.get(key);
  if (known && await fetch(addressOf(known, "plan.json"), { method: "HEAD", signal }).then((answer) => answer.ok, () => false)) return known;
  const { work, found } = await doWork<Papers>(address, tell, signal);
  if (found === null || work.state === "stopped") return null;
  const made = { work: work.work, papers: found };
  shelf.set(key, made);
  return made;
}

function Progress({ work }: { readonly work: Work }) {
  return (
    <div class="progress">
      <label for="made">Making the papers: {work.what}</label>
      <progress id="made" max={1} value={work.share} />
      <button type="button" onClick={() => void stopWork(work.work)}>Stop</button>
    </div>
  );
}

interface ZoomProps {
  readonly made: Made;
  readonly at: number;
  readonly go: (at: number | null) => void;
}

/** One page, large: as wide as the window, or larger. */
function Zoom({ made, at, go }: ZoomProps) {
  const dialog = useRef<HTMLDialogElement>(null);
  const [zoom, setZoom] = useState(LEAST_ZOOM);
  useEffect(() => dialog.current?.showModal(), []);
  const pages = made.papers.pages;
  const page = pages[at];
  if (!page) return null;
  const step = (by: number): void => go(Math.min(Math.max(at + by, 0), pages.length - 1));
  const zoomBy = (factor: number): void => setZoom(Math.min(Math.max(zoom * factor, LEAST_ZOOM), GREATEST_ZOOM));
  return (
    <dialog ref={dialog} class="zoom" aria-labelledby="zoomed" onClose={() => go(null)} onKeyDown={(event) => {
      if (event.key === "PageDown") step(1);
      else if (event.key === "PageUp") step(-1);
      else if (event.key === "+") zoomBy(1.5);
      else if (event.key === "-") zoomBy(1 / 1.5);
      else return;
      event.preventDefault();
    }}>
      <h2 id="zoomed">Page {page.page} of {pages.length}: {page.title}</h2>
      <div class="actions">
        <button type="button" disabled={at === 0} onClick={() => step(-1)}>Page before</button>
        <button type="button" disabled={at === pages.length - 1} onClick={() => step(1)}>Page after</button>
        <button type="button" disabled={zoom <= LEAST_ZOOM} onClick={() => zoomBy(1 / 1.5)}>Smaller</button>
        <button type="button" disabled={zoom >= GREATEST_ZOOM} onClick={() => zoomBy(1.5)}>Larger</button>
        <a class="button" href={`${addressOf(made, page.name)}?download=1`} download={page.name}>SVG of this page</a>
        <button type="button" class="strong" onClick={() => dialog.current?.close()}>Close</button>
      </div>
      <div class="lens" tabindex={0} role="region" aria-label={`Page ${page.page}, can be moved`}>
        <img src={addressOf(made, page.name)} alt={`Page ${page.page}: ${page.title}`} width={page.width_mm} height={page.height_mm}
          data-zoom={zoom.toFixed(2)} ref={(image) => { if (image) image.style.width = `${100 * zoom}%`; }} />
      </div>
    </dialog>
  );
}

function Files({ made }: { readonly made: Made }) {
  return (
    <Table label="All files" caption={<caption>All files of the pack</caption>} head={["what", "sort", "size", "file"]}
      rows={made.papers.files.map((file) => ({
        key: file.name,
        cells: [
          file.what, SORTS[file.type] ?? file.type, sizeOf(file.bytes),
          <a class="button" href={`${addressOf(made, file.name)}?download=1`} download={file.name}>{file.name}</a>,
        ],
      }))} />
  );
}

function Shown({ made }: { readonly made: Made }) {
  const [zoomed, setZoomed] = useState<number | null>(null);
  const { pages, paper, unplaced, kept_layout: kept } = made.papers;
  return (
    <>
      <p class="made" role="status">
        {pages.length} pages on {paper}, from the layout {kept ? "on the page Layout" : "that was looked for now"}.
      </p>
      {unplaced > 0 && (
        <p class="notice bad"><span>{counted(unplaced, "cover")} {unplaced === 1 ? "has" : "have"} no place on the hides; the summary says why.</span></p>
      )}
      <div class="actions">
        <a class="button strong" href={addressOf(made, "pack.pdf")} target="_blank" rel="noopener">Open to print</a>
        <a class="button" href={`${addressOf(made, "pack.pdf")}?download=1`} download="pack.pdf">Download the pack</a>
        <a class="button" href={`/api/jobs/${state.value?.id ?? 0}/export`} download>The job as a file</a>
      </div>
      <p class="help">Print at 100 %, never “fit to page”, and measure the proof lines on every sheet of the templates. Copies and sheets to
        leave out are chosen in the print dialog. The job as a file can be taken in on another machine, under All jobs.</p>
      <details class="group"><summary>Files for plotters, cutting machines and other programs</summary><Files made={made} /></details>
      <section aria-labelledby="pages-title">
        <h2 id="pages-title">Pages</h2>
        <ul class="leaves">
          {pages.map((page, i) => (
            <li key={page.name}>
              <button type="button" class="leaf" onClick={() => setZoomed(i)}>
                <img src={addressOf(made, page.name)} loading="lazy" decoding="async" alt="" width={page.width_mm} height={page.height_mm} />
                <span>{page.page}. {page.title}<span class="unseen">, larger</span></span>
              </button>
            </li>
          ))}
        </ul>
      </section>
      {zoomed !== null && <Zoom made={made} at={zoomed} go={setZoomed} />}
    </>
  );
}

export function PapersPage() {
  const [choices, setChoices] = useState<Choices>({ paper: "", buying: false });
  const [work, setWork] = useState<Work | null>(null);
  const [made, setMade] = useState<Made | null>(null);
  const [why, setWhy] = useState<readonly string[]>([]);
  const [round, setRound] = useState(0);
  const version = state.value?.version;
  useEffect(() => {
    const leaving = new AbortController();
    let running = 0;
    setMade(null);
    setWhy([]);
    make(choices, (now) => {
      running = now.state === "running" ? now.work : 0;
      setWork(now);
    }, leaving.signal).then((found) => {
      setWork(null);
      if (found) setMade(found);
      else setWhy(["Stopped."]);
    }, (error: Error) => {
      if (leaving.signal.aborted) return;
      setWork(null);
      setWhy(refusalLines(error));
    });
    return () => {
      leaving.abort();
      if (running > 0) void stopWork(running).catch(() => undefined); // nobody waits for it any more
    };
  }, [choices, version, round]);
  return (
    <main id="main" tabindex={-1} class="papers">
      <h1>Papers</h1>
      <div class="tools">
        <label class="field">Paper
          <select value={choices.paper} onChange={(event) => setChoices({ ...choices, paper: event.currentTarget.value })}>
            <option value="">As the job says</option>
            <option value="A4">A4</option>
            <option value="Letter">Letter</option>
          </select>
        </label>
        <label class="tick">
          <input type="checkbox" checked={choices.buying} onChange={(event) => setChoices({ ...choices, buying: event.currentTarget.checked })} />
          with how much leather to ask for (takes longer)
        </label>
      </div>
      {work && <Progress work={work} />}
      {!work && !made && why.length === 0 && <p role="status">Making the papers…</p>}
      {why.length > 0 && (
        <div class="refused" role="alert">
          <h2>There are no papers</h2>
          <ul>{why.map((one, i) => <li key={i}>{one}</li>)}</ul>
          <button type="button" onClick={() => setRound(round + 1)}>Try again</button>
        </div>
      )}
      {made && <Shown made={made} />}
    </main>
  );
}
