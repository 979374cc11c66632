// The layout page in a real browser: a search that begins by itself, covers moved by hand and by
// keys, and what a person is told of it.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import type { Page } from "playwright-core";
import { accessible, ask, asJson, openHouse, picture, pictures, roomy, visit, type House } from "./visiting";

const source = process.env["SEATWRIGHT_SOURCE"] ?? ".";
const EXAMPLE = JSON.parse(readFileSync(join(source, "examples/rowing-club.json"), "utf8")) as {
  name: string; seats: { count: number }[]; hides: { name: string }[]; search?: object;
};

let house: House;
before(async () => {
  house = await openHouse();
});
after(async () => {
  await house.close();
});

async function begin(change: (job: typeof EXAMPLE) => void = () => undefined): Promise<number> {
  const job = structuredClone(EXAMPLE);
  job.search = { work: 0.3 };
  change(job);
  return (await ask<{ id: number }>(house, "/api/jobs", { method: "POST", ...asJson(JSON.stringify(job)) })).id;
}

async function open(page: Page, job: number): Promise<void> {
  await page.goto(`${house.server.address}/#/jobs/${job}/layout`);
}
const rests = (page: Page, words: string | RegExp): Promise<void> => page.locator(".standing", { hasText: words }).waitFor({ timeout: 90_000 });
const placeOf = async (page: Page, index: number): Promise<string | null> => page.locator(`.piece[data-index="${index}"] > g`).first().getAttribute("transform");
const pieces = (page: Page) => page.locator(".table > svg.hide:not(.carried) .piece");

async function middle(page: Page, index: number): Promise<{ x: number; y: number }> {
  const box = await page.locator(`.table > svg:not(.carried) .piece[data-index="${index}"] .rim`).boundingBox();
  assert.ok(box);
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

async function drag(page: Page, index: number, dx: number, dy: number): Promise<void> {
  await page.locator(".table").scrollIntoViewIfNeeded();
  const { x, y } = await middle(page, index);
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + dx, y + dy, { steps: 6 });
}

for (const size of ["desk", "phone"] as const) {
  describe(`layout, ${size}`, () => {
    test("a search begins by itself, and what was found is there again after reloading", async () => {
      const { page, context, complaints } = await visit(house, size);
      await open(page, await begin());
      await rests(page, "All 8 covers lie where they may.");
      assert.equal(await pieces(page).count(), 8);
      const found = await placeOf(page, 0);
      await page.reload();
      await rests(page, "All 8 covers lie where they may.");
      assert.equal(await placeOf(page, 0), found);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("it improves while one looks, and stops on wish", async () => {
      const { page, context, complaints } = await visit(house, size);
      await open(page, await begin((job) => { job.search = { work: 200 }; }));
      await page.getByRole("button", { name: "Stop" }).waitFor();
      await page.waitForFunction(() => document.querySelectorAll(".table > svg:not(.carried) .piece").length >= 7, undefined, { timeout: 90_000 });
      await page.getByRole("button", { name: "Stop" }).click();
      await rests(page, /laid|lie where they may/);
      await page.getByRole("button", { name: "Go on looking" }).waitFor();
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("a cover that is locked while it searches stays locked, and the search ends", async () => {
      const { page, context, complaints } = await visit(house, size);
      await open(page, await begin((job) => { job.search = { work: 200 }; }));
      await page.waitForFunction(() => document.querySelectorAll(".table > svg:not(.carried) .piece").length >= 7, undefined, { timeout: 90_000 });
      await page.locator(".covers button").nth(0).click();
      await page.getByRole("button", { name: "Lock" }).click();
      await page.getByRole("button", { name: "Go on looking" }).waitFor();
      await rests(page, /laid|lie where they may/);
      await page.locator('.piece.locked[data-index="0"]').waitFor();
      const locked = await placeOf(page, 0);
      await page.waitForTimeout(500); // what the search still had to say
      assert.equal(await page.locator(".piece.locked").count(), 1);
      assert.equal(await placeOf(page, 0), locked);
      assert.equal(await page.getByRole("button", { name: "Stop" }).count(), 0);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("the hide is moved only while it is held, by one button", async () => {
      const { page, context, complaints } = await visit(house, size);
      await open(page, await begin());
      await rests(page, "All 8 covers lie where they may.");
      await page.locator(".table").scrollIntoViewIfNeeded();
      await page.getByRole("button", { name: "Nearer" }).click();
      const view = (): Promise<string | null> => page.locator(".table > svg.near").getAttribute("viewBox");
      const box = await page.locator(".table").boundingBox();
      assert.ok(box);
      const [x, y] = [box.x + box.width - 8, box.y + 8];
      const first = await view();
      await page.mouse.move(x, y);
      await page.mouse.down({ button: "middle" });
      await page.mouse.move(x - 20, y + 20);
      await page.mouse.up({ button: "middle" });
      assert.equal(await view(), first);
      await page.mouse.move(x, y);
      await page.mouse.down();
      await page.mouse.move(x - 20, y + 20);
      await page.mouse.move(x - 20, box.y - 20); // out of the board
      await page.mouse.up();
      const moved = await view();
      assert.notEqual(moved, first);
      await page.mouse.move(x - 40, y + 60);
      assert.equal(await view(), moved, "what is let go outside is let go");
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("a dragged cover is judged in words, snapped, and taken back", async () => {
      const { page, context, complaints } = await visit(house, size);
      await open(page, await begin());
      await rests(page, "All 8 covers lie where they may.");
      const before = await placeOf(page, 0);
      const [one, other] = [await middle(page, 0), await middle(page, 1)];
      await drag(page, 0, other.x - one.x, other.y - one.y);
      await page.locator(".tag.bad", { hasText: "overlaps" }).waitFor();
      assert.deepEqual(await page.locator(".table > svg.carried.on").evaluate((sheet) => {
        const look = getComputedStyle(sheet);
        return [look.backgroundColor, look.borderBlockWidth];
      }), ["rgba(0, 0, 0, 0)", "0px"], "the board is seen under the sheet that is carried");
      await picture(page, `${size}-layout-drag`);
      await page.mouse.up();
      await rests(page, /something is wrong/);
      assert.ok(await page.locator(".faults li", { hasText: "it overlaps" }).count() >= 2, "both are told");
      assert.ok(await page.locator(".table > svg:not(.carried) .piece.wrong .hit").count() > 0, "the band is hatched");
      await picture(page, `${size}-layout-wrong`);
      await accessible(page, "a layout with faults");
      await roomy(page, "a layout with faults");
      await page.getByRole("button", { name: "Take back" }).click();
      await rests(page, "All 8 covers lie where they may.");
      assert.equal(await placeOf(page, 0), before);
      await page.getByRole("button", { name: "Do again" }).click();
      await rests(page, /something is wrong/);
      await page.keyboard.press("ControlOrMeta+z");
      await rests(page, "All 8 covers lie where they may.");
      // A push of some pixels into a neighbour is snapped to where it touches.
      await drag(page, 0, 0, 8);
      await page.mouse.up();
      await page.getByText("It touches now.").waitFor({ state: "attached" });
      await rests(page, "All 8 covers lie where they may.");
      assert.deepEqual(complaints, []);
      await context.close();
    });

    if (size === "phone") {
      test("a finger carries and turns a cover, and the page stays where it is", async () => {
        const { page, context, complaints } = await visit(house, size);
        await open(page, await begin());
        await rests(page, "All 8 covers lie where they may.");
        await page.locator(".table").evaluate((one) => one.scrollIntoView({ block: "center" }));
        const finger = await context.newCDPSession(page);
        const touch = (type: "touchStart" | "touchMove" | "touchEnd", ...at: readonly { x: number; y: number }[]): Promise<unknown> =>
          finger.send("Input.dispatchTouchEvent", { type, touchPoints: [...at] });
        // Up and down is how a page is scrolled.
        const stroke = async (from: { x: number; y: number }): Promise<void> => {
          await touch("touchStart", from);
          for (let up = 10; up <= 60; up += 10) await touch("touchMove", { x: from.x, y: from.y - up });
          await touch("touchEnd");
        };
        const top = await page.evaluate(() => scrollY);
        assert.ok(top > 0 && top < await page.evaluate(() => document.documentElement.scrollHeight - innerHeight - 60), "it could be scrolled both ways");
        const before = await placeOf(page, 0);
        await stroke(await middle(page, 0));
        await page.waitForFunction((was) => document.querySelector('.piece[data-index="0"] > g')?.getAttribute("transform") !== was, before);
        assert.equal(await page.evaluate(() => scrollY), top);
        const turned = async (): Promise<string | undefined> => /rotate\(.*\)/.exec((await placeOf(page, 0)) ?? "")?.[0];
        const straight = await turned();
        const knob = await page.locator(".turner .knob").boundingBox();
        assert.ok(knob);
        await stroke({ x: knob.x + knob.width / 2, y: knob.y + knob.height / 2 });
        await page.waitForFunction((was) => !document.querySelector('.piece[data-index="0"] > g')?.getAttribute("transform")?.endsWith(was ?? ""), straight);
        assert.equal(await page.evaluate(() => scrollY), top);
        assert.deepEqual(complaints, []);
        await context.close();
      });

      test("two fingers apart look nearer, and together farther", async () => {
        const { page, context, complaints } = await visit(house, size);
        await open(page, await begin());
        await rests(page, "All 8 covers lie where they may.");
        await page.locator(".table").evaluate((one) => one.scrollIntoView({ block: "center" }));
        const wide = async (): Promise<number> => Number((await page.locator(".table > svg.hide:not(.carried)").first().getAttribute("viewBox"))?.split(" ")[2]);
        const table = await page.locator(".table").boundingBox();
        assert.ok(table);
        const finger = await context.newCDPSession(page);
        const [x, y] = [table.x + table.width / 2, table.y + 24]; // where no cover is
        const pinch = async (from: number, to: number): Promise<void> => {
          const at = (apart: number) => [{ x: x - apart, y, id: 0 }, { x: x + apart, y, id: 1 }];
          await finger.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: at(from) });
          for (let i = 1; i <= 5; i++) await finger.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: at(from + ((to - from) * i) / 5) });
          await finger.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
        };
        const before = await wide();
        await pinch(30, 60);
        await page.waitForFunction((was) => Number(document.querySelector(".table > svg.hide:not(.carried)")?.getAttribute("viewBox")?.split(" ")[2]) < was * 0.7, before);
        const near = await wide();
        await pinch(60, 40);
        await page.waitForFunction((was) => Number(document.querySelector(".table > svg.hide:not(.carried)")?.getAttribute("viewBox")?.split(" ")[2]) > was * 1.2, near);
        assert.deepEqual(complaints, []);
        await context.close();
      });
    }

    test("by keyboard alone: choose, move, turn, lock, snap", async () => {
      const { page, context, complaints } = await visit(house, size);
      await open(page, await begin());
      await rests(page, "All 8 covers lie where they may.");
      const board = page.getByRole("application");
      await board.focus();
      await page.keyboard.press("PageDown");
      const before = await placeOf(page, 0);
      await page.keyboard.press("Shift+ArrowRight");
      await page.waitForFunction((old) => document.querySelector('.piece[data-index="0"] > g')?.getAttribute("transform") !== old, before);
      const [, x] = /translate\(([-\d.]+)/.exec(before ?? "") ?? [];
      const [, now] = /translate\(([-\d.]+)/.exec((await placeOf(page, 0)) ?? "") ?? [];
      assert.ok(Math.abs(Number(now) - Number(x) - 10) < 1e-6, `${x} to ${now}`);
      await page.keyboard.press(".");
      await page.keyboard.press(",");
      await page.keyboard.press("Shift+ArrowLeft");
      await rests(page, /lie where they may|something is wrong/);
      await page.keyboard.press("l");
      await page.locator('.piece.locked[data-index="0"]').waitFor();
      const locked = await placeOf(page, 0);
      await page.keyboard.press("ArrowUp");
      assert.equal(await placeOf(page, 0), locked);
      await page.getByText("It is locked.", { exact: true }).waitFor({ state: "attached" });
      await page.keyboard.press("s");
      await page.waitForTimeout(300);
      assert.equal(await placeOf(page, 0), locked, "it is not snapped");
      // A search leaves it where it is.
      await page.getByRole("button", { name: "Go on looking" }).click();
      await rests(page, "All 8 covers lie where they may.");
      const all = await page.locator(".table > svg:not(.carried) .piece > g").evaluateAll((list) => list.map((one) => one.getAttribute("transform")));
      const near = (text: string | null): string => (text ?? "").replace(/[-\d.]+/g, (number) => Number(number).toFixed(6));
      assert.ok(all.map(near).includes(near(locked)), "what is locked stays");
      await page.keyboard.press("Escape");
      // Who goes away at once after a step finds it made.
      await page.locator(".table > svg.hide").first().focus();
      for (let i = 0; i < 8; i++) {
        await page.keyboard.press("PageDown");
        if (await page.locator(".piece.chosen:not(.locked)").count() > 0) break;
      }
      const mine = await page.locator(".piece.chosen").first().getAttribute("data-index");
      const where = await placeOf(page, Number(mine));
      await page.keyboard.press("ArrowUp");
      const stepped = await placeOf(page, Number(mine));
      assert.notEqual(stepped, where);
      const here = page.url();
      await page.getByRole("link", { name: "History", exact: true }).click();
      await page.getByRole("heading", { name: /: history$/ }).waitFor();
      await page.evaluate((address) => { location.href = address; }, here);
      await rests(page, /lie where they may|something is wrong/);
      assert.equal(await placeOf(page, Number(mine)), stepped);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("two covers change places; a cover is taken off and put back", async () => {
      const { page, context, complaints } = await visit(house, size);
      await open(page, await begin());
      await rests(page, "All 8 covers lie where they may.");
      const [a, b] = [await placeOf(page, 0), await placeOf(page, 1)];
      const list = page.locator(".covers button");
      await list.nth(0).click();
      assert.ok(await page.locator(".piece.partner").count() > 0, "its partners are marked");
      await picture(page, `${size}-layout-chosen`);
      await page.getByRole("button", { name: "Swap…" }).click();
      await list.nth(1).click();
      await rests(page, /lie where they may|something is wrong/);
      assert.deepEqual([await placeOf(page, 0), await placeOf(page, 1)], [b, a]);
      await page.getByRole("button", { name: "Lock", exact: true }).click();
      await page.locator('.piece.locked[data-index="0"]').waitFor();
      await list.nth(1).click();
      await page.getByRole("button", { name: "Swap…" }).click();
      await list.nth(0).click();
      await page.getByText("It is locked.", { exact: true }).waitFor({ state: "attached" });
      assert.deepEqual([await placeOf(page, 0), await placeOf(page, 1)], [b, a], "what is locked does not change places");
      await page.getByRole("button", { name: "Take off" }).click();
      await rests(page, /7 laid; 1 without a place|7 laid; with/);
      await page.locator(".covers button", { hasText: "put one on the hide" }).click();
      await rests(page, /8 covers|8 laid/);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("what would make it fit is tried with one press, and taken back", async () => {
      const { page, context, complaints } = await visit(house, size);
      const job = await begin((one) => {
        (one.seats[0] as { count: number }).count += 2;
        one.search = { work: 0.05 };
      });
      await open(page, job);
      await rests(page, /without a place/);
      await page.getByRole("button", { name: "Look for it" }).click();
      const tries = page.getByRole("button", { name: /^Try it/ });
      await tries.first().waitFor({ timeout: 120_000 });
      await picture(page, `${size}-layout-fit`);
      await accessible(page, "what would make it fit");
      await roomy(page, "what would make it fit");
      const words = await tries.first().textContent();
      await tries.first().click();
      await page.getByText(/^Tried: /).waitFor();
      await rests(page, /covers lie where they may/);
      assert.equal((await ask<{ version: number }>(house, `/api/jobs/${job}`)).version, 2, words ?? "");
      await page.getByRole("button", { name: "Undo", exact: true }).click();
      await rests(page, /without a place/);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("a layout is kept, compared and gone back to", async () => {
      const { page, context, complaints } = await visit(house, size);
      await open(page, await begin());
      await rests(page, "All 8 covers lie where they may.");
      const first = await placeOf(page, 0);
      await page.getByLabel("Keep this one as").fill("the first");
      await page.getByRole("button", { name: "Keep it" }).click();
      await page.getByRole("button", { name: "Compare with the first" }).waitFor();
      await page.locator(".covers button").nth(0).click();
      await page.getByRole("button", { name: "Take off" }).click();
      await rests(page, /7 laid/);
      await page.getByRole("button", { name: "Compare with the first" }).click();
      await page.locator(".compare svg").nth(1).waitFor();
      assert.equal(await page.locator(".compare svg").nth(1).locator(".piece").count(), 8);
      await page.locator(".compare").scrollIntoViewIfNeeded();
      await picture(page, `${size}-layout-compare`);
      await accessible(page, "two layouts");
      await roomy(page, "two layouts");
      await page.getByRole("button", { name: "Go on with the first" }).click();
      await rests(page, "All 8 covers lie where they may.");
      assert.equal(await placeOf(page, 0), first);
      await page.getByRole("button", { name: "Put away the first" }).click();
      await page.getByRole("button", { name: "Compare with the first" }).waitFor({ state: "detached" });
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("papers and the bench follow what lies here, and so does another device", async () => {
      const { page, context, complaints } = await visit(house, size);
      const job = await begin();
      const counts = async (): Promise<{ layout: number; laid: { placements: { x_mm: number }[] } | null }> => ask(house, `/api/jobs/${job}/layout`);
      const follows = page.getByText("Papers and the bench follow this layout.");
      await open(page, job);
      await rests(page, "All 8 covers lie where they may.");
      await follows.waitFor();
      const found = await counts();
      assert.equal(found.laid?.placements.length, 8, "what was found counts, though nobody kept it");
      await page.locator(".covers button").nth(0).click();
      await page.getByRole("button", { name: "Take off" }).click();
      await rests(page, /7 laid/);
      await follows.waitFor();
      const fewer = await counts();
      assert.equal(fewer.laid?.placements.length, 7);
      await page.getByRole("button", { name: "Take back", exact: true }).click();
      await rests(page, "All 8 covers lie where they may.");
      await follows.waitFor();
      assert.deepEqual((await counts()).laid, found.laid);
      await page.locator(".table").scrollIntoViewIfNeeded();
      const [from, to] = [await middle(page, 0), await middle(page, 1)];
      await drag(page, 0, to.x - from.x, to.y - from.y); // onto its neighbour, where nothing is in reach to snap to
      await page.mouse.up();
      await rests(page, /something is wrong/);
      await page.getByText("Papers and the bench follow the last layout in which nothing was wrong.").waitFor();
      assert.deepEqual((await counts()).laid, found.laid);
      const other = await visit(house, size);
      await open(other.page, job);
      await rests(other.page, "All 8 covers lie where they may.");
      await other.page.locator(".covers button").nth(1).click();
      await other.page.getByRole("button", { name: "Take off" }).click();
      await rests(other.page, /7 laid/);
      await other.page.getByText("Papers and the bench follow this layout.").waitFor();
      await page.reload();
      await rests(page, /7 laid/); // what was wrong here gives way to what somebody laid in order meanwhile
      assert.equal((await ask<{ layouts: object[] }>(house, `/api/jobs/${job}/layouts`)).layouts.length, 1, "in each other's place");
      assert.deepEqual([...complaints, ...other.complaints], []);
      await other.context.close();
      await context.close();
    });

    test("that it is cut is told once, and what is left is at hand", async () => {
      const { page, context, complaints } = await visit(house, size);
      const job = await begin();
      await open(page, job);
      await rests(page, "All 8 covers lie where they may.");
      await page.getByRole("button", { name: "It is cut as it lies here…" }).click();
      await page.getByText(/^This cannot be taken back/).waitFor();
      await accessible(page, "sure?");
      await page.getByRole("button", { name: "Not yet" }).click();
      await page.getByRole("button", { name: "It is cut as it lies here…" }).click();
      await page.getByRole("button", { name: "Yes, all of it is cut" }).click();
      await page.getByText(/ is cut\. What is left is at hand for other jobs, as \d+ remnant/).waitFor();
      await page.locator(".remnants svg").first().waitFor();
      const { hides } = await ask<{ hides: { left_by: number }[] }>(house, "/api/hides");
      assert.equal(hides.filter((one) => one.left_by === job).length, await page.locator(".remnants > li").count());
      await page.locator("#cut").scrollIntoViewIfNeeded();
      await picture(page, `${size}-layout-cut`);
      await accessible(page, "cut");
      await roomy(page, "cut");
      await page.reload();
      await page.getByText(/ is cut\. What is left/).waitFor();
      assert.equal(await page.getByRole("button", { name: /^It is cut/ }).count(), 0);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("a job without a hide says so, and one with several shows each", async () => {
      const { page, context, complaints } = await visit(house, size);
      await open(page, await begin((job) => { job.hides = []; }));
      await page.getByText("This job has no hide yet").waitFor();
      assert.match((await page.getByRole("link", { name: "Measure a hide" }).getAttribute("href")) ?? "", /#\/jobs\/\d+\/hide$/);
      await accessible(page, "no hide");
      await open(page, await begin((job) => {
        job.hides = [...job.hides, { ...(job.hides[0] as { name: string }), name: "second hide" }];
        (job.seats[0] as { count: number }).count += 4;
        job.search = { work: 0.05 };
      }));
      await rests(page, "All 12 covers lie where they may.");
      const tabs = page.getByRole("group", { name: "Hides" }).getByRole("button");
      assert.equal(await tabs.count(), 2);
      await tabs.nth(1).click();
      assert.ok(await pieces(page).count() < 12);
      await page.locator(".covers button").nth(3).click();
      await page.getByRole("button", { name: "Take off" }).click();
      await rests(page, /11 laid/);
      await page.getByRole("button", { name: "Go on looking" }).click();
      await rests(page, "All 12 covers lie where they may.");
      assert.deepEqual(complaints, []);
      await context.close();
    });

    for (const light of ["light", "dark"] as const) {
      test(`it is accessible and roomy, ${light}`, async () => {
        const { page, context, complaints } = await visit(house, size, light);
        await open(page, await begin());
        await rests(page, "All 8 covers lie where they may.");
        await picture(page, `${size}-${light}-layout`);
        await page.getByLabel("flesh side").check();
        await page.locator(".covers button").nth(2).click();
        if (pictures) await page.screenshot({ path: join(pictures, `${size}-${light}-layout-full.png`), fullPage: true });
        await accessible(page, "layout");
        await roomy(page, "layout");
        assert.deepEqual(complaints, []);
        await context.close();
      });
    }
  });
}
