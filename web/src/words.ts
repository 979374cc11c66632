// Words that several pages say: what the program has against something, how many, and when.

import { Refused, type Problem } from "./api";

/** What the program says of a value; where that stands is said beside it. */
export function problemWords({ found, allowed, remedy }: Problem): string {
  return [found, allowed && `allowed: ${allowed}`, remedy].filter(Boolean).join("; ");
}

/** Why something was not done, a line for each reason; doubts are none. A mistake in what was sent
    is told with its place and what is allowed there; of all else, what is allowed is a program's. */
export function refusalLines(error: unknown): readonly string[] {
  if (!(error instanceof Refused)) return [error instanceof Error ? error.message : String(error)];
  const mistaken = error.status === 400 || error.status === 422;
  const lines = error.problems.filter((one) => one.kind !== "doubt").map((one) =>
    (mistaken ? `${one.where}: ${problemWords(one)}` : [one.found, one.remedy].filter(Boolean).join("; ")));
  return lines.length > 0 ? lines : [error.message];
}

export const refusalWords = (error: unknown): string => refusalLines(error).join("; ");

/** `1 mistake`, `2 mistakes`. */
export const counted = (count: number, word: string): string => `${count} ${word}${count === 1 ? "" : "s"}`;

/** `2 mistakes, 1 doubt`; what there is none of is left out. */
export const countedAll = (counts: readonly (readonly [number, string])[]): string =>
  counts.flatMap(([count, word]) => (count > 0 ? [counted(count, word)] : [])).join(", ");

/** Day and time as the browser's user writes them. */
export const moment = (ms: number): string => new Date(ms).toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" });
