// Which part of the hide a drawing shows. On the screen the butt is below and the neck above, as one
// stands at the table: what lies left of the backbone is left.

import type { Point } from "./api";

export interface Size {
  readonly width: number;
  readonly height: number;
}
/** The middle of what is seen, in screen millimetres (x to the right, y down), and mm for each px. */
export interface View {
  readonly x: number;
  readonly y: number;
  readonly perPx: number;
}
export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** From the hide's frame of reference to the screen's, and back. */
export const toScreen = (p: Point): Point => [-p[1], -p[0]];
export const fromScreen = (p: Point): Point => [-p[1], -p[0]];

const written = (p: Point): string => toScreen(p).map((value) => value.toFixed(1)).join(",");
/** Points as the path of a drawing; "" when there are none. */
export const lineOf = (points: readonly Point[]): string => (points.length > 0 ? `M${points.map(written).join("L")}` : "");
export const ringOf = (ring: readonly Point[]): string => (ring.length > 0 ? `${lineOf(ring)}Z` : "");

const USUAL: Box = { left: -1000, right: 1000, top: -2200, bottom: 250 };
const ROOM_PX = 22;
const FINEST = 0.05; // mm for each px
const COARSEST = 40;

export function boxAround(points: readonly Point[]): Box {
  if (points.length === 0) return USUAL;
  const seen = points.map(toScreen);
  const xs = seen.map((p) => p[0]);
  const ys = seen.map((p) => p[1]);
  return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) };
}

export function fitting(box: Box, size: Size): View {
  const perPx = Math.max((box.right - box.left) / Math.max(size.width - 2 * ROOM_PX, 50),
    (box.bottom - box.top) / Math.max(size.height - 2 * ROOM_PX, 50), FINEST);
  return { x: (box.left + box.right) / 2, y: (box.top + box.bottom) / 2, perPx };
}

/** A place on the drawing, in px from its top left corner, in screen millimetres. */
export function placeAt(view: View, size: Size, px: Point): Point {
  return [view.x + (px[0] - size.width / 2) * view.perPx, view.y + (px[1] - size.height / 2) * view.perPx];
}

/** Larger by `factor`; the place under `px` stays under it. */
export function zoomed(view: View, size: Size, px: Point, factor: number): View {
  const perPx = Math.min(COARSEST, Math.max(FINEST, view.perPx / factor));
  const before = placeAt(view, size, px);
  const after = placeAt({ ...view, perPx }, size, px);
  return { x: view.x + before[0] - after[0], y: view.y + before[1] - after[1], perPx };
}

export const moved = (view: View, dxPx: number, dyPx: number): View =>
  ({ ...view, x: view.x - dxPx * view.perPx, y: view.y - dyPx * view.perPx });
