// Papers and the page of the bench in a real browser, at a desk and on a phone, with and without a
// network.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import type { Page } from "playwright-core";
import { accessible, ask, asJson, eventually, openHouse, picture, roomy, SIZES, visit, type House, type Size } from "./visiting";

const source = process.env["SEATWRIGHT_SOURCE"] ?? ".";
const club = readFileSync(join(source, "examples/rowing-club.json"), "utf8");

let house: House;
before(async () => { house = await openHouse(); });
after(async () => { await house?.close(); });

interface Ticked {
  readonly ticks: readonly { readonly step: string; readonly done: boolean }[];
}

async function begin(): Promise<number> {
  return (await ask<{ id: number }>(house, "/api/jobs", { method: "POST", ...asJson(club) })).id;
}
const doneOf = async (job: number): Promise<number> =>
  (await ask<Ticked>(house, `/api/jobs/${job}/ticks`)).ticks.filter((one) => one.done).length;

/** Keeps the layout that counts without its first cover. */
async function keepFewer(job: number): Promise<void> {
  type Placed = { cover: string; hide: string; x_mm: number; y_mm: number; turn_deg: number };
  const { laid } = await ask<{ laid: { placements: Placed[] } }>(house, `/api/jobs/${job}/layout`);
  const placements = laid.placements.slice(1).map(({ cover, hide, x_mm, y_mm, turn_deg }) => ({ cover: cover.replace(/-?\d+$/, ""), hide, x_mm, y_mm, turn_deg }));
  const kept = await ask<{ layout?: number; problems?: unknown }>(house, `/api/jobs/${job}/layouts`, { method: "POST", ...asJson(JSON.stringify({ placements })) });
  assert.ok(kept.layout, JSON.stringify(kept));
}

const count = async (page: Page): Promise<string> => (await page.locator(".standing .count").innerText()).replaceAll(/\s+/g, " ");
async function atStep(page: Page, number: number): Promise<void> {
  await page.locator(".standing .count", { hasText: new RegExp(`^${number} of `) }).waitFor({ timeout: 60000 });
}

async function openBench(page: Page, job: number): Promise<void> {
  await page.goto(`${house.server.address}/#/jobs/${job}/at-the-bench`);
  await page.locator(".standing .count").waitFor({ timeout: 120000 });
  await page.getByText("All ticks are in the workshop file.").waitFor({ timeout: 60000 });
}

for (const size of Object.keys(SIZES) as Size[]) {
  describe(`papers, ${size}`, () => {
    test("every page is seen, on the paper that is chosen, and taken along", async () => {
      const job = await begin();
      const { page, context, complaints } = await visit(house, size);
      await page.goto(`${house.server.address}/#/jobs/${job}/papers`);
      await page.getByRole("heading", { name: "Pages", exact: true }).waitFor({ timeout: 120000 });
      const letter = await page.locator(".leaf").count();
      await page.getByText(`${letter} pages on Letter`).waitFor();
      const first = page.locator(".leaf img").first();
      await first.evaluate((image: HTMLImageElement) => image.decode());
      assert.ok(await first.evaluate((image: HTMLImageElement) => image.naturalWidth > 0), "the page is drawn");
      const last = page.locator(".leaf img").last();
      assert.equal(await last.evaluate((image: HTMLImageElement) => image.complete && image.naturalWidth > 0), false, "what is out of sight is not asked for");
      await picture(page, `${size}-papers`);
      await accessible(page, "papers");
      await roomy(page, "papers");

      // Large, by mouse and by keys.
      await page.locator(".leaf").nth(2).click();
      const dialog = page.getByRole("dialog");
      await dialog.getByRole("heading", { name: `Page 3 of ${letter}: Chalk map, grain side` }).waitFor();
      await dialog.getByRole("button", { name: "Larger" }).click();
      assert.equal(await dialog.locator("img").getAttribute("data-zoom"), "1.50");
      const wide = await dialog.locator("img").evaluate((image) => image.getBoundingClientRect().width);
      const lens = await dialog.locator(".lens").evaluate((one) => one.clientWidth);
      assert.ok(Math.abs(wide - 1.5 * lens) < 3, `${wide} of ${lens}`);
      await picture(page, `${size}-papers-zoom`);
      await accessible(page, "a page, larger");
      await roomy(page, "a page, larger");
      await page.keyboard.press("PageDown");
      await dialog.getByRole("heading", { name: /Page 4 of/ }).waitFor();
      await page.keyboard.press("Escape");
      await dialog.waitFor({ state: "detached" });

      // The very files of the command.
      const folder = mkdtempSync(join(tmpdir(), "seatwright-papers-"));
      writeFileSync(join(folder, "club.json"), club);
      const today = new Date();
      const date = [today.getFullYear(), today.getMonth() + 1, today.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
      execFileSync(process.env["SEATWRIGHT"] ?? "build-test/seatwright", ["pack", join(folder, "club.json"), "--out", join(folder, "out"), "--date", date, "--paper", "A4"]);
      await page.getByLabel("Paper").selectOption("A4");
      await page.getByText(/pages on A4/).waitFor({ timeout: 120000 });
      const [pdf] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: "Download the pack" }).click()]);
      assert.equal(pdf.suggestedFilename(), "pack.pdf");
      assert.deepEqual(readFileSync(await pdf.path()), readFileSync(join(folder, "out/pack.pdf")), "the PDF of the command");
      await page.getByText("Files for plotters, cutting machines and other programs").click();
      const [dxf] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: "cover-A.dxf" }).click()]);
      assert.deepEqual(readFileSync(await dxf.path()), readFileSync(join(folder, "out/cover-A.dxf")), "the DXF of the command");
      await picture(page, `${size}-papers-files`);
      await roomy(page, "files");
      await accessible(page, "files");
      const print = page.getByRole("link", { name: "Open to print" });
      const answer = await fetch(new URL((await print.getAttribute("href")) ?? "", house.server.address));
      assert.match(answer.headers.get("content-disposition") ?? "", /^inline/);
      assert.equal(answer.headers.get("content-type"), "application/pdf");
      rmSync(folder, { recursive: true });

      // What is laid otherwise meanwhile is printed otherwise.
      await keepFewer(job);
      await page.goto(`${house.server.address}/#/jobs/${job}/seats`);
      await page.locator("#at-seats-0--frame-front").waitFor();
      await page.goto(`${house.server.address}/#/jobs/${job}/papers`);
      await page.getByText("1 cover has no place on the hides").waitFor({ timeout: 120000 });
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("a job without a hide says why there are none, and a slow one can be stopped", async () => {
      const bare = JSON.stringify({ seatwright: 1, name: "Bare", units: "mm", seats: [] });
      const { id } = await ask<{ id: number }>(house, "/api/jobs", { method: "POST", ...asJson(bare) });
      const { page, context } = await visit(house, size);
      await page.goto(`${house.server.address}/#/jobs/${id}/papers`);
      await page.getByRole("heading", { name: "There are no papers" }).waitFor({ timeout: 60000 });
      await accessible(page, "no papers");
      const slow = JSON.parse(club) as { search?: { work?: number } };
      slow.search = { ...slow.search, work: 100 };
      const long = (await ask<{ id: number }>(house, "/api/jobs", { method: "POST", ...asJson(JSON.stringify(slow)) })).id;
      await page.goto(`${house.server.address}/#/jobs/${long}/papers`);
      await page.getByRole("button", { name: "Stop" }).waitFor({ timeout: 60000 });
      await picture(page, `${size}-papers-progress`);
      await accessible(page, "papers in the making");
      await page.getByRole("button", { name: "Stop" }).click();
      await page.getByText(/^Stopped\.|^stopped/).first().waitFor({ timeout: 60000 });
      await context.close();
    });

    test("a job goes to another machine as a file and back", async () => {
      const job = await begin();
      const other = await openHouse();
      const { page, context } = await visit(house, size);
      await page.locator(".card").first().waitFor();
      const [file] = await Promise.all([page.waitForEvent("download"), page.locator(`a[href="/api/jobs/${job}/export"]`).click()]);
      assert.equal(file.suggestedFilename(), "Dining-room-of-a-rowing-club.seatwright");
      const path = await file.path();
      const there = await visit(other, size);
      const input = there.page.getByLabel("Take in a file");
      await input.setInputFiles(path);
      await there.page.getByText(/^New here: 1 job/).waitFor({ timeout: 60000 });
      await there.page.locator("section[aria-labelledby=jobs] .card .name", { hasText: "Dining room of a rowing club" }).waitFor();
      await input.setInputFiles(path);
      await there.page.getByText("Everything in it was here already.").waitFor({ timeout: 60000 });
      await input.setInputFiles({ name: "photo.seatwright", mimeType: "image/jpeg", buffer: Buffer.from("no workshop file at all") });
      await there.page.getByText(/photo.seatwright was not taken in, and nothing is changed/).waitFor({ timeout: 60000 });
      await there.page.locator("#exchange").scrollIntoViewIfNeeded();
      await picture(there.page, `${size}-exchange`);
      await accessible(there.page, "exchange");
      await roomy(there.page, "exchange");
      await there.context.close();
      await other.close();
      await context.close();
    });
  });

  describe(`at the bench, ${size}`, () => {
    test("one step after the other, ticked, swiped, and where one was", async () => {
      const job = await begin();
      const { page, context, complaints } = await visit(house, size);
      await openBench(page, job);
      const steps = (await ask<{ steps: { part: string; kind: string; say: string }[] }>(house, `/api/jobs/${job}/bench`)).steps;
      assert.equal(await count(page), `1 of ${steps.length} steps`);
      await page.getByRole("heading", { name: "Before the first cut" }).waitFor();
      await page.getByText(steps[0]?.say ?? "?").waitFor();
      await picture(page, `${size}-bench-check`);
      await page.getByRole("button", { name: "Tick" }).click();
      await atStep(page, 2);
      await eventually(() => "the tick is told", async () => (await doneOf(job)) === 1);
      await page.getByRole("button", { name: "Back" }).click();
      await page.getByRole("button", { name: "✓ Done" }).click();
      await eventually(() => "it is taken back", async () => (await doneOf(job)) === 0);
      await page.keyboard.press("ArrowRight");
      await atStep(page, 2);
      const swipe = async (from: number, to: number): Promise<void> => page.evaluate(([x, toX]) => {
        const place = document.querySelector(".swipe");
        const touch = (clientX: number): Touch => new Touch({ identifier: 1, target: place ?? document.body, clientX, clientY: 300 });
        place?.dispatchEvent(new TouchEvent("touchstart", { bubbles: true, touches: [touch(x)], changedTouches: [touch(x)] }));
        place?.dispatchEvent(new TouchEvent("touchend", { bubbles: true, touches: [], changedTouches: [touch(toX)] }));
      }, [from, to] as const);
      await swipe(300, 100);
      await atStep(page, 3);
      await swipe(100, 300);
      await atStep(page, 2);
      await swipe(100, 130);
      await atStep(page, 2);

      // A mark: large readings and its place on the cover.
      await page.getByText("All parts of the work").click();
      await page.locator(".parts-of-work button", { hasText: /^B\b|^A1\b|^[A-Z]\d?:/ }).first().click();
      await page.locator(".readings dd").first().waitFor();
      const letters = await page.locator(".readings dd").first().evaluate((one) => parseFloat(getComputedStyle(one).fontSize));
      assert.ok(letters >= 40, `readings are ${letters} px`);
      assert.equal(await page.locator(".place .here").count(), 1);
      await page.getByText("All parts of the work").click();
      await page.getByRole("button", { name: "Next" }).click(); // and the page is where a step is read
      await page.getByRole("button", { name: "Back" }).click();
      const seen = await page.locator(".place").boundingBox();
      const hands = await page.locator(".hands").boundingBox();
      assert.ok(seen && hands && seen.y >= 0 && seen.y + seen.height <= hands.y + 1, "the whole drawing is seen above the hands");
      await picture(page, `${size}-bench-mark`);
      await accessible(page, "a mark");
      await roomy(page, "a mark");
      const there = await count(page);
      await page.reload();
      await page.locator(".standing .count").waitFor({ timeout: 60000 });
      assert.equal(await count(page), there, "it remembers where one was");
      await page.getByText("All parts of the work").click();
      await roomy(page, "all parts");
      await page.getByRole("button", { name: /^Cutting, butt first/ }).click();
      await page.getByText("All parts of the work").click();
      await page.getByText(/^Cut 1 of 8: /).waitFor();
      await page.getByRole("button", { name: "Next" }).click();
      await page.getByRole("button", { name: "Back" }).click();
      await picture(page, `${size}-bench-cut`);
      await accessible(page, "a cut");
      await page.getByText("All parts of the work").click();
      await page.getByRole("button", { name: /^Fastening A/ }).click();
      await page.getByText("All parts of the work").click();
      await page.getByRole("button", { name: "Next" }).click();
      await picture(page, `${size}-bench-fasten`);
      await accessible(page, "fastening");
      await page.emulateMedia({ colorScheme: "dark" });
      await accessible(page, "fastening in the dark");
      await picture(page, `${size}-bench-dark`);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("without a network it goes on, even opened anew, and tells its ticks later", async () => {
      const job = await begin();
      const { page, context } = await visit(house, size);
      await openBench(page, job);
      await page.evaluate(async () => { await navigator.serviceWorker.ready; });
      await page.reload(); // now the page comes by way of its keeper
      await page.getByText("All ticks are in the workshop file.").waitFor({ timeout: 60000 });
      await context.setOffline(true);
      await page.getByRole("button", { name: "Tick" }).click();
      await atStep(page, 2);
      const waiting = page.getByText(/^1 tick is kept on this (phone|browser), and will be told when the network is back\.$/);
      await waiting.waitFor({ timeout: 60000 });
      await picture(page, `${size}-bench-offline`);
      await accessible(page, "without a network");
      assert.equal(await doneOf(job), 0);
      await page.reload();
      await atStep(page, 2);
      await waiting.waitFor({ timeout: 60000 });
      await page.getByRole("button", { name: "Tick" }).click();
      await page.getByText(/^2 ticks are kept/).waitFor({ timeout: 60000 });
      // Meanwhile somebody at the desk ticks too.
      const steps = (await ask<{ steps: { step: string }[] }>(house, `/api/jobs/${job}/bench`)).steps;
      await ask(house, `/api/jobs/${job}/ticks`, { method: "POST", ...asJson(JSON.stringify({ ticks: [{ step: steps[4]?.step, done: true, ticked_ms: Date.now(), device: "desk" }] })) });
      await context.setOffline(false);
      await page.getByText("All ticks are in the workshop file.").waitFor({ timeout: 60000 });
      assert.equal(await doneOf(job), 3);
      await page.getByText("All parts of the work: 3 of").waitFor();
      await context.close();
    });

    test("when the job is changed at the desk, the steps here are the new ones", async () => {
      const job = await begin();
      const { page, context, complaints } = await visit(house, size);
      await openBench(page, job);
      await page.getByText("All ticks are in the workshop file.").waitFor({ timeout: 60000 });
      const first = await count(page);
      const document = await ask<{ seats: { count: number }[] }>(house, `/api/jobs/${job}/document`);
      (document.seats[0] as { count: number }).count--;
      await ask(house, `/api/jobs/${job}/document`, { method: "PUT", ...asJson(JSON.stringify(document), { "If-Match": '"1"' }) });
      await page.evaluate(() => dispatchEvent(new Event("online")));
      await eventually(() => "the steps are new", async () => (await count(page)) !== first);
      const fresh = (await ask<{ steps: unknown[] }>(house, `/api/jobs/${job}/bench`)).steps.length;
      assert.equal(await count(page), `1 of ${fresh} steps`);
      // A tick is enough to learn of it, too.
      (document.seats[0] as { count: number }).count++;
      await ask(house, `/api/jobs/${job}/document`, { method: "PUT", ...asJson(JSON.stringify(document), { "If-Match": '"2"' }) });
      await page.getByRole("button", { name: "Tick" }).click();
      await eventually(() => "the steps are those of before", async () => (await count(page)).endsWith(first.slice(1)));
      // And when the covers are laid elsewhere, which is said once something was marked.
      const bench = await ask<{ steps: { step: string; kind: string }[] }>(house, `/api/jobs/${job}/bench`);
      const mark = bench.steps.find((one) => one.kind === "mark")?.step;
      await ask(house, `/api/jobs/${job}/ticks`, { method: "POST", ...asJson(JSON.stringify({ ticks: [{ step: mark, done: true, ticked_ms: Date.now(), device: "desk" }] })) });
      await page.getByRole("button", { name: "Tick" }).click();
      await page.getByText("All parts of the work: 3 of").waitFor();
      await keepFewer(job);
      await page.getByRole("button", { name: "Tick" }).click();
      await page.getByText("The layout was changed since marks or cuts were ticked here.").waitFor();
      await picture(page, `${size}-bench-moved`);
      await accessible(page, "the layout was changed");
      await page.getByRole("button", { name: "I have looked" }).click();
      await page.getByText("The layout was changed").waitFor({ state: "detached" });
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("a server that ends and comes back is told, without a keeper too", async () => {
      const own = await openHouse();
      const { id } = await ask<{ id: number }>(own, "/api/jobs", { method: "POST", ...asJson(club) });
      const { page, context } = await visit(own, size);
      await page.addInitScript(() => { Object.defineProperty(navigator, "serviceWorker", { value: undefined }); });
      await page.goto(`${own.server.address}/#/jobs/${id}/at-the-bench`);
      await page.reload();
      await page.getByText("All ticks are in the workshop file.").waitFor({ timeout: 120000 });
      await page.route("**/api/**", (route) => route.abort());
      await page.getByRole("button", { name: "Tick" }).click();
      await page.getByText(/^1 tick is kept/).waitFor({ timeout: 60000 });
      await page.evaluate(() => { Storage.prototype.setItem = () => { throw new DOMException("full", "QuotaExceededError"); }; });
      await page.getByRole("button", { name: "Tick" }).click();
      await page.getByText(/^2 ticks are in this page only, as this (phone|browser) has no room, and will be told/).waitFor({ timeout: 60000 });
      await page.unroute("**/api/**");
      await page.getByText("All ticks are in the workshop file.").waitFor({ timeout: 60000 });
      assert.equal((await ask<Ticked>(own, `/api/jobs/${id}/ticks`)).ticks.length, 2);
      await context.close();
      await own.close();
    });
  });
}
