// A hide or remnant of the workshop as a small picture with its words: beside its name on the page of
// hides, and on the card of a remnant.

import type { JSX } from "preact";
import { askJson } from "./api";
import type { Facts } from "./hide_facts";
import { boxAround, ringOf } from "./hide_view";
import { showArea, type LengthUnit } from "./units";
import { counted } from "./words";

const ROOM = 1.06; // round it

/** Holes are holes in the picture, those that cuts left too; other flaws are counted. `brief`: with
    its area alone, for a card has one line of words below its picture. */
export async function smallHide(hide: number, seen: LengthUnit, brief: boolean): Promise<JSX.Element | null> {
  const { hide: found } = await askJson<Facts>(`/api/hides/${hide}/facts`);
  if (!found) return null;
  const box = boxAround(found.outline_mm);
  const [wide, high] = [(box.right - box.left) * ROOM, (box.bottom - box.top) * ROOM];
  const holes = found.flaws.filter((flaw) => flaw.kind === "hole").flatMap((flaw) => flaw.polygons);
  const flaws = found.flaws.filter((flaw) => flaw.kind !== "hole").length;
  return (
    <>
      <svg class="cover small" aria-hidden="true"
        viewBox={`${(box.left + box.right - wide) / 2} ${(box.top + box.bottom - high) / 2} ${wide} ${high}`}>
        <path class="band whole" d={ringOf(found.outline_mm)} />
        {holes.map((one, i) => <path key={i} class="band gap" d={ringOf(one.outer_mm)} />)}
      </svg>
      <span class="note">{brief ? "" : `${found.form}, `}{showArea(found.area_mm2, seen)} within its outline{!brief && flaws > 0 && `, ${counted(flaws, "flaw")}`}</span>
    </>
  );
}
