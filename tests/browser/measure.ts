// How long until the first page can be used, and how large its script is: ./bench pages. The
// program is started anew each time, on an empty workshop file; the browser runs already.

import { gzipSync } from "node:zlib";
import { openHouse, SIZES } from "./visiting";
import { serve } from "./server";

const ROUNDS = Number(process.argv[2] ?? 9);
const house = await openHouse();

async function round(): Promise<{ started: number; usable: number; drawn: number; searched: number }> {
  const begin = performance.now();
  const server = await serve();
  const started = performance.now();
  const context = await house.browser.newContext(SIZES.desk);
  const page = await context.newPage();
  await page.goto(server.address);
  await page.getByRole("button", { name: "New job", exact: true }).waitFor();
  const usable = performance.now();
  await page.locator(".picture svg").first().waitFor();
  const drawn = performance.now();
  await page.getByLabel("Search names and notes").fill("stools");
  await page.getByText("No job has these words.").waitFor();
  const searched = performance.now();
  await context.close();
  await server.close();
  return { started: started - begin, usable: usable - begin, drawn: drawn - begin, searched: searched - drawn };
}

const rounds = [];
await round(); // the first one warms the browser and the system's files
for (let i = 0; i < ROUNDS; i++) rounds.push(await round());
const told = (name: string, values: readonly number[]): void => {
  const sorted = [...values].sort((a, b) => a - b);
  console.log(`${name.padEnd(36)} best ${(sorted[0] ?? 0).toFixed(0).padStart(6)} ms   median ${(sorted[sorted.length >> 1] ?? 0).toFixed(0).padStart(6)} ms`);
};
told("pages/program_listens", rounds.map((one) => one.started));
told("pages/first_page_usable", rounds.map((one) => one.usable));
told("pages/first_picture_drawn", rounds.map((one) => one.drawn));
told("pages/search_answered", rounds.map((one) => one.searched));
const html = await (await fetch(house.server.address)).text();
for (const [, name] of html.matchAll(/(?:src|href)="(\/[^"]+\.(?:js|css)[^"]*)"/g)) {
  const bytes = Buffer.from(await (await fetch(house.server.address + name)).arrayBuffer());
  const size = `${(bytes.length / 1024).toFixed(1)} KB, compressed ${(gzipSync(bytes, { level: 9 }).length / 1024).toFixed(1)} KB`;
  console.log(`pages/bytes${(name ?? "").replace(/[?].*|-[0-9a-f]{8,}/, "")} `.padEnd(37) + size);
}
await house.close();
