// The hide that the page shows: where it stands in the draft, what is chosen of it, and how a hand
// changes it.

import { computed, signal } from "@preact/signals";
import type { Point } from "./api";
import { at, isObject, type Json, type JsonObject, type Path } from "./document";
import { change, documentUnit, draft, listAt, unit } from "./job";
import { lengthOf, placeOf, placesOf, pointOf, pointsOf, stationPoint, type Units } from "./hide_places";

export type Tool = "move" | "edge" | "spot" | "line" | "ring" | "region";

/** What is chosen, in the drawing and in the lists alike. `point`: one of its places, null for all of it. */
export interface Chosen {
  readonly what: "station" | "point" | "flaw" | "region";
  readonly index: number;
  readonly point: number | null;
}

export const hideIndex = signal(0);
export const tool = signal<Tool>("move");
export const chosen = signal<Chosen | null>(null);
export const flawKind = signal("scar");
export const regionKind = signal("belly");
export const spotMm = signal(12);
export const scratchMm = signal(6);

export const path = computed<Path>(() => ["hides", hideIndex.value]);
export const hide = computed<JsonObject | null>(() => {
  const found = at(draft.value, path.value);
  return isObject(found) ? found : null;
});
export const units = computed<Units>(() => ({ document: documentUnit.value, seen: unit.value }));

export const listOf = (key: string): readonly Json[] => listAt([...path.value, key]);

/** Something that can be taken hold of. */
export interface Handle {
  readonly chosen: Chosen & { readonly point: number };
  readonly part: "left" | "right" | "place" | "radius";
  readonly at: Point;
}

export type FlawForm = "at" | "line" | "area";
export const formOf = (flaw: JsonObject): FlawForm => ("line" in flaw ? "line" : "area" in flaw ? "area" : "at");

function flawHandles(index: number): Handle[] {
  const flaw = listOf("flaws")[index];
  if (!isObject(flaw)) return [];
  const form = formOf(flaw);
  if (form !== "at") {
    return pointsOf(flaw[form], units.value).flatMap((point, i): Handle[] =>
      point ? [{ chosen: { what: "flaw", index, point: i }, part: "place", at: point }] : []);
  }
  const middle = pointOf(flaw["at"], units.value);
  if (!middle) return [];
  const radius = stationPoint({ up: 0, left: flaw["radius"] ?? 0 }, "left", units.value)?.[1] ?? 0;
  return [
    { chosen: { what: "flaw", index, point: 0 }, part: "place", at: middle },
    { chosen: { what: "flaw", index, point: 0 }, part: "radius", at: [middle[0], middle[1] - radius] },
  ];
}

function areaHandles(list: Json | undefined, what: "point" | "region", index: number): Handle[] {
  return pointsOf(list, units.value).flatMap((point, i): Handle[] =>
    point ? [{ chosen: what === "point" ? { what, index: i, point: 0 } : { what, index, point: i }, part: "place", at: point }] : []);
}

/** What may be dragged now: the edge, and the places of the flaw or region that is chosen. */
export const handles = computed<readonly Handle[]>(() => {
  const now = chosen.value;
  if (now?.what === "flaw") return flawHandles(now.index);
  if (now?.what === "region") {
    const region = listOf("regions")[now.index];
    return isObject(region) ? areaHandles(region["area"], "region", now.index) : [];
  }
  const edge = listOf("stations").flatMap((station, index): Handle[] =>
    (["left", "right"] as const).flatMap((part) => {
      const point = stationPoint(station, part, units.value);
      return point ? [{ chosen: { what: "station" as const, index, point: 0 }, part, at: point }] : [];
    }));
  return [...edge, ...areaHandles(hide.value?.["points"], "point", 0)];
});

const LEAST_RADIUS_MM = 1;

/** Where the hand has moved a handle to. */
export function moveTo(handle: Handle, to: Point, done: boolean): void {
  const { what, index, point } = handle.chosen;
  if (what === "station") {
    const here = [...path.value, "stations", index];
    change([...here, "up"], lengthOf(to[0], units.value), false);
    change([...here, handle.part], lengthOf(Math.max(0, handle.part === "left" ? to[1] : -to[1]), units.value), done);
  } else if (what === "point") {
    change([...path.value, "points", index], placeOf(to, units.value), done);
  } else if (what === "region") {
    change([...path.value, "regions", index, "area", point], placeOf(to, units.value), done);
  } else {
    const here = [...path.value, "flaws", index];
    const flaw = at(draft.value, here);
    if (!isObject(flaw)) return;
    const form = formOf(flaw);
    if (handle.part === "radius") {
      const middle = pointOf(flaw["at"], units.value);
      if (middle) change([...here, "radius"], lengthOf(Math.max(LEAST_RADIUS_MM, Math.hypot(to[0] - middle[0], to[1] - middle[1])), units.value), done);
    } else {
      change(form === "at" ? [...here, "at"] : [...here, form, point], placeOf(to, units.value), done);
    }
  }
}

/** Notes the hide as it is written; what it returns puts it back. */
export function hold(): () => void {
  const [here, before] = [path.value, hide.value ?? undefined];
  return () => change(here, before, true);
}

const LEAST_PLACES = { line: 2, area: 3 } as const;

/** Takes away all of what is chosen. */
export function takeAllAway(): void {
  const now = chosen.value;
  if (!now) return;
  const key = { station: "stations", point: "points", flaw: "flaws", region: "regions" }[now.what];
  change([...path.value, key, now.index], undefined, true);
  chosen.value = null;
}

/** Takes away what is chosen: a place of it while enough are left, else all of it. */
export function takeAway(): void {
  const now = chosen.value;
  if (now && now.point !== null && (now.what === "flaw" || now.what === "region")) {
    const key = now.what === "flaw" ? "flaws" : "regions";
    const found = listOf(key)[now.index];
    const form = isObject(found) && "line" in found ? "line" : "area";
    const places = isObject(found) ? found[form] : undefined;
    if (Array.isArray(places) && places.length > LEAST_PLACES[form]) {
      change([...path.value, key, now.index, form, now.point], undefined, true);
      chosen.value = { ...now, point: Math.max(now.point - 1, 0) };
      return;
    }
  }
  takeAllAway();
}

export function addFlaw(flaw: JsonObject): void {
  const index = listOf("flaws").length;
  change([...path.value, "flaws", index], { kind: flawKind.value, ...flaw }, true);
  chosen.value = { what: "flaw", index, point: null };
}

export const addSpot = (middle: Point, radiusMm: number): void =>
  addFlaw({ at: placeOf(middle, units.value), radius: lengthOf(radiusMm, units.value) });
export const addScratch = (points: readonly Point[]): void =>
  addFlaw({ line: placesOf(points, units.value), width: lengthOf(scratchMm.value, units.value) });
export const addRing = (points: readonly Point[]): void => addFlaw({ area: placesOf(points, units.value) });

export function addRegion(points: readonly Point[]): void {
  const index = listOf("regions").length;
  change([...path.value, "regions", index], { kind: regionKind.value, area: placesOf(points, units.value) }, true);
  chosen.value = { what: "region", index, point: null };
}

/** The edge as places round it, instead of stations. */
export function setEdge(points: readonly Point[]): void {
  if (!hide.value) return;
  const { stations: _, ...rest } = hide.value;
  change(path.value, { ...rest, points: placesOf(points, units.value) }, true);
}

/** Puts a place into the edge where it is nearest. */
export function addToEdge(place: Point): void {
  const list = listOf("points");
  let index = list.length;
  if (list.length >= 3) {
    const points = pointsOf([...list], units.value);
    let least = Infinity;
    points.forEach((from, i) => {
      const to = points[(i + 1) % points.length];
      if (!from || !to) return;
      const away = distanceToStretch(place, from, to);
      if (away < least) {
        least = away;
        index = i + 1;
      }
    });
  }
  change([...path.value, "points"], [...list.slice(0, index), placeOf(place, units.value), ...list.slice(index)], true);
  chosen.value = { what: "point", index, point: 0 };
}

function distanceToStretch(p: Point, from: Point, to: Point): number {
  const along = [to[0] - from[0], to[1] - from[1]] as const;
  const share = Math.min(1, Math.max(0, ((p[0] - from[0]) * along[0] + (p[1] - from[1]) * along[1]) /
    Math.max(along[0] ** 2 + along[1] ** 2, 1e-9)));
  return Math.hypot(from[0] + share * along[0] - p[0], from[1] + share * along[1] - p[1]);
}
