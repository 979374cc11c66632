// Places on a hide as a job's document writes them, and as a drawing needs them. Only units and the
// side of the backbone are changed here; what follows from places is the program's to say.

import type { Point } from "./api";
import { isObject, type Json } from "./document";
import { exactLength, leastMm, toMm, writtenMeasure, type LengthUnit } from "./units";

/** The units of the document, and those that are shown and typed. */
export interface Units {
  readonly document: LengthUnit;
  readonly seen: LengthUnit;
}

/** Up the backbone and out to the left, in mm; null where it is not (yet) written so. */
export function pointOf(place: Json | undefined, units: Units): Point | null {
  if (!isObject(place)) return null;
  const up = toMm(place["up"], units.document);
  const out = place["right"] === undefined ? toMm(place["left"] ?? 0, units.document) : toMm(place["right"], units.document);
  if (up === null || out === null) return null;
  return [up, place["right"] === undefined ? out : -out];
}

export function pointsOf(list: Json | undefined, units: Units): (Point | null)[] {
  return Array.isArray(list) ? list.map((place) => pointOf(place, units)) : [];
}

export function lengthOf(mm: number, units: Units): Json {
  const least = leastMm(units.seen);
  return writtenMeasure(exactLength(Math.round(mm / least) * least, units.seen), units.document, units.seen) ?? 0;
}

export function placeOf(point: Point, units: Units): { [key: string]: Json } {
  const up = lengthOf(point[0], units);
  const out = lengthOf(Math.abs(point[1]), units);
  if (Math.abs(point[1]) < leastMm(units.seen) / 2) return { up };
  return point[1] > 0 ? { up, left: out } : { up, right: out };
}

export const placesOf = (points: readonly Point[], units: Units): Json[] => points.map((point) => placeOf(point, units));

/** Where a station's reading lies on the edge, or null where there is none. */
export function stationPoint(station: Json | undefined, side: "left" | "right", units: Units): Point | null {
  if (!isObject(station)) return null;
  const up = toMm(station["up"], units.document);
  const out = toMm(station[side], units.document);
  return up === null || out === null ? null : [up, side === "left" ? out : -out];
}
