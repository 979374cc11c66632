// Long work on the server, watched while it is done: server-sent events, and what comes of it.

import { ask, askJson, Refused, Unreached, type Problem } from "./api";

export interface Work {
  readonly work: number;
  readonly kind: string;
  readonly job: number;
  readonly version: number;
  readonly state: "running" | "done" | "stopped" | "failed";
  readonly what: string;
  readonly share: number;
  readonly begun_ms: number;
}

export interface Watcher<T> {
  /** How far it is. */
  readonly told: (work: Work) => void;
  /** What is known so far. */
  readonly soFar: (found: T) => void;
  /** It has ended, and this came of it. */
  readonly ended: (work: Work, found: T) => void;
  /** It has ended, and nothing came of it; or the server knows nothing of it any more. */
  readonly failed: (problems: readonly Problem[], why: string) => void;
}

/** Watches a work to its end; `event` is the name under which it tells what it knows. Call the
    answer to look away. */
export function watchWork<T>(work: number, event: string, watcher: Watcher<T>): () => void {
  const source = new EventSource(`/api/work/${work}/events`);
  const read = (message: Event): unknown => JSON.parse((message as MessageEvent<string>).data);
  source.addEventListener("progress", (message) => watcher.told(read(message) as Work));
  source.addEventListener(event, (message) => watcher.soFar(read(message) as T));
  source.addEventListener("end", (message) => {
    source.close();
    const last = read(message) as Work;
    watcher.told(last);
    askJson<T>(`/api/work/${work}/result`)
      .then((found) => watcher.ended(last, found))
      .catch((error: Error) => watcher.failed(error instanceof Refused ? error.problems : [], error.message));
  });
  source.addEventListener("error", () => {
    // A connection that broke is tried again by the browser itself.
    if (source.readyState === EventSource.CLOSED) watcher.failed([], "the server knows nothing of it any more");
  });
  return () => source.close();
}

export const stopWork = async (work: number): Promise<void> => {
  await ask(`/api/work/${work}`, { method: "DELETE" });
};

/** Begins work at an address and watches it until it has ended, one way or another. */
export async function doWork(address: string, tell: (work: Work) => void, signal: AbortSignal): Promise<Work> {
  const begun = await askJson<Work>(address, { method: "POST", signal });
  tell(begun);
  return new Promise((ended, failed) => {
    let last = begun;
    const look = watchWork<unknown>(begun.work, "none", {
      told: (work) => {
        last = work;
        if (work.state === "running") tell(work);
      },
      soFar: () => undefined,
      ended: (work) => ended(work),
      failed: (_, why) => (last.state === "running" ? failed(new Unreached(why)) : ended(last)),
    });
    signal.addEventListener("abort", () => {
      look();
      failed(new DOMException("nobody waits any more", "AbortError"));
    });
  });
}
