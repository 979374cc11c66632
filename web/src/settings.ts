// What this browser remembers of its user: units and light. Kept in the browser, not in jobs.

import { effect, signal } from "@preact/signals";
import type { LengthUnit } from "./units";

function kept<T extends string>(key: string, allowed: readonly T[], usual: T) {
  let start = usual;
  try {
    const found = localStorage.getItem(key);
    if (allowed.includes(found as T)) start = found as T;
  } catch {
    // A browser that keeps nothing still works; it only asks again.
  }
  const value = signal<T>(start);
  effect(() => {
    try {
      localStorage.setItem(key, value.value);
    } catch {
      // as above
    }
  });
  return value;
}

export type UnitChoice = LengthUnit | "job";
export type ThemeChoice = "auto" | "light" | "dark";

/** The way through the demo: never seen, begun, or left for good. */
export type GuideChoice = "new" | "on" | "left";

export const guideChoice = kept<GuideChoice>("seatwright.guide", ["new", "on", "left"], "new");
export const unitChoice = kept<UnitChoice>("seatwright.units", ["job", "in", "mm"], "job");
/** Where no job says which: as it is chosen, else as people of this language measure. */
export const unitAtHand = (): LengthUnit =>
  unitChoice.value === "job" ? (navigator.language === "en-US" ? "in" : "mm") : unitChoice.value;
export const themeChoice = kept<ThemeChoice>("seatwright.theme", ["auto", "light", "dark"], "auto");

effect(() => {
  document.documentElement.dataset["theme"] = themeChoice.value;
});
