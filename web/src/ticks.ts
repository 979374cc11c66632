// Ticks of the bench on this device: kept here until the server has them, told when it can be
// reached, and merged as the server merges them (docs/workshop-file.md, "Ticks").

export interface Tick {
  readonly step: string;
  readonly done: boolean;
  readonly ticked_ms: number;
  readonly device: string;
}
export type Ticks = Readonly<Record<string, Tick>>;

const bytes = new TextEncoder();

// Texts are compared byte by byte, as the workshop file does.
function compareTexts(a: string, b: string): number {
  const [left, right] = [bytes.encode(a), bytes.encode(b)];
  for (let i = 0; i < Math.min(left.length, right.length); i++) {
    const difference = (left[i] ?? 0) - (right[i] ?? 0);
    if (difference !== 0) return difference;
  }
  return left.length - right.length;
}

/** Whether a tick takes the place of another for the same step. */
export function isLater(tick: Tick, than: Tick | undefined): boolean {
  if (!than) return true;
  const order = tick.ticked_ms - than.ticked_ms || compareTexts(tick.device, than.device) || Number(tick.done) - Number(than.done);
  return order > 0;
}

export function merged(ticks: Ticks, more: readonly Tick[]): Ticks {
  const all: Record<string, Tick> = { ...ticks };
  for (const tick of more) if (isLater(tick, all[tick.step])) all[tick.step] = tick;
  return all;
}

/** A tick made now, later than the one that it takes the place of, whatever the clock says. */
export function newTick(ticks: Ticks, step: string, done: boolean, nowMs: number, device: string): Tick {
  return { step, done, ticked_ms: Math.max(Math.round(nowMs), (ticks[step]?.ticked_ms ?? -1) + 1), device };
}

/** What waits to be told and was not told by `told`: of a step ticked anew meanwhile the newer one. */
export function stillWaiting(waiting: readonly Tick[], told: readonly Tick[]): readonly Tick[] {
  return waiting.filter((one) => !told.includes(one));
}
