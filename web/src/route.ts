// Where the page is: `#/` is the bench, `#/jobs/3/seats/1` the second kind of seat of job 3.

import { signal } from "@preact/signals";

export type Route =
  | { readonly page: "bench" }
  | { readonly page: "seats"; readonly job: number; readonly seat: number };

export function readRoute(hash: string): Route {
  const match = /^#\/jobs\/(\d+)\/seats(?:\/(\d+))?$/.exec(hash);
  return match ? { page: "seats", job: Number(match[1]), seat: Number(match[2] ?? 0) } : { page: "bench" };
}

export const seatsAddress = (job: number, seat = 0): string => `#/jobs/${job}/seats${seat > 0 ? `/${seat}` : ""}`;

// `seatwright serve JOB` prints an address with `?job=3`: the page opens there.
const named = /^\?job=(\d+)$/.exec(location.search);
if (named && location.hash === "") history.replaceState(null, "", `/${seatsAddress(Number(named[1]))}`);

export const route = signal<Route>(readRoute(location.hash));
addEventListener("hashchange", () => {
  route.value = readRoute(location.hash);
});
