// Long work on the server, watched while it is done: server-sent events, and what comes of it.

import { ask, askJson, Unreached } from "./api";

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
  readonly soFar?: (found: T) => void;
  /** It has ended, and this came of it. */
  readonly ended: (work: Work, found: T) => void;
  /** Nothing came of it, or the server knows nothing of it any more. */
  readonly failed: (why: Error) => void;
}

/** Watches a work to its end; `event` is the name under which it tells what it knows, null where
    nobody asks for that. Call the answer to look away: then nothing more is told. */
export function watchWork<T>(work: number, event: string | null, watcher: Watcher<T>): () => void {
  const source = new EventSource(`/api/work/${work}/events`);
  const read = (message: Event): unknown => JSON.parse((message as MessageEvent<string>).data);
  const away = new AbortController();
  const failed = (why: Error): void => {
    if (!away.signal.aborted) watcher.failed(why);
  };
  source.addEventListener("progress", (message) => watcher.told(read(message) as Work));
  if (event !== null) source.addEventListener(event, (message) => watcher.soFar?.(read(message) as T));
  source.addEventListener("end", (message) => {
    source.close();
    const last = read(message) as Work;
    watcher.told(last);
    askJson<T>(`/api/work/${work}/result`, { signal: away.signal }).then((found) => {
      if (!away.signal.aborted) watcher.ended(last, found);
    }).catch(failed);
  });
  source.addEventListener("error", () => {
    // A connection that broke is tried again by the browser itself.
    if (source.readyState === EventSource.CLOSED) failed(new Unreached("the server knows nothing of it any more"));
  });
  return () => {
    source.close();
    away.abort();
  };
}

export const stopWork = async (work: number): Promise<void> => {
  await ask(`/api/work/${work}`, { method: "DELETE" });
};

export interface Done<T> {
  readonly work: Work;
  readonly found: T | null; // null: it was stopped before anything was found
}

/** Begins work at an address and watches it until it has ended. Throws what it was refused with. */
export async function doWork<T>(address: string, tell: (work: Work) => void, signal: AbortSignal): Promise<Done<T>> {
  const begun = await askJson<Work>(address, { method: "POST", signal });
  tell(begun);
  return new Promise((ended, failed) => {
    let last = begun;
    const look = watchWork<T>(begun.work, null, {
      told: (work) => {
        last = work;
        if (work.state === "running") tell(work);
      },
      ended: (work, found) => ended({ work, found }),
      failed: (why) => (last.state === "stopped" ? ended({ work: last, found: null }) : failed(why)),
    });
    signal.addEventListener("abort", () => {
      look();
      failed(new DOMException("nobody waits any more", "AbortError"));
    });
  });
}
