// What the layout page asks of the server (src/serve/openapi.json): searches, tables, kept layouts.

import { ask, askJson, type Cover, type Point, type Polygon, type Problem, type Ring } from "./api";
import type { Json } from "./document";
import { doWork, type Work } from "./work";

export interface Hide {
  readonly name: string;
  readonly form: string;
  readonly area_mm2: number;
  readonly outline_mm: Ring;
  readonly regions: readonly { readonly kind: string; readonly firmness: string; readonly polygons: readonly Polygon[] }[];
  readonly flaws: readonly { readonly number: number; readonly kind: string; readonly name: string | null; readonly polygons: readonly Polygon[] }[];
}
export interface Shape {
  readonly good: boolean;
  readonly problems: readonly Problem[];
  readonly covers: readonly Cover[];
  readonly hides: readonly Hide[];
}

/** A cover laid on a hide: turned about the seat's origin, then moved. */
export interface Laid {
  readonly cover: string;
  readonly hide: string;
  readonly x_mm: number;
  readonly y_mm: number;
  readonly turn_deg: number;
  readonly locked: boolean;
}
export type Place = Pick<Laid, "x_mm" | "y_mm" | "turn_deg">;

export interface Fault {
  readonly kind: string;
  readonly words: string;
  readonly other?: number;
  readonly band?: string;
}
export interface Touch {
  readonly flaw?: number;
  readonly kind?: string;
  readonly region?: string;
  readonly band: string;
}
export interface Tried {
  readonly fits: boolean;
  readonly faults: readonly Fault[];
  readonly off_firm_deg: number;
  readonly touches: readonly Touch[];
}
export interface Snapped extends Tried, Place {
  readonly found: boolean;
}
export interface Standing extends Tried {
  readonly name: string;
  readonly partners: number;
}
export interface Missing {
  readonly cover: string;
  readonly seat: string;
  readonly chair: string | null;
  readonly count: number;
}
export interface Left {
  readonly useful_mm: number;
  readonly largest_mm2: number;
  readonly parts: number;
  readonly rectangle_mm: readonly [Point, Point];
}
export interface Measures {
  readonly mean_cost: number;
  readonly mean_off_deg: number;
  readonly partner_distance_mm: number;
  readonly hides: readonly { readonly name: string; readonly area_mm2: number; readonly used_mm2: number; readonly left?: Left }[];
}
export interface Report {
  readonly placements: readonly Standing[];
  readonly missing: readonly Missing[];
  readonly faulty: number;
  readonly measures?: Measures;
}

export interface Found extends Laid {
  readonly seat: string;
  readonly chair: string | null;
}
export interface Answer {
  readonly kind: string;
  readonly change: string;
  readonly cost: string;
  readonly changes: readonly { readonly where: string; readonly value: Json }[];
  readonly placements: readonly Found[];
}
export interface Result {
  readonly stopped: boolean;
  readonly placements: readonly Found[];
  readonly unplaced: readonly { readonly cover: string; readonly count: number; readonly reason: string }[];
  readonly fit?: {
    readonly bound: { readonly wanted: number; readonly most: number };
    readonly answers: readonly Answer[];
    readonly failed: readonly { readonly change: string }[];
  };
}
export interface Kept {
  readonly layout: number;
  readonly version: number;
  readonly name: string;
  readonly kept_ms: number;
}

/** Without the number of a copy: `A3` is the third of A. */
export const letterOf = (name: string): string => name.replace(/-?\d+$/, "");

export const asLaid = (list: readonly Laid[]): Laid[] => list.map(({ cover, hide, x_mm, y_mm, turn_deg, locked }) =>
  ({ cover: letterOf(cover), hide, x_mm, y_mm, turn_deg, locked: locked ?? false }));

const bodyOf = (laid: readonly Laid[]): string => JSON.stringify({ placements: laid });

export const shapeOf = (job: number, version: number): Promise<Shape> => askJson<Shape>(`/api/jobs/${job}/derived?version=${version}`);

export const begin = (kind: "lay" | "fit", job: number, version: number, laid: readonly Laid[], query: string): Promise<Work> =>
  askJson<Work>(`/api/jobs/${job}/${kind}?version=${version}${query}`, { method: "POST", ...(laid.length > 0 ? { body: bodyOf(laid) } : {}) });

export const runningOf = async (job: number, version: number): Promise<Work | null> => {
  const { works } = await askJson<{ works: Work[] }>("/api/work");
  return works.find((one) => one.job === job && one.version === version && one.kind === "layout" && one.state === "running") ?? null;
};

/** Lays a table, and takes the one before away. */
export async function layTable(job: number, version: number, laid: readonly Laid[], before: number | null): Promise<number> {
  const { table } = await askJson<{ table: number }>(`/api/jobs/${job}/tables?version=${version}`, { method: "POST", body: bodyOf(laid) });
  if (before !== null) void ask(`/api/tables/${before}`, { method: "DELETE" }).catch(() => undefined);
  return table;
}
export const reportOf = (table: number): Promise<Report> => askJson<Report>(`/api/tables/${table}`);

const placeQuery = (placement: number, hide: number, at: Place): string =>
  `placement=${placement}&hide=${hide}&x_mm=${at.x_mm}&y_mm=${at.y_mm}&turn_deg=${at.turn_deg}`;
export const tryPlace = (table: number, placement: number, hide: number, at: Place): Promise<Tried> =>
  askJson<Tried>(`/api/tables/${table}/try?${placeQuery(placement, hide, at)}`);
export const snapPlace = (table: number, placement: number, hide: number, at: Place, reach: number): Promise<Snapped> =>
  askJson<Snapped>(`/api/tables/${table}/snap?${placeQuery(placement, hide, at)}&reach_mm=${reach}`);

/** The layout that papers and the bench follow; its number is 0 when it is not kept. */
export interface Counting {
  readonly layout: number;
  readonly laid: { readonly placements: readonly Laid[] } | null;
}
export const countingOf = (job: number, version: number, signal?: AbortSignal): Promise<Counting> =>
  askJson<Counting>(`/api/jobs/${job}/layout?version=${version}`, signal ? { signal } : {});

/** What the layout at hand is kept as, in the place of the one before; what another device kept meanwhile stays. */
export const AT_HAND = "as it lies";
export const keepAtHand = async (job: number, version: number, laid: readonly Laid[], before: number): Promise<number> =>
  (await askJson<{ layout: number }>(`/api/jobs/${job}/layouts?version=${version}&instead=${before}&call=${encodeURIComponent(AT_HAND)}`, { method: "POST", body: bodyOf(laid) })).layout;

/** Sees to it that a layout counts: where none does, it is looked for, and kept, so that papers,
    bench and the page Layout all show the same one. False: that was stopped. */
export async function layFirst(job: number, version: number, tell: (work: Work) => void, signal: AbortSignal): Promise<boolean> {
  if ((await countingOf(job, version, signal)).laid) return true;
  const { work, found } = await doWork<Result>(`/api/jobs/${job}/lay?version=${version}`, tell, signal);
  if (found === null || work.state === "stopped") return false;
  if (found.placements.length > 0) await keepAtHand(job, version, asLaid(found.placements), 0);
  return true;
}

/** Tells the workshop that the covers are cut from their hides as they lie. */
export const cutAsLaid = (job: number, version: number, laid: readonly Laid[]): Promise<unknown> =>
  askJson(`/api/jobs/${job}/cut`, { method: "POST", ifMatch: version, body: bodyOf(laid) });

export const keptOf = async (job: number): Promise<readonly Kept[]> => (await askJson<{ layouts: Kept[] }>(`/api/jobs/${job}/layouts`)).layouts;
export const keptLaid = async (layout: number): Promise<Laid[]> => asLaid((await askJson<{ placements: Laid[] }>(`/api/layouts/${layout}`)).placements);
export const keep = (job: number, version: number, name: string, laid: readonly Laid[]): Promise<{ layout: number }> =>
  askJson<{ layout: number }>(`/api/jobs/${job}/layouts?version=${version}&call=${encodeURIComponent(name)}`, { method: "POST", body: bodyOf(laid) });
export const putAway = (layout: number): Promise<Response> => ask(`/api/layouts/${layout}`, { method: "DELETE" });
