// The tree of a job's versions as lanes beside the list of them, the newest first.

export interface Leaf {
  readonly version: number;
  readonly base: number;
}

/** How the lines run past one version. Lanes count from 0, from the left. */
export interface Lanes {
  readonly at: number; // where the version stands
  readonly from: readonly number[]; // lanes that come down from above and end here: what was made of it
  readonly past: readonly number[]; // lanes that run past
  readonly down: boolean; // it was made from an older one, further down
}

/** One for each version, in the order of the list. Every base must stand below what was made of it. */
export function lanesOf(list: readonly Leaf[]): Lanes[] {
  const waiting: (number | null)[] = []; // by lane, the version that it leads to
  const free = (): number => {
    const empty = waiting.indexOf(null);
    return empty < 0 ? waiting.length : empty;
  };
  return list.map(({ version, base }) => {
    const from = waiting.flatMap((wanted, lane) => (wanted === version ? [lane] : []));
    const at = from[0] ?? free();
    for (const lane of from) waiting[lane] = null;
    const past = waiting.flatMap((wanted, lane) => (wanted === null ? [] : [lane]));
    waiting[at] = base > 0 ? base : null;
    return { at, from, past, down: base > 0 };
  });
}
