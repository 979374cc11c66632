// The first visit: the way through the demo, by mouse and by keyboard, and leaving it for good.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";
import type { Page } from "playwright-core";
import { accessible, openHouse, picture, roomy, visit, type House } from "./visiting";

let house: House;
before(async () => {
  house = await openHouse();
});
after(() => house?.close());

// As somebody who was never here.
async function firstTime(page: Page): Promise<void> {
  await page.evaluate(() => localStorage.setItem("seatwright.guide", "new"));
  await page.reload();
}

for (const size of ["desk", "phone"] as const) {
  for (const light of ["light", "dark"] as const) {
    describe(`the first visit, ${size}, ${light}`, () => {
      test("steps lead through the demo, each points at what is there, and leaving is remembered", async () => {
        const { page, context, complaints } = await visit(house, size, light);
        await firstTime(page);
        await page.getByText(/^New here\?/).waitFor();
        await page.locator(".picture svg").first().waitFor({ state: "attached" });
        await picture(page, `${size}-${light}-first-visit`);
        await accessible(page, "the first visit");
        await roomy(page, "the first visit");
        await page.getByRole("button", { name: "Show me the way" }).click();
        const guide = page.getByRole("complementary", { name: "The way through the demo" });
        await guide.getByText(/^Step 1 of \d, Seats\./).waitFor();
        await page.locator("[data-guided]").first().waitFor();
        await guide.getByRole("button", { name: "Show me where" }).click();
        assert.equal(await page.evaluate(() => document.activeElement?.id), "at-seats-0--frame-front");
        await picture(page, `${size}-${light}-guide`);
        await accessible(page, "the guide");
        await roomy(page, "the guide");
        const places = await page.getByRole("navigation", { name: "This job" }).getByRole("link").allTextContents();
        for (const place of places.slice(1)) {
          await guide.getByRole("button", { name: `Next: ${place}` }).focus();
          await page.keyboard.press("Enter");
          await guide.getByText(new RegExp(`^Step \\d of ${places.length}, ${place}\\.`)).waitFor();
          await page.locator("[data-guided]").first().waitFor();
          await accessible(page, `the guide at ${place}`);
          await roomy(page, `the guide at ${place}`);
        }
        await guide.getByRole("button", { name: places.length > 1 ? "That was all" : /That was all|Leave the guide/ }).click();
        await guide.waitFor({ state: "detached" });
        await page.locator("[data-guided]").first().waitFor({ state: "detached" }); // after the page is drawn anew
        await page.reload();
        await page.getByRole("navigation", { name: "This job" }).waitFor();
        assert.equal(await guide.count(), 0, "it stays away");
        await page.getByRole("link", { name: "All jobs" }).click();
        await page.getByRole("button", { name: "The way through the demo, again" }).click();
        await guide.getByText(/^Step 1 of/).waitFor();
        assert.deepEqual(complaints, []);
        await context.close();
      });
    });
  }
}

test("the demo that is opened by address shows the way at once, other jobs do not", async () => {
  const { page, context } = await visit(house, "desk");
  const guide = page.getByRole("complementary", { name: "The way through the demo" });
  await page.getByRole("button", { name: /^Start from Bar stools/ }).click();
  await page.locator(".board .cover .band.whole").waitFor();
  await firstTime(page);
  await page.locator(".board .cover .band.whole").waitFor();
  assert.equal(await guide.count(), 0, "not on another job");
  await page.goto(house.server.address);
  await page.getByRole("button", { name: /^Start from Dining room of a rowing club/ }).click();
  await guide.waitFor();
  await guide.getByRole("button", { name: /Leave the guide|That was all/ }).click();
  await guide.waitFor({ state: "detached" });
  await context.close();
});
