// Leather and buying in a real browser: the household's questions, the answer that sharpens, a
// stop, offers written down and compared, the list to print.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import type { Page } from "playwright-core";
import { accessible, ask, asJson, openHouse, picture, pictures, roomy, visit, type House, type Size, type Visit } from "./visiting";

const source = process.env["SEATWRIGHT_SOURCE"] ?? ".";
const FOOTSTOOL = readFileSync(join(source, "tests/golden/offers/footstool.json"), "utf8"); // one cover, six offers
const CLUB = readFileSync(join(source, "examples/rowing-club.json"), "utf8");
const LONG_MS = 300_000; // trials on a busy machine

interface Result {
  readonly advice: string;
  readonly stopped: boolean;
  readonly trials: number;
  readonly curve: readonly { readonly area_mm2: number }[];
  readonly rules: readonly unknown[];
  readonly offers: { readonly advice: string; readonly ranking: readonly { readonly offer: string }[] } | null;
}
interface Offer {
  readonly name?: string;
  readonly price?: unknown;
  readonly area?: unknown;
  readonly shipping?: unknown;
}
interface Told {
  readonly problems: readonly { readonly where: string; readonly found: string; readonly allowed: string }[];
}

let house: House;
before(async () => {
  house = await openHouse();
});
after(() => house.close());

async function open(size: Size, job: string, light: "light" | "dark" = "light"): Promise<Visit & { readonly id: number }> {
  const { id } = await ask<{ id: number }>(house, "/api/jobs", { method: "POST", ...asJson(job) });
  const here = await visit(house, size, light, `${house.server.address}/#/jobs/${id}/leather`);
  await here.page.getByRole("heading", { name: "Which leather" }).waitFor();
  return { ...here, id };
}

const documentOf = (id: number): Promise<{ offers: Offer[]; household?: Record<string, string>; leather?: Record<string, unknown> }> =>
  ask(house, `/api/jobs/${id}/document`);
const lastWork = async (id: number): Promise<{ work: number; state: string }> => {
  const { works } = await ask<{ works: { work: number; job: number; state: string }[] }>(house, "/api/work");
  const found = works.find((one) => one.job === id);
  assert.ok(found, "the server works on it");
  return found;
};
const resultOf = async (id: number): Promise<Result> => ask<Result>(house, `/api/work/${(await lastWork(id)).work}/result`);
const panel = (page: Page, name: string) => page.getByRole("region", { name, exact: true });

async function tried(page: Page): Promise<void> {
  await page.getByRole("button", { name: /^Try (how much|again)$/ }).click();
  await page.locator(".chart").waitFor({ timeout: LONG_MS });
  await page.locator(".howfar").waitFor({ state: "detached", timeout: LONG_MS });
}

for (const size of ["desk", "phone"] as const) {
  describe(`leather and buying, ${size}`, () => {
    test("the advice follows the answers, and is that of the program", async () => {
      const { page, context, complaints, id } = await open(size, CLUB);
      const answer = panel(page, "Which leather").locator(".answer");
      const before = await answer.textContent();
      await page.locator("#at-household-sun").selectOption("daily");
      await page.locator("#at-household-pets").selectOption("daily");
      await page.getByText("Saved, version 2", { exact: true }).waitFor();
      assert.deepEqual((await documentOf(id)).household?.["sun"], "daily");
      const { advised, reasons, ask: list } = await ask<{ advised: { text: string }; reasons: { when: string }[]; ask: { property: string }[] }>(
        house, `/api/jobs/${id}/advice`);
      assert.notEqual(before, advised.text, "it is another leather");
      await page.waitForFunction((text) => document.querySelector("[aria-labelledby=advice] .answer")?.textContent === text, advised.text);
      assert.ok(reasons.length > 0 && list.length > 0);
      for (const { when } of reasons) assert.ok(await panel(page, "Which leather").getByRole("rowheader", { name: when }).count() > 0, when);
      assert.equal(await panel(page, "What to ask the seller for").locator("ul").first().locator("li").count(), list.length);
      assert.equal(await panel(page, "How thick it may be").getByRole("rowheader").count(), 3);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("a mistake is told beside its field in the words of check", async () => {
      const { page, context, id } = await open(size, CLUB);
      const thickness = page.locator("#at-leather-thickness");
      await thickness.fill("99");
      const told = page.locator("#at-leather-thickness-problems");
      await told.waitFor();
      const draft = await documentOf(id);
      const { problems } = await ask<Told>(house, "/api/check", {
        method: "POST", ...asJson(JSON.stringify({ ...draft, leather: { ...draft.leather, thickness: 99 } })),
      });
      const expected = problems.find((one) => one.where === "leather.thickness");
      const text = (await told.textContent()) ?? "";
      for (const part of [expected?.found, expected?.allowed]) assert.ok(part !== undefined && text.includes(part), text);
      await panel(page, "Which leather").getByText("As it was before the mistakes.").waitFor();
      assert.ok(await page.getByRole("button", { name: "Try how much" }).isDisabled());
      await picture(page, `${size}-leather-mistake`);
      await accessible(page, "a mistake");
      await thickness.fill("2 3/4");
      await told.waitFor({ state: "detached" });
      await context.close();
    });

    test("the answer sharpens, is that of the program, and is read off by hand", async () => {
      const { page, context, complaints, id } = await open(size, FOOTSTOOL);
      await page.locator("#buy-form").selectOption("side");
      await page.locator("#buy-pieces").selectOption("1");
      await page.locator("#buy-precision").selectOption("10");
      await page.locator(".asking input[type=range]").fill("80");
      await page.evaluate(() => {
        const seen: string[] = [];
        (window as unknown as { curves: string[] }).curves = seen;
        new MutationObserver(() => {
          const path = document.querySelector(".plot .curve")?.getAttribute("d");
          if (path && seen[seen.length - 1] !== path) seen.push(path);
        }).observe(document.body, { subtree: true, childList: true, attributes: true, attributeFilter: ["d"] });
      });
      await tried(page);
      assert.equal((await documentOf(id)).leather?.["comfort"], 0.8, "how sure is kept in the job");
      const result = await resultOf(id);
      const much = panel(page, "How much to ask for");
      assert.equal(await much.locator(".answer").textContent(), result.advice);
      const curves = await page.evaluate(() => (window as unknown as { curves: string[] }).curves.length);
      assert.ok(curves >= 2, `the curve was drawn ${curves} times`);
      assert.equal(await much.getByRole("region", { name: "Usual rules" }).locator("tbody tr").count(), result.rules.length);
      // By keyboard along the curve.
      const reader = page.getByRole("slider", { name: "Area of each" });
      await reader.focus();
      await page.keyboard.press("Home");
      const first = await reader.getAttribute("aria-valuetext");
      assert.match(first ?? "", /ft²: enough \d+ times in 100, 95 in 100 sure: \d+ to \d+/);
      await page.keyboard.press("End");
      assert.equal(await reader.getAttribute("aria-valuenow"), String(result.curve.length - 1));
      await page.keyboard.press("ArrowLeft");
      const read = await reader.getAttribute("aria-valuetext");
      assert.notEqual(read, first);
      assert.equal(await page.locator("p.reading").textContent(), `${read}.`);
      // By pointer.
      const box = await reader.boundingBox();
      assert.ok(box);
      await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
      await page.waitForFunction((old) => document.querySelector("p.reading")?.textContent !== `${old}.`, read);
      await page.getByText("The chances as a table").click();
      assert.ok(await page.getByRole("region", { name: "Chances" }).getByRole("rowheader").count() >= 5);
      // Offers, the best first.
      const offers = panel(page, "Offers");
      assert.equal(await offers.locator(".answer").textContent(), result.offers?.advice);
      const ranked = await offers.getByRole("region", { name: "Offers compared" }).locator("tbody th").allTextContents();
      assert.deepEqual(ranked.map((one) => one.replace(/^\d+ /, "")), result.offers?.ranking.map((one) => one.offer));
      await page.evaluate(() => document.querySelector(".chart")?.scrollIntoView());
      await picture(page, `${size}-leather-answer`);
      await accessible(page, "an answer");
      await roomy(page, "an answer");
      // In the other units, and found again after reloading.
      await page.getByLabel("Units").selectOption("mm");
      await page.waitForFunction(() => /m²: enough/.test(document.querySelector("p.reading")?.textContent ?? ""));
      await page.reload();
      await page.locator(".chart").waitFor();
      assert.equal(await much.locator(".answer").textContent(), result.advice);
      // A job that has changed since.
      await page.locator("#at-household-sun").selectOption("daily");
      await page.getByText(/This is of version \d+; the job has changed since/).waitFor();
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("a stop keeps what is known, and says how sure that is", async () => {
      const { page, context, id } = await open(size, CLUB);
      await page.locator("#buy-pieces").selectOption("2");
      await page.locator("#buy-precision").selectOption("2");
      await page.getByRole("button", { name: "Try how much" }).click();
      await page.locator(".chart").waitFor({ timeout: LONG_MS });
      assert.ok(await page.getByRole("button", { name: "What single change would save most?" }).isDisabled(), "one thing at a time");
      await picture(page, `${size}-leather-trying`);
      await accessible(page, "while it is tried");
      await page.getByRole("button", { name: "Stop, keep what is known" }).click();
      await page.getByText(/^Stopped before the answer was as near as wanted/).waitFor({ timeout: LONG_MS });
      const result = await resultOf(id);
      assert.ok(result.stopped && result.trials > 0);
      assert.equal(await panel(page, "How much to ask for").locator(".answer").textContent(), result.advice);
      assert.equal(await page.locator(".howfar").count(), 0);
      await context.close();
    });

    test("what would save, and one hide or several", async () => {
      const { page, context, complaints } = await open(size, FOOTSTOOL);
      const much = panel(page, "How much to ask for");
      await page.locator("#buy-form").selectOption("side");
      await page.locator("#buy-precision").selectOption("10");
      await much.getByRole("button", { name: "One hide, or several?" }).click();
      await much.getByRole("heading", { name: "One hide, or several" }).waitFor();
      await much.locator(".found .answer").waitFor({ timeout: LONG_MS });
      await page.locator(".howfar").waitFor({ state: "detached", timeout: LONG_MS });
      await much.getByRole("button", { name: "What single change would save most?" }).click();
      await much.locator("table.savings").or(much.getByText("No single change was seen")).first().waitFor({ timeout: LONG_MS, state: "attached" });
      await picture(page, `${size}-leather-savings`);
      await accessible(page, "savings");
      await roomy(page, "savings");
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("an offer is written down, told what it lacks, and taken away", async () => {
      const { page, context, complaints, id } = await open(size, FOOTSTOOL);
      const count = (await documentOf(id)).offers.length;
      await page.getByRole("button", { name: "Add an offer" }).click();
      const field = (name: string) => page.locator(`#at-offers-${count}--${name}`);
      await field("price").waitFor();
      const told = page.locator(`#at-offers-${count}--price-problems`);
      await told.waitFor();
      await field("name").fill("the loft by the mill");
      await field("price").fill("6.25");
      await field("area").fill("4,5-5");
      const wrong = page.locator(`#at-offers-${count}--area-problems`);
      await field("area").fill("x");
      await wrong.waitFor();
      assert.equal(await field("area").getAttribute("aria-invalid"), "true");
      await field("area").fill("4.5-5");
      await wrong.waitFor({ state: "detached" });
      await told.waitFor({ state: "detached" });
      await page.getByText("Shipping, tax, the trip, returns").nth(count).click();
      await page.locator(`#at-offers-${count}--shipping-flat`).fill("9");
      await field("name").focus();
      await page.getByText(/^Saved, version \d+$/).waitFor();
      await page.waitForFunction(async (address) => ((await (await fetch(address)).json()) as { offers: { shipping?: { flat?: number } }[] })
        .offers.some((one) => one.shipping?.flat === 9), `${house.server.address}/api/jobs/${id}/document`);
      const written = (await documentOf(id)).offers[count];
      assert.equal(written?.name, "the loft by the mill");
      assert.equal(written?.price, 6.25);
      assert.equal(written?.area, "4.5-5");
      await picture(page, `${size}-leather-offer`);
      await accessible(page, "an offer");
      await roomy(page, "an offer");
      await page.getByRole("button", { name: /^Take this offer away – the loft by the mill$/ }).click();
      await field("price").waitFor({ state: "detached" });
      assert.equal(await page.locator(".offers > details").count(), count);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    for (const light of ["light", "dark"] as const) {
      test(`the page is accessible and roomy, ${light}, and prints its list`, async () => {
        const { page, context, complaints } = await open(size, CLUB, light);
        await page.locator(".offers > details summary").first().click();
        await page.evaluate(() => document.querySelectorAll("details").forEach((one) => one.setAttribute("open", "")));
        await page.evaluate(() => scrollTo(0, 0));
        await picture(page, `${size}-${light}-leather`);
        if (pictures) await page.screenshot({ path: join(pictures, `${size}-${light}-leather-full.png`), fullPage: true });
        await accessible(page, "leather");
        await roomy(page, "leather");
        await page.emulateMedia({ media: "print" });
        assert.ok(await page.locator(".checklist .box").first().isVisible(), "boxes to tick are printed");
        assert.equal(await page.locator(".offers").isVisible(), false, "forms are not");
        assert.equal(await page.getByRole("button", { name: "Print this page" }).isVisible(), false);
        assert.deepEqual(complaints, []);
        await context.close();
      });
    }
  });
}
