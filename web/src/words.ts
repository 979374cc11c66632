// Words that several pages say: what the program has against something, how many, and when.

import { Refused, type Problem } from "./api";

/** What the program says of a value; where that stands is said beside it. */
export function problemWords({ found, allowed, remedy }: Problem): string {
  return [found, allowed && `allowed: ${allowed}`, remedy].filter(Boolean).join("; ");
}

/** Why something was not done, a line for each reason. Doubts are none; mistakes in a document are
    told with their places. */
export function refusalLines(error: unknown): readonly string[] {
  const reasons = error instanceof Refused ? error.problems.filter((one) => one.kind !== "doubt") : [];
  if (reasons.length === 0) return [error instanceof Error ? error.message : String(error)];
  const inDocument = error instanceof Refused && error.status === 422;
  return reasons.map((one) => (inDocument ? `${one.where}: ${problemWords(one)}` : problemWords(one)));
}

export const refusalWords = (error: unknown): string => refusalLines(error).join("; ");

/** `1 mistake`, `2 mistakes`. */
export const counted = (count: number, word: string): string => `${count} ${word}${count === 1 ? "" : "s"}`;

/** `2 mistakes, 1 doubt`; what there is none of is left out. */
export const countedAll = (counts: readonly (readonly [number, string])[]): string =>
  counts.flatMap(([count, word]) => (count > 0 ? [counted(count, word)] : [])).join(", ");

/** Day and time as the browser's user writes them. */
export const moment = (ms: number): string => new Date(ms).toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" });
