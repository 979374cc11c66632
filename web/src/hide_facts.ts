// What the program says of one hide of the draft, asked for anew while it changes.

import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { askJson, Refused, Unreached, type Point, type Polygon, type Problem, type Ring } from "./api";
import { draft, notice } from "./job";
import { refusalWords } from "./words";

export interface Region {
  readonly kind: string;
  readonly firmness: string;
  readonly stretch_along: number;
  readonly stretch_across: number;
  readonly polygons: readonly Polygon[];
}
export interface MarkedFlaw {
  readonly number: number;
  readonly kind: string;
  readonly name: string | null;
  readonly polygons: readonly Polygon[];
}
export interface HideShape {
  readonly name: string;
  readonly form: string;
  readonly area_mm2: number;
  readonly stamped_mm2: number;
  readonly stamp: "agrees" | "measure again" | "talk to the seller" | null;
  readonly backbone_mm: number;
  readonly outline_mm: Ring;
  readonly regions: readonly Region[];
  readonly flaws: readonly MarkedFlaw[];
}
export interface Facts {
  readonly good: boolean;
  readonly problems: readonly Problem[];
  readonly hide: HideShape | null;
  readonly area_words: string | null;
  readonly firmness?: readonly { readonly firmness: string; readonly area_mm2: number }[];
  readonly hatching?: readonly { readonly kind: string; readonly firmness: string; readonly lines_mm: readonly Ring[] }[];
  readonly tolerated: {
    readonly flaws: readonly { readonly kind: string; readonly may_lie_in: string; readonly margin_mm: number }[];
    readonly firmness: readonly { readonly firmness: string; readonly may_lie_in: string }[];
  };
  readonly picture: { readonly uid: string; readonly mm_per_px: number; readonly map: readonly [number, number, number, number, number, number] } | null;
}

const ASK_AFTER_MS = 40;

/** Of the hide that the page shows; null until the first answer. */
export const facts = signal<Facts | null>(null);
/** The last outline that could be drawn, while the present one cannot. */
export const lastGood = signal<Facts | null>(null);

export function useFacts(hide: number): void {
  const document = draft.value;
  useEffect(() => {
    facts.value = lastGood.value = null;
  }, [hide]);
  useEffect(() => {
    const asking = new AbortController();
    const timer = setTimeout(() => {
      askJson<Facts>(`/api/derive/hide?hide=${hide}`, { method: "POST", body: JSON.stringify(document), signal: asking.signal })
        .then((found) => {
          facts.value = found;
          if (found.hide) lastGood.value = found;
        }, (error: unknown) => {
          if (error instanceof Refused && error.status === 404) facts.value = null;
          else if (error instanceof Refused || error instanceof Unreached) notice.value = error.message;
        });
    }, ASK_AFTER_MS);
    return () => {
      clearTimeout(timer);
      asking.abort();
    };
  }, [document, hide]);
}

interface Stroke {
  readonly points_mm: Ring;
}

/** A line drawn by hand, as it may be kept; null when the program says why not, which is shown. */
export async function madeFit(points: readonly Point[], withinMm: number, closed: boolean): Promise<Ring | null> {
  try {
    const found = await askJson<Stroke>("/api/stroke", {
      method: "POST", body: JSON.stringify({ points_mm: points, within_mm: Math.min(100, Math.max(0.1, withinMm)), closed }),
    });
    return found.points_mm;
  } catch (error) {
    notice.value = refusalWords(error);
    return null;
  }
}
