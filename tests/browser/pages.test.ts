// The pages in a real browser, at a desk and on a phone: what a person does, by hand and by
// keyboard, and what must hold on every page.

import assert from "node:assert/strict";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import type { Page } from "playwright-core";
import { accessible, ask as askHouse, asJson, openHouse, picture, pictures, roomy, visit as visitHouse, type House, type Size, type Visit } from "./visiting";

let house: House;
before(async () => {
  house = await openHouse();
});
after(() => house?.close());
const visit = (size: Size, colorScheme: "light" | "dark" = "light"): Promise<Visit> => visitHouse(house, size, colorScheme);
const ask = <T,>(address: string, how?: RequestInit): Promise<T> => askHouse<T>(house, address, how);

const front = (page: Page) => page.locator("#at-seats-0--frame-front");
const drawn = (page: Page): Promise<string | null> => page.locator(".board .cover .band.whole").getAttribute("d");
const jobOf = (page: Page): number => Number(/jobs\/(\d+)/.exec(page.url())?.[1]);
const documentOf = async (page: Page): Promise<{ seats: { frame: { front: unknown }; chairs?: { frame?: { front?: unknown } }[] }[] }> =>
  ask(`/api/jobs/${jobOf(page)}/document`);
const saved = (page: Page, version: number): Promise<void> =>
  page.getByText(`Saved, version ${version}`, { exact: true }).waitFor();

async function changed(page: Page, before: string | null): Promise<void> {
  await page.waitForFunction((old) => {
    const now = document.querySelector(".board .cover .band.whole")?.getAttribute("d");
    return now !== undefined && now !== null && now !== old;
  }, before);
}

async function start(page: Page, name = /^Start from Dining room of a rowing club/): Promise<void> {
  await page.getByRole("button", { name }).click();
  await page.locator(".board .cover .band.whole").waitFor();
}

for (const size of ["desk", "phone"] as const) {
  describe(`pages, ${size}`, () => {
    test("from an example to a changed measure, back, forth, and again after reloading", async () => {
      const { page, context, complaints } = await visit(size);
      await start(page);
      const first = await drawn(page);
      await front(page).fill("18 1/2");
      await changed(page, first); // drawn while it is typed
      await front(page).blur();
      await saved(page, 2);
      const second = await drawn(page);
      await page.getByRole("button", { name: "Undo" }).click();
      await saved(page, 1);
      await changed(page, second);
      assert.equal(await front(page).inputValue(), "17 1/2");
      assert.equal(await drawn(page), first);
      await page.getByRole("button", { name: "Redo" }).click();
      await saved(page, 2);
      await page.reload();
      await page.locator(".board .cover .band.whole").waitFor();
      assert.equal(await front(page).inputValue(), "18 1/2");
      assert.equal(await drawn(page), second);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("a mistake is told beside its field in the words of check, and the last drawing stays", async () => {
      const { page, context, complaints } = await visit(size);
      await start(page);
      await front(page).fill("1800");
      const told = page.locator("#at-seats-0--frame-front-problems");
      await told.waitFor();
      const draft = JSON.parse(JSON.stringify(await documentOf(page))) as { seats: { frame: { front: unknown } }[] };
      (draft.seats[0] as { frame: { front: unknown } }).frame.front = 1800;
      const { problems } = await ask<{ problems: { where: string; found: string; allowed: string; remedy: string | null }[] }>(
        "/api/check", { method: "POST", ...asJson(JSON.stringify(draft)) });
      const expected = problems.find((one) => one.where === "seats[0].frame.front");
      const text = (await told.textContent()) ?? "";
      for (const part of [expected?.found, expected?.allowed, expected?.remedy ?? ""]) assert.ok(part !== undefined && text.includes(part), text);
      assert.equal(await front(page).getAttribute("aria-invalid"), "true");
      assert.match((await front(page).getAttribute("aria-describedby")) ?? "", /at-seats-0--frame-front-problems/);
      await page.getByText("As it was before the mistakes.").waitFor();
      await picture(page, `${size}-mistake`);
      await accessible(page, "a mistake");
      await roomy(page, "a mistake");
      await front(page).fill("18");
      await told.waitFor({ state: "detached" });
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("units are changed at any time and nothing else is", async () => {
      const { page, context } = await visit(size);
      await start(page);
      const first = await drawn(page);
      await page.getByLabel("Units").selectOption("mm");
      assert.equal(await front(page).inputValue(), "444.5"); // 17 1/2 in
      assert.equal((await documentOf(page)).seats[0]?.frame.front, "17 1/2");
      await front(page).fill("450");
      await changed(page, first);
      await front(page).blur();
      await saved(page, 2);
      assert.equal((await documentOf(page)).seats[0]?.frame.front, "450 mm");
      await page.getByLabel("Units").selectOption("in");
      assert.equal(await front(page).inputValue(), "17.717");
      await context.close();
    });

    test("the drawing is dragged, and moved by keys", async () => {
      const { page, context } = await visit(size);
      await start(page);
      const first = await drawn(page);
      const grab = page.getByRole("slider", { name: "Depth" });
      const box = await grab.locator(".knob").boundingBox();
      assert.ok(box);
      const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
      await page.mouse.move(x, y);
      await page.mouse.down();
      await page.mouse.move(x, y - 15, { steps: 5 });
      await page.mouse.up();
      await changed(page, first);
      await saved(page, 2);
      const depth = page.locator("#at-seats-0--frame-depth");
      const dragged = await depth.inputValue();
      assert.notEqual(dragged, "15 1/2");
      await page.getByRole("slider", { name: "Front" }).focus();
      await page.keyboard.press("ArrowUp");
      await saved(page, 3);
      assert.equal(await front(page).inputValue(), "17 5/8");
      assert.equal(await page.getByRole("slider", { name: "Front" }).getAttribute("aria-valuetext"), "17 5/8 in");
      await context.close();
    });

    test("a tap on what can be dragged leaves the measure as it was written", async () => {
      const { page, context } = await visit(size);
      await start(page);
      await drawn(page);
      await front(page).fill("18 3/16");
      await front(page).blur();
      await saved(page, 2);
      const knob = page.getByRole("slider", { name: "Front" }).locator(".knob");
      await knob.evaluate((one) => one.scrollIntoView({ block: "center" }));
      const box = await knob.boundingBox();
      assert.ok(box);
      const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
      await page.mouse.move(x, y);
      await page.mouse.down();
      await page.mouse.move(x + 2, y + 1);
      await page.mouse.up();
      assert.equal(await front(page).inputValue(), "18 3/16");
      // A hand that takes hold with a second finger puts it back too.
      const finger = await page.context().newCDPSession(page);
      const touch = (type: "touchStart" | "touchMove" | "touchEnd", ...points: readonly (readonly [number, number])[]): Promise<unknown> =>
        finger.send("Input.dispatchTouchEvent", { type, touchPoints: points.map(([px, py], id) => ({ x: px, y: py, id })) });
      await touch("touchStart", [x, y]);
      await touch("touchMove", [x - 20, y]);
      await touch("touchMove", [x - 40, y]);
      await page.waitForFunction(() => document.querySelector<HTMLInputElement>("#at-seats-0--frame-front")?.value !== "18 3/16");
      await touch("touchStart", [x - 40, y], [x - 60, y + 60]);
      await page.waitForFunction(() => document.querySelector<HTMLInputElement>("#at-seats-0--frame-front")?.value === "18 3/16");
      await touch("touchMove", [x - 50, y], [x - 60, y + 60]);
      await touch("touchEnd");
      assert.equal(await front(page).inputValue(), "18 3/16");
      assert.equal((await documentOf(page)).seats[0]?.frame.front, "18 3/16");
      await context.close();
    });

    test("a chair that differs says only what differs", async () => {
      const { page, context } = await visit(size);
      await start(page);
      const kind = await drawn(page);
      await page.getByRole("button", { name: "number 4", exact: true }).click();
      await changed(page, kind);
      const own = page.locator("#at-seats-0--chairs-0--frame-front");
      assert.equal(await own.inputValue(), "");
      assert.equal(await own.getAttribute("placeholder"), "17 1/2");
      const before = await drawn(page);
      await own.fill("17");
      await changed(page, before);
      await own.blur();
      await saved(page, 2);
      const written = await documentOf(page);
      assert.equal(written.seats[0]?.chairs?.[0]?.frame?.front, 17);
      assert.equal(written.seats[0]?.frame.front, "17 1/2");
      await picture(page, `${size}-chair`);
      await accessible(page, "a chair");
      await context.close();
    });

    test("the section through a side is drawn to scale beside its figures, and follows the fields", async () => {
      const { page, context, complaints } = await visit(size);
      await start(page);
      const side = page.locator("#at-seats-0--padding-edge");
      await page.evaluate(() => document.querySelectorAll("details").forEach((one) => one.setAttribute("open", "")));
      await side.focus(); // on a phone the section comes into sight with the field
      const drawing = page.locator(".board svg.section");
      await drawing.waitFor();
      const said = async (): Promise<string> => (await drawing.getAttribute("aria-label")) ?? "";
      assert.match(await said(), /^Cut through at the front, to scale: face 7 7\/16 in, edge 1 9\/16 in, turn 1 9\/16 in, grip 1 in$/);
      // To scale: the leather's length on the screen and in the program's words have one ratio.
      const derived = await ask<{ covers: { sections: { front: { lengths_mm: { turn: number; edge: number } } } }[] }>(`/api/jobs/${jobOf(page)}/derived`);
      const lengths = derived.covers[0]?.sections.front.lengths_mm;
      for (const band of ["edge", "turn"] as const) {
        const drawnMm = await page.locator(`.board svg.section path.hide.${band}`).evaluate((path) => (path as SVGPathElement).getTotalLength());
        assert.ok(Math.abs(drawnMm - (lengths?.[band] ?? 0)) < 0.15, `${band}: ${drawnMm}`);
      }
      await side.fill("1 1/2");
      await page.waitForFunction(() => /edge 2 5\/16 in/.test(document.querySelector("svg.section")?.getAttribute("aria-label") ?? ""));
      await page.getByRole("button", { name: "Back", exact: true }).click();
      assert.match(await said(), /^Cut through at the back/);
      await page.getByLabel("Units").selectOption("mm");
      assert.match(await said(), /face \d+ mm, edge \d+ mm/);
      await picture(page, `${size}-section`);
      await accessible(page, "a section");
      await roomy(page, "a section");
      await page.getByRole("button", { name: "Flat rules" }).click();
      assert.match((await page.locator("svg.bars").getAttribute("aria-label")) ?? "", /^Needed beyond the frame: front \d+ mm/);
      await picture(page, `${size}-rules`);
      await accessible(page, "the flat rules");
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("pointing at a side of the cover cuts it through there", async () => {
      const { page, context } = await visit(size);
      await start(page);
      const box = await page.locator(".board svg.cover").boundingBox();
      assert.ok(box);
      await page.mouse.click(box.x + box.width / 2 - box.height * 0.33, box.y + box.height * 0.6);
      await page.getByRole("button", { name: "Cut through" }).click();
      assert.match((await page.locator(".board svg.section").getAttribute("aria-label")) ?? "", /^Cut through at the left/);
      await context.close();
    });

    test("empty fields say what is usual; layers and corners of a chair are its kind's until it differs", async () => {
      const { page, context } = await visit(size);
      await start(page);
      await page.evaluate(() => document.querySelectorAll("details").forEach((one) => one.setAttribute("open", "")));
      const hold = page.locator("#at-seats-0--fixing-hold");
      await hold.fill("");
      assert.equal(await hold.getAttribute("placeholder"), "as usual: 1/2");
      await page.getByLabel("Units").selectOption("mm");
      assert.equal(await hold.getAttribute("placeholder"), "as usual: 12.7"); // the job is in inches
      await hold.blur();
      await saved(page, 2);
      await page.getByRole("button", { name: "number 4", exact: true }).click();
      await page.evaluate(() => document.querySelectorAll("details").forEach((one) => one.setAttribute("open", "")));
      await page.getByText("As its kind: batting, muslin.").waitFor();
      await page.getByRole("button", { name: "Other layers for this chair" }).click();
      await page.getByRole("button", { name: /Take away layer 2/ }).click();
      await page.getByRole("button", { name: /Take away layer 1/ }).click();
      await saved(page, 3);
      type Chairs = { seats: { chairs: { padding?: { layers?: unknown[] } }[] }[] };
      const written = (await documentOf(page)) as unknown as Chairs;
      assert.deepEqual(written.seats[0]?.chairs[0]?.padding?.layers, []);
      await page.getByRole("button", { name: "Layers as its kind" }).click();
      await page.getByText("As its kind: batting, muslin.").waitFor();
      await context.close();
    });

    test("every shape of seat has its fields, and a traced one its points", async () => {
      const { page, context, complaints } = await visit(size);
      const fill = async (field: string, text: string): Promise<void> => page.locator(`#at-seats-0--${field}`).fill(text);
      const shapes: Readonly<Record<string, Readonly<Record<string, string>>>> = {
        round: { diameter: "14 1/2" }, oval: { width: "16", depth: "14" }, rectangle: { front: "48", depth: "15 3/4" },
        D: { front: "17", depth: "16" }, taper: { front: "18", back: "15 1/2", depth: "16" },
        measured: { front: "18", back: "16", left: "16", right: "16", diagonal_left: "23.32", diagonal_right: "23.32" },
        traced: {},
      };
      for (const [shape, fields] of Object.entries(shapes)) {
        await page.goto(`${house.server.address}/#/`);
        await page.getByRole("button", { name: "New job", exact: true }).click();
        await page.locator("#at-seats-0--frame-shape").selectOption(shape);
        await fill("board-thickness", "5/8");
        await fill("padding-edge", "1");
        for (const [field, text] of Object.entries(fields)) await fill(`frame-${field}`, text);
        if (shape === "traced") await page.getByRole("button", { name: "Begin with four corners" }).click();
        await page.locator(".board svg:not(.stale)").first().waitFor();
        await page.locator(".mistakes").waitFor({ state: "detached" });
        assert.equal(await page.locator("#at-seats-0--frame-back").count(), ["taper", "measured"].includes(shape) ? 1 : 0, shape);
      }
      if (size === "phone") await page.getByRole("button", { name: "Cover", exact: true }).click();
      const before = await drawn(page);
      await fill("frame-outline-2--0-", "10 1/2");
      await changed(page, before);
      await fill("frame-outline-2--0-", "wide");
      await page.locator("#at-seats-0--frame-outline-2--0--problems").waitFor();
      await picture(page, `${size}-traced`);
      await accessible(page, "a traced frame");
      await roomy(page, "a traced frame");
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("search finds, puts away and takes out", async () => {
      const { page, context } = await visit(size);
      await start(page, /^Start from Bar stools/);
      await page.getByRole("link", { name: "All jobs" }).click();
      const cards = page.locator("section[aria-labelledby=jobs] .card");
      await page.getByLabel("Search names and notes").fill("bar stools");
      await page.waitForFunction(() => {
        const names = [...document.querySelectorAll("section[aria-labelledby=jobs] .card .name")];
        return names.length > 0 && names.every((name) => name.textContent === "Bar stools");
      });
      const count = await cards.count();
      await cards.first().getByRole("button", { name: /Put away/ }).click();
      await page.waitForFunction((old) => document.querySelectorAll("section[aria-labelledby=jobs] .card").length === old - 1, count);
      await page.getByLabel("those put away too").check();
      await page.getByRole("button", { name: /Take out/ }).first().click();
      await page.getByRole("button", { name: /Take out/ }).first().waitFor({ state: "detached" });
      await page.getByLabel("Search names and notes").fill("no such words");
      await page.getByText("No job has these words.").waitFor();
      await context.close();
    });

    test("what a cut left is on the first page with its picture", async () => {
      const { page, context, complaints } = await visit(size);
      const panel = { seatwright: 1, name: "Two stools", units: "in", seats: [{ name: "stool", count: 2, frame: { shape: "round", diameter: 14 }, board: { thickness: "3/4" }, padding: { edge: 1 } }],
        hides: [{ name: `oak panel ${size}`, form: "panel", length: 60, width: 40 }] };
      const job = await ask<{ id: number }>("/api/jobs", { method: "POST", ...asJson(JSON.stringify(panel)) });
      const version = { "If-Match": '"1"' };
      await ask(`/api/jobs/${job.id}/hides/keep`, { method: "POST", headers: version });
      const placements = [0, 1].map((copy) => ({ cover: "A", hide: `oak panel ${size}`, x_mm: copy === 0 ? 400 : 1100, y_mm: -178, turn_deg: 0 }));
      const cut = await ask<{ hides?: unknown[]; problems?: unknown }>(`/api/jobs/${job.id}/cut`, { method: "POST", ...asJson(JSON.stringify({ placements }), version) });
      assert.ok(cut.hides && cut.hides.length > 0, JSON.stringify(cut));
      await page.reload();
      const card = page.locator("section[aria-labelledby=remnants] .card", { hasText: `left of oak panel ${size} by Two stools` }).first();
      await card.scrollIntoViewIfNeeded();
      await card.locator(".picture svg").waitFor();
      await card.locator(".picture .note", { hasText: /ft²|m²/ }).waitFor();
      await picture(page, `${size}-remnants`);
      await accessible(page, "remnants");
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("two who save at once: neither is lost", async () => {
      const { page, context } = await visit(size);
      await start(page);
      const other = async (depth: string): Promise<void> => {
        const version = (await ask<{ version: number }>(`/api/jobs/${jobOf(page)}`)).version;
        const text = JSON.stringify({ ...(await documentOf(page)), notes: depth });
        await ask(`/api/jobs/${jobOf(page)}/document`, { method: "PUT", ...asJson(text, { "If-Match": `"${version}"` }) });
      };
      await other("theirs");
      await front(page).fill("19");
      await front(page).blur();
      const dialog = page.getByRole("dialog", { name: "Somebody else saved this job meanwhile" });
      await dialog.waitFor();
      await dialog.getByRole("rowheader", { name: /, frame, front$/ }).waitFor();
      await picture(page, `${size}-conflict`);
      await accessible(page, "a conflict");
      await roomy(page, "a conflict");
      await dialog.getByRole("button", { name: /Keep mine beside/ }).click();
      await page.getByText("Yours is kept as version 3; this is theirs.").waitFor();
      assert.equal(await front(page).inputValue(), "17 1/2");
      const beside = await ask<{ seats: { frame: { front: unknown } }[] }>(`/api/jobs/${jobOf(page)}/document?version=3`);
      assert.equal(beside.seats[0]?.frame.front, 19);
      await page.getByRole("button", { name: "Understood" }).click();
      await other("theirs again");
      await front(page).fill("20");
      await front(page).blur();
      await dialog.getByRole("button", { name: /Go on with mine/ }).click();
      await page.getByText("This is yours; theirs stays in the history.").waitFor();
      assert.equal(await front(page).inputValue(), "20");
      assert.equal((await documentOf(page)).seats[0]?.frame.front, 20);
      await context.close();
    });

    test("what is typed while the other's version is fetched is not lost, and Escape does not settle it", async () => {
      const { page, context } = await visit(size);
      await start(page);
      const id = jobOf(page);
      await ask(`/api/jobs/${id}/document`, { method: "PUT", ...asJson(JSON.stringify({ ...(await documentOf(page)), notes: "theirs" }), { "If-Match": '"1"' }) });
      let wanted = (): void => undefined;
      const asked = new Promise<void>((done) => { wanted = done; });
      let answer = (): void => undefined;
      const typed = new Promise<void>((done) => { answer = done; });
      await page.route(`**/api/jobs/${id}/document`, async (route) => {
        if (route.request().method() === "GET") {
          wanted();
          await typed;
        }
        await route.continue();
      });
      await page.evaluate(() => dispatchEvent(new Event("focus")));
      await asked;
      await front(page).fill("19");
      answer();
      await front(page).blur();
      const dialog = page.getByRole("dialog", { name: "Somebody else saved this job meanwhile" });
      await dialog.waitFor();
      assert.equal(await front(page).inputValue(), "19");
      for (let i = 0; i < 3; i++) await page.keyboard.press("Escape");
      await page.waitForTimeout(200);
      assert.ok(await dialog.isVisible(), "it is still to be settled");
      await dialog.getByRole("button", { name: /Go on with mine/ }).click();
      await page.getByText("This is yours; theirs stays in the history.").waitFor();
      assert.equal((await documentOf(page)).seats[0]?.frame.front, 19);
      await context.close();
    });

    test("two quick steps back are two steps, and of two jobs asked for in a hurry the last is open", async () => {
      const { page, context, complaints } = await visit(size);
      await start(page);
      for (const [i, words] of ["18", "19", "20"].entries()) {
        await front(page).fill(words);
        await front(page).blur();
        await saved(page, i + 2);
      }
      await page.locator("h1").first().click();
      await page.evaluate(() => {
        for (let i = 0; i < 2; i++) dispatchEvent(new KeyboardEvent("keydown", { key: "z", ctrlKey: true }));
      });
      await saved(page, 2);
      assert.equal(await front(page).inputValue(), "18");
      assert.equal(await page.getByRole("button", { name: "Understood" }).count(), 0);

      const slow = (await ask<{ id: number }>("/api/jobs", { method: "POST", ...asJson(JSON.stringify({ ...(await documentOf(page)), name: "the slow one" })) })).id;
      const quick = (await ask<{ id: number }>("/api/jobs", { method: "POST", ...asJson(JSON.stringify({ ...(await documentOf(page)), name: "the quick one" })) })).id;
      await page.route(`**/api/jobs/${slow}/document`, async (route) => {
        await new Promise((done) => setTimeout(done, 1000));
        await route.continue();
      });
      const late = page.waitForResponse((response) => response.url().endsWith(`/api/jobs/${slow}/document`));
      await page.evaluate((job) => { location.hash = `#/jobs/${job}/seats`; }, slow);
      await page.waitForTimeout(200);
      await page.evaluate((job) => { location.hash = `#/jobs/${job}/seats`; }, quick);
      await page.waitForFunction(() => document.title.startsWith("the quick one"));
      await late;
      await page.waitForTimeout(200);
      assert.match(await page.title(), /^the quick one/);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("a save that fails is told, tried again, and outlives the page", async () => {
      const { page, context } = await visit(size);
      await start(page);
      await page.route("**/document", (route) => (route.request().method() === "PUT" ? route.abort() : route.continue()));
      await front(page).fill("18 3/4");
      await front(page).blur();
      await page.getByText("Not saved: the server was not reached.").waitFor();
      await picture(page, `${size}-unsaved`);
      await accessible(page, "not saved");
      await page.reload();
      await page.getByText("What could not be saved before is here again.").waitFor();
      assert.equal(await front(page).inputValue(), "18 3/4");
      await page.unroute("**/document");
      await page.getByRole("button", { name: "Try now" }).click();
      await saved(page, 2);
      assert.equal((await documentOf(page)).seats[0]?.frame.front, "18 3/4");
      await context.close();
    });

    test("by keyboard alone, from the bench to a saved measure and back", async () => {
      const { page, context } = await visit(size);
      await page.locator(".card").first().waitFor();
      const tabTo = async (what: string): Promise<void> => {
        const stops = 120 + 3 * (await page.locator(".card").count()); // of a card: open, put away, download
        for (let i = 0; i < stops; i++) {
          await page.keyboard.press("Tab");
          const here = await page.evaluate(() => {
            const one = document.activeElement;
            return `${one?.id ?? ""} ${one?.textContent ?? ""} ${one?.getAttribute("aria-label") ?? ""}`;
          });
          if (here.includes(what)) {
            const ring = await page.evaluate(() => {
              const one = document.activeElement;
              return one !== null && one.matches(":focus-visible");
            });
            assert.ok(ring, `the focus is seen on ${what}`);
            return;
          }
        }
        assert.fail(`Tab does not come to ${what}`);
      };
      await tabTo("Start from Bench in a hall");
      await page.keyboard.press("Enter");
      await page.locator(".board .cover .band.whole").waitFor();
      const first = await drawn(page);
      await tabTo("at-seats-0--frame-front");
      await page.keyboard.press("ControlOrMeta+a");
      await page.keyboard.type("1200 mm");
      await page.keyboard.press("Enter");
      await changed(page, first);
      await saved(page, 2);
      await page.keyboard.press("Tab");
      await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
      await page.keyboard.press("ControlOrMeta+z");
      await saved(page, 1);
      await context.close();
    });

    test("an address that names a job opens it, and one that is not there says so", async () => {
      const { page, context } = await visit(size);
      await start(page, /^Start from Bar stools/);
      const id = jobOf(page);
      await page.goto(`${house.server.address}/?job=${id}`);
      await page.getByRole("heading", { name: "Bar stools" }).waitFor();
      await page.goto(`${house.server.address}/?job=99999`);
      await page.getByRole("heading", { name: "This job cannot be shown" }).waitFor();
      await accessible(page, "no such job");
      await context.close();
    });

    test("a new job tells what it needs", async () => {
      const { page, context } = await visit(size);
      await page.getByRole("button", { name: "New job", exact: true }).click();
      await page.locator("#at-seats-0--frame-front-problems").waitFor();
      const fill = async (field: string, text: string): Promise<void> => page.locator(`#at-seats-0--${field}`).fill(text);
      await fill("frame-front", "18");
      await fill("frame-back", "15 1/2");
      await fill("frame-depth", "16");
      await fill("board-thickness", "5/8");
      await fill("padding-edge", "1");
      await page.locator(".board svg").first().waitFor();
      assert.equal(await page.locator(".mistakes").count(), 0);
      await context.close();
    });

    test("a job that could not be opened is tried again with one press", async () => {
      const { page, context } = await visit(size);
      await start(page);
      const job = jobOf(page);
      await page.goto(page.url().replace(/#.*/, "#/"));
      await page.getByRole("heading", { name: "All jobs" }).waitFor();
      await page.route(`**/api/jobs/${job}/document`, (route) => route.abort(), { times: 1 });
      await page.evaluate((id) => { location.hash = `#/jobs/${id}/seats`; }, job);
      await page.getByRole("heading", { name: "This job cannot be shown" }).waitFor();
      await accessible(page, "a job that cannot be shown");
      await page.getByRole("button", { name: "Try again" }).click();
      await page.locator(".board .cover .band.whole").waitFor();
      await context.close();
    });

    test("printed in the dark, letters are black and need no ground", async () => {
      const { page, context } = await visit(size, "dark");
      await start(page);
      await page.emulateMedia({ media: "print", colorScheme: "dark" });
      assert.deepEqual(await page.locator('.tabs a[aria-current="page"]').evaluate((one) => {
        const look = getComputedStyle(one);
        return [look.color, look.backgroundColor, getComputedStyle(document.documentElement).colorScheme];
      }), ["rgb(0, 0, 0)", "rgba(0, 0, 0, 0)", "light"]);
      await context.close();
    });

    for (const light of ["light", "dark"] as const) {
      test(`every page is accessible and roomy, ${light}`, async () => {
        const { page, context, complaints } = await visit(size, light);
        await page.locator(".picture svg").first().waitFor({ state: "attached" });
        await picture(page, `${size}-${light}-bench`);
        await accessible(page, "bench");
        await roomy(page, "bench");
        await start(page);
        await page.evaluate(() => document.querySelectorAll("details").forEach((one) => one.setAttribute("open", "")));
        await page.evaluate(() => scrollTo(0, 0));
        await picture(page, `${size}-${light}-seats`);
        await accessible(page, "seats");
        await roomy(page, "seats");
        if (pictures) await page.screenshot({ path: join(pictures, `${size}-${light}-seats-full.png`), fullPage: true });
        // The other light, chosen by hand.
        await page.getByLabel("Light").selectOption(light === "light" ? "dark" : "light");
        await accessible(page, "seats, the other light");
        assert.deepEqual(complaints, []);
        await context.close();
      });
    }
  });
}
