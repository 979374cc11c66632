// The history of a job: back, on from there, names, and what differs.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";
import type { Page } from "playwright-core";
import { accessible, openHouse, picture, roomy, visit, type House } from "./visiting";

let house: House;
before(async () => {
  house = await openHouse();
});
after(() => house?.close());

const front = (page: Page) => page.locator("#at-seats-0--frame-front");
async function save(page: Page, words: string, version: number): Promise<void> {
  await front(page).fill(words);
  await front(page).blur();
  await page.getByText(`Saved, version ${version}`, { exact: true }).waitFor();
}
const row = (page: Page, version: number) => page.getByRole("listitem").filter({ hasText: new RegExp(`^Version ${version}(?!\\d)`) });

for (const size of ["desk", "phone"] as const) {
  for (const light of ["light", "dark"] as const) {
    describe(`history, ${size}, ${light}`, () => {
      test("an older version is named, compared, gone to, and what came after it stays", async () => {
        const { page, context, complaints } = await visit(house, size, light);
        await page.getByRole("button", { name: /^Start from Dining room of a rowing club/ }).click();
        await page.locator(".board .cover .band.whole").waitFor();
        await save(page, "18", 2);
        await save(page, "19", 3);
        await page.getByRole("link", { name: "History", exact: true }).click();
        await page.getByRole("heading", { name: /: history$/ }).waitFor();
        await row(page, 1).waitFor();
        assert.equal(await page.locator(".versions > li").count(), 3);
        assert.match((await row(page, 3).textContent()) ?? "", /as the job stands/);
        assert.match((await row(page, 1).textContent()) ?? "", /the first/);

        await row(page, 2).getByRole("button", { name: /^Name/ }).click();
        await page.getByLabel("Name of version 2").fill("as measured");
        await page.keyboard.press("Enter");
        await page.getByText("Version 2 is called as measured.").waitFor();
        await row(page, 2).getByText("as measured").waitFor();

        await row(page, 2).getByRole("button", { name: /^What differs/ }).click();
        const differing = row(page, 2).getByRole("row", { name: /, frame, front/ });
        await differing.waitFor();
        assert.deepEqual(await differing.getByRole("cell").allTextContents(), ["18", "19"]);
        await picture(page, `${size}-${light}-history`);
        await accessible(page, "history");
        await roomy(page, "history");

        await row(page, 2).getByRole("button", { name: /^Go to/ }).click();
        await page.getByText("Saved, version 2", { exact: true }).waitFor();
        await page.getByRole("link", { name: "Seats", exact: true }).click();
        assert.equal(await front(page).inputValue(), "18");
        await save(page, "20", 4);
        await page.getByRole("link", { name: "History", exact: true }).click();
        await row(page, 4).waitFor();
        assert.match((await row(page, 4).textContent()) ?? "", /made from version 2/);
        assert.equal(await row(page, 3).count(), 1, "the branch that was left is there");
        await picture(page, `${size}-${light}-history-branch`);
        await accessible(page, "a branch");
        await page.getByRole("button", { name: "Undo" }).click();
        await page.getByText("Saved, version 2", { exact: true }).waitFor();
        await row(page, 2).getByText("as the job stands").waitFor();
        assert.deepEqual(complaints, []);
        await context.close();
      });
    });
  }
}

test("a name that cannot be is refused in the server's words", async () => {
  const { page, context } = await visit(house, "desk");
  await page.getByRole("button", { name: /^Start from Bar stools/ }).click();
  await page.locator(".board .cover .band.whole").waitFor();
  await page.getByRole("link", { name: "History", exact: true }).click();
  await row(page, 1).getByRole("button", { name: /^Name/ }).click();
  await page.getByLabel("Name of version 1").fill("ü".repeat(60));
  await page.keyboard.press("Enter");
  await page.getByRole("status").filter({ hasText: "80" }).waitFor();
  await context.close();
});
