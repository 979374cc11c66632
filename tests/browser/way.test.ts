// The whole way in the browser: from an empty workshop to a printed pack for a new set of chairs,
// as a person goes it, at a desk and on a phone. What each page can do besides is tested by itself.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { after, before, describe, test } from "node:test";
import type { Page } from "playwright-core";
import { goTo, openHouse, READINGS, visit, type House, type Size } from "./visiting";

const LONG_MS = 240_000; // layouts and papers on a busy machine

let house: House;

const field = (page: Page, path: string) => page.locator(`#at-${path}`);
const opened = async (page: Page, group: string): Promise<void> => {
  const summary = page.locator("details.group > summary", { hasText: new RegExp(`^${group}`) });
  if (await summary.locator("..").getAttribute("open") === null) await summary.click();
};

async function measureTheSeats(page: Page): Promise<void> {
  await field(page, "seats-0--name").fill("kitchen chair");
  await field(page, "seats-0--count").fill("4");
  await field(page, "seats-0--frame-front").fill("17 3/4");
  await field(page, "seats-0--frame-back").fill("15½");
  await field(page, "seats-0--frame-depth").fill("400 mm");
  await field(page, "seats-0--frame-corner_radius").fill("3/4");
  await opened(page, "Board");
  await field(page, "seats-0--board-thickness").fill("5/8");
  await opened(page, "Padding");
  await field(page, "seats-0--padding-edge").fill("1");
  await field(page, "seats-0--padding-crown").fill("3/4");
  await page.getByRole("button", { name: "Add a layer" }).click();
  const section = page.locator(".board svg.section:not(.stale)");
  await section.waitFor(); // on a phone too: the hand is in the padding
  assert.match((await section.getAttribute("aria-label")) ?? "", /face .* in, edge .* in, turn .* in, grip/);
  await page.getByRole("button", { name: "A chair that differs" }).click();
  await field(page, "seats-0--chairs-0--name").fill("the rebuilt one");
  await field(page, "seats-0--chairs-0--frame-depth").fill("15 7/8");
  await opened(page, "The job");
  await field(page, "name").fill("Four kitchen chairs");
  await field(page, "name").blur();
  await page.locator(".mistakes").waitFor({ state: "detached" });
  await page.locator(".saved.saved").waitFor();
}

async function chooseTheLeather(page: Page): Promise<void> {
  await goTo(page, "Leather");
  const answer = page.getByRole("region", { name: "Which leather", exact: true }).locator(".answer");
  await answer.waitFor();
  const before = await answer.textContent();
  await field(page, "household-pets").selectOption("daily");
  await field(page, "household-sun").selectOption("daily");
  await page.waitForFunction((old) => document.querySelector("[aria-labelledby=advice] .answer")?.textContent !== old, before);
  await page.locator(".saved.saved").waitFor();
}

async function tapeTheHide(page: Page): Promise<void> {
  await goTo(page, "Hides");
  await page.getByRole("button", { name: "Enter stations" }).click();
  const table = page.locator("table.stations");
  await table.waitFor();
  await table.locator("input").first().focus();
  for (const reading of READINGS) {
    for (const value of reading) {
      await page.keyboard.type(value);
      await page.keyboard.press("Enter");
    }
  }
  await page.locator("svg.hide .hideleather").waitFor();
  await page.locator(".saved.saved").waitFor();
}

async function layTheCovers(page: Page): Promise<void> {
  await goTo(page, "Layout");
  await page.locator(".standing", { hasText: "All 4 covers lie where they may." }).waitFor({ timeout: LONG_MS });
}

async function printThePack(page: Page): Promise<void> {
  await goTo(page, "Papers");
  await page.getByRole("heading", { name: "Pages", exact: true }).waitFor({ timeout: LONG_MS });
  const pages = await page.locator(".leaf").count();
  const [pack] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: "Download the pack" }).click()]);
  const told = execFileSync("pdfinfo", [await pack.path()], { encoding: "utf8" }); // poppler, a reader of PDF not ours
  assert.equal(Number(/Pages:\s+(\d+)/.exec(told)?.[1]), pages);
  const words = execFileSync("pdftotext", ["-l", "3", await pack.path(), "-"], { encoding: "utf8" });
  for (const part of ["Four kitchen chairs", "All 4 covers fit on the hide", "kitchen chair", "the rebuilt one"]) assert.ok(words.includes(part), part);
}

async function workAtTheBench(page: Page): Promise<void> {
  await goTo(page, "At the bench");
  const count = page.locator(".standing .count");
  await count.waitFor({ timeout: LONG_MS });
  const before = await count.innerText();
  await page.locator("main .strong").first().click();
  await page.waitForFunction((old) => (document.querySelector(".standing .count") as HTMLElement | null)?.innerText !== old, before);
  await page.getByText("All ticks are in the workshop file.").waitFor({ timeout: 60_000 });
}

for (const size of ["desk", "phone"] as const satisfies readonly Size[]) {
  describe(`the whole way, ${size}`, () => {
    before(async () => { house = await openHouse(); }); // each begins with an empty workshop
    after(() => house.close());

    test("from an empty workshop to a printed pack for a new set of chairs", { timeout: 3 * LONG_MS }, async () => {
      const { page, context, complaints } = await visit(house, size);
      await page.getByText("No jobs yet.").waitFor();
      await page.getByRole("button", { name: "New job", exact: true }).click();
      await measureTheSeats(page);
      await chooseTheLeather(page);
      await tapeTheHide(page);
      await layTheCovers(page);
      await printThePack(page);
      await workAtTheBench(page);
      await page.getByRole("link", { name: "All jobs" }).first().click();
      await page.locator("section[aria-labelledby=jobs] .card", { hasText: "Four kitchen chairs" }).waitFor();
      assert.deepEqual(complaints, []);
      await context.close();
    });
  });
}
