// How many frames a second a browser shows while a cover is dragged among 40. No test: the machine
// decides. `./bench drag [seconds]` runs it.

import { readFileSync } from "node:fs";
import { openHouse, SIZES, type House } from "./visiting";

const COVERS = 40;
const ROUND_MM = 200; // of each seat
const SECONDS = Number(process.argv[2] ?? 5);
const MOVES_PER_S = 120; // of the hand, more often than frames

interface TraceEvent {
  readonly name: string;
  readonly ts: number; // µs
  readonly ph: string;
}

// Forty round seats in rows on one panel.
function job(): object {
  return {
    seatwright: 1, name: "forty stools", units: "mm",
    seats: [{ name: "stool", count: COVERS, frame: { shape: "round", diameter: ROUND_MM }, board: { thickness: 12 }, padding: { edge: 10, crown: 10 } }],
    hides: [{ name: "panel", form: "panel", length: 3500, width: 2500 }],
    search: { work: 0.05 },
  };
}

async function answer(house: House, address: string, body: object): Promise<{ id: number }> {
  const told = await fetch(house.server.address + address, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
  return (await told.json()) as { id: number };
}

function spread(list: readonly number[], share: number): number {
  const sorted = [...list].sort((a, b) => a - b);
  return sorted[Math.min(Math.floor(share * sorted.length), sorted.length - 1)] ?? 0;
}

const house = await openHouse();
try {
  const { id } = await answer(house, "/api/jobs", job());
  const context = await house.browser.newContext(SIZES.desk);
  const page = await context.newPage();
  await page.goto(`${house.server.address}/#/jobs/${id}/layout`);
  await page.locator(".standing", { hasText: `All ${COVERS} covers` }).waitFor({ timeout: 120_000 });
  const box = await page.locator('.table > svg:not(.carried) .piece[data-index="7"] .rim').boundingBox();
  if (!box) throw new Error("the cover is not seen");
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 10, y + 10);
  await page.locator(".tag").waitFor();
  await page.evaluate(() => {
    const seen: number[] = [];
    (window as unknown as { seen: number[] }).seen = seen;
    const look = (now: number): void => {
      seen.push(now);
      requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
  });
  const session = await context.newCDPSession(page);
  const events: TraceEvent[] = [];
  session.on("Tracing.dataCollected", (part) => events.push(...(part.value as unknown as TraceEvent[])));
  await session.send("Tracing.start", { transferMode: "ReportEvents", traceConfig: { includedCategories: ["devtools.timeline", "disabled-by-default-devtools.timeline.frame"] } });
  const began = performance.now();
  let asked = 0;
  page.on("request", (request) => { asked += /\/try\?/.test(request.url()) ? 1 : 0; });
  for (let step = 0; performance.now() - began < SECONDS * 1000; step++) {
    const turn = (step / MOVES_PER_S) * 2;
    await page.mouse.move(x + 220 * Math.sin(turn), y + 120 * Math.sin(1.7 * turn));
    const wait = began + ((step + 1) * 1000) / MOVES_PER_S - performance.now();
    if (wait > 1) await new Promise((done) => setTimeout(done, wait));
  }
  const ended = new Promise((done) => session.once("Tracing.tracingComplete", done));
  await session.send("Tracing.end");
  await ended;
  await page.mouse.up();
  const seen = await page.evaluate(() => (window as unknown as { seen: number[] }).seen);
  const between = seen.slice(1).map((now, i) => now - (seen[i] ?? now));
  const drawn = events.filter((event) => event.name === "DrawFrame").map((event) => event.ts / 1000).sort((a, b) => a - b);
  const gaps = drawn.slice(1).map((now, i) => now - (drawn[i] ?? now));
  const tasks = events.filter((event) => event.name === "Paint" && event.ph === "X").length;
  const load = readFileSync("/proc/loadavg", "utf8").split(" ")[0];
  const rate = drawn.length > 1 ? (1000 * (drawn.length - 1)) / ((drawn[drawn.length - 1] ?? 0) - (drawn[0] ?? 0)) : 0;
  console.log(`pages/drag/${COVERS}_covers  frames drawn ${drawn.length}, ${rate.toFixed(1)} a second; between two median ${spread(gaps, 0.5).toFixed(1)}, ` +
    `99 of 100 within ${spread(gaps, 0.99).toFixed(1)} ms; the page's own turns median ${spread(between, 0.5).toFixed(1)}, 99 of 100 within ${spread(between, 0.99).toFixed(1)} ms; ` +
    `${tasks} paints; ${(asked / SECONDS).toFixed(0)} places asked a second; load ${load}`);
  await context.close();
} finally {
  await house.close();
}
