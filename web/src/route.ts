// Where the page is: `#/` is the bench, `#/jobs/3/seats/1` the second kind of seat of job 3.
// places.tsx says which places a job has.

import { signal } from "@preact/signals";

export type Route =
  | { readonly page: "bench" }
  | { readonly page: "share" }
  | { readonly page: "place"; readonly job: number; readonly place: string; readonly part: number };

export function readRoute(hash: string): Route {
  if (hash === "#/share") return { page: "share" };
  const match = /^#\/jobs\/(\d+)\/([a-z-]+)(?:\/(\d+))?$/.exec(hash);
  return match ? { page: "place", job: Number(match[1]), place: match[2] ?? "", part: Number(match[3] ?? 0) } : { page: "bench" };
}

export const placeAddress = (job: number, place: string, part = 0): string => `#/jobs/${job}/${place}${part > 0 ? `/${part}` : ""}`;
export const seatsAddress = (job: number, seat = 0): string => placeAddress(job, "seats", seat);

// `seatwright serve JOB` prints an address with `?job=3`: the page opens there.
const named = /^\?job=(\d+)$/.exec(location.search);
if (named && location.hash === "") history.replaceState(null, "", `/${seatsAddress(Number(named[1]))}`);

export const route = signal<Route>(readRoute(location.hash));
addEventListener("hashchange", () => {
  route.value = readRoute(location.hash);
});
