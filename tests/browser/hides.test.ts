// Hides in a real browser: the tape's readings with the outline growing, a picture traced, flaws and
// regions drawn with finger or mouse, the workshop's hides; and all of it by keyboard.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { deflateSync } from "node:zlib";
import type { CDPSession, Locator, Page } from "playwright-core";
import { accessible, ask, asJson, eventually, openHouse, picture, READINGS, roomy, visit, type House, type Size, type Visit } from "./visiting";

const source = process.env["SEATWRIGHT_SOURCE"] ?? ".";
const CLUB = readFileSync(join(source, "examples/rowing-club.json"), "utf8");
const EMPTY = JSON.stringify({
  seatwright: 1, name: "A footstool", units: "in",
  seats: [{ name: "stool", frame: { shape: "round", diameter: 14 }, board: { thickness: "3/4" }, padding: { edge: 1 } }],
});

interface Place { readonly up: unknown; readonly left?: unknown; readonly right?: unknown }
interface Flaw { readonly kind: string; readonly at?: Place; readonly radius?: unknown; readonly line?: readonly Place[]; readonly area?: readonly Place[] }
interface Hide {
  readonly name: string;
  readonly stations?: readonly Place[];
  readonly points?: readonly Place[];
  readonly flaws?: readonly Flaw[];
  readonly regions?: readonly { readonly kind: string; readonly area?: readonly Place[] }[];
  readonly picture?: { readonly uid: string };
}
type Pair = readonly [number, number];

let house: House;
before(async () => {
  house = await openHouse();
});
after(() => house.close());

type Open = Visit & { readonly id: number };

async function open(size: Size, job: string, light: "light" | "dark" = "light"): Promise<Open> {
  const { id } = await ask<{ id: number }>(house, "/api/jobs", { method: "POST", ...asJson(job) });
  const visited = await visit(house, size, light, `${house.server.address}/#/jobs/${id}/hide`);
  await visited.page.getByRole("heading", { level: 1 }).waitFor();
  return { ...visited, id };
}
const sheet = (page: Page): Locator => page.locator("svg.hide");
const outline = (page: Page): Locator => page.locator("svg.hide .hideleather");
const hidesOf = async (id: number): Promise<readonly Hide[]> => (await ask<{ hides: Hide[] }>(house, `/api/jobs/${id}/document`)).hides;
const settled = (page: Page): Promise<void> => page.locator(".saved.saved").getByText(/^Saved, version/).waitFor();

/** Waits until the kept document says so. */
async function kept(id: number, says: (hide: Hide) => boolean, index = 0): Promise<Hide> {
  let hide: Hide | undefined;
  return eventually(() => `the document never said so: ${JSON.stringify(hide)}`, async () => {
    hide = (await hidesOf(id))?.[index];
    return hide && says(hide) ? hide : undefined;
  });
}

/** A hand on the drawing: the mouse at a desk, a finger on a phone. */
async function stroke(page: Page, size: Size, points: readonly Pair[], cdp?: CDPSession): Promise<void> {
  const [first, ...rest] = points;
  if (!first) return;
  if (size === "desk") {
    await page.mouse.move(...first);
    await page.mouse.down();
    for (const point of rest) await page.mouse.move(...point);
    await page.mouse.up();
    return;
  }
  const finger = cdp ?? (await page.context().newCDPSession(page));
  const touch = (type: "touchStart" | "touchMove" | "touchEnd", at?: Pair): Promise<unknown> =>
    finger.send("Input.dispatchTouchEvent", { type, touchPoints: at ? [{ x: at[0], y: at[1] }] : [] });
  await touch("touchStart", first);
  for (const point of rest) await touch("touchMove", point);
  await touch("touchEnd");
}

// The middle of the drawing in the window's px.
async function middle(page: Page): Promise<Pair> {
  await sheet(page).evaluate((one) => one.scrollIntoView({ block: "center" }));
  const box = await sheet(page).boundingBox();
  assert.ok(box);
  return [box.x + box.width / 2, box.y + box.height / 2];
}
const around = (at: Pair, rx: number, ry: number, count = 40): Pair[] =>
  Array.from({ length: count + 1 }, (_, i) => [at[0] + rx * Math.cos((2 * Math.PI * i) / count), at[1] + ry * Math.sin((2 * Math.PI * i) / count)]);
const perPx = async (page: Page): Promise<number> => {
  const box = await sheet(page).boundingBox();
  const view = (await sheet(page).getAttribute("viewBox"))?.split(" ").map(Number) ?? [];
  return (view[2] ?? 0) / (box?.width ?? 1);
};
const pen = (page: Page, name: string): Promise<void> => page.getByRole("button", { name, exact: true }).click();

function crc32(bytes: Buffer): number { // ISO/IEC 15948, annex D
  let sum = 0xffffffff;
  for (const byte of bytes) {
    sum ^= byte;
    for (let bit = 0; bit < 8; bit++) sum = (sum >>> 1) ^ (sum & 1 ? 0xedb88320 : 0);
  }
  return (sum ^ 0xffffffff) >>> 0;
}

function png(width: number, height: number): Buffer {
  const chunk = (kind: string, data: Buffer): Buffer => {
    const body = Buffer.concat([Buffer.from(kind), data]);
    const head = Buffer.alloc(4);
    head.writeUInt32BE(data.length);
    const sum = Buffer.alloc(4);
    sum.writeUInt32BE(crc32(body));
    return Buffer.concat([head, body, sum]);
  };
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head.writeUInt8(8, 8); // grey, 8 bits
  const rows = Buffer.alloc((width + 1) * height, 0x60);
  for (let y = 0; y < height; y++) {
    rows[y * (width + 1)] = 0;
    for (let x = 0; x < width; x++) {
      // A pale hide on a dark floor.
      if (((x - width / 2) / (width * 0.36)) ** 2 + ((y - height / 2) / (height * 0.4)) ** 2 < 1) rows[y * (width + 1) + 1 + x] = 0xd0;
    }
  }
  return Buffer.concat([Buffer.from("\x89PNG\r\n\x1a\n", "latin1"), chunk("IHDR", head), chunk("IDAT", deflateSync(rows)), chunk("IEND", Buffer.alloc(0))]);
}

for (const size of ["desk", "phone"] as const) {
  describe(`hides, ${size}`, () => {
    test("by tape, with the keyboard alone: the outline grows, slips are doubted, mistakes stand beside the field", async () => {
      const { page, context, complaints, id } = await open(size, EMPTY);
      await page.getByRole("button", { name: "Enter stations" }).press("Enter");
      const table = page.locator("table.stations");
      await table.waitFor();
      await table.locator("input").first().focus();
      let before: string | null = null;
      for (const [i, reading] of READINGS.entries()) {
        for (const value of reading) {
          await page.keyboard.type(value);
          await page.keyboard.press("Enter");
        }
        if (i < 2) continue;
        await page.waitForFunction((old) => {
          const now = document.querySelector("svg.hide .hideleather")?.getAttribute("d");
          return now !== undefined && now !== null && now !== old;
        }, before);
        before = await outline(page).getAttribute("d");
      }
      const hide = await kept(id, (one) => one.stations?.length === READINGS.length);
      assert.deepEqual(hide.stations?.[2], { up: 12, left: 39, right: "38 1/2" });
      assert.equal(hide.stations?.[5]?.right, "35¼");
      const measured = await page.locator(".areas dd").first().innerText();
      assert.match(measured, /^\d+(\.\d+)? ft²$/);
      const third = table.getByLabel("station 3, left");
      await third.fill("wide");
      await table.getByText(/Mistake:.*wide/).waitFor();
      assert.equal(await third.getAttribute("aria-invalid"), "true");
      assert.equal(await sheet(page).getAttribute("class").then((one) => one?.includes("stale")), true);
      await third.fill("390");
      await table.getByText(/Mistake:|Doubt:/).waitFor();
      await third.fill("39");
      await page.waitForFunction(() => !document.querySelector("svg.hide")?.classList.contains("stale"));
      await third.blur();
      await page.getByLabel("Units").selectOption("mm");
      assert.equal(await third.inputValue(), "990.6");
      assert.match(await page.locator(".areas dd").first().innerText(), /m²$/);
      await page.getByLabel("Units").selectOption("job");
      await page.getByLabel(/^Stamp/).fill("30.1");
      await page.locator(".areas").getByText(/stamped 30.25 ft².*the outline holds/).waitFor();
      await page.locator(".areas").getByText(/talk to the seller/).waitFor();
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("by tape, past the likely next reading: it is written with the readings beside it", async () => {
      const { page, context, complaints, id } = await open(size, EMPTY);
      await page.getByRole("button", { name: "Enter stations" }).press("Enter");
      const table = page.locator("table.stations");
      await table.waitFor();
      await table.locator("input").first().focus();
      for (const value of ["0", "22", "21", "9", "32", "32"]) {
        await page.keyboard.type(value);
        await page.keyboard.press("Enter");
      }
      assert.equal(await table.getByLabel("new station, up").getAttribute("placeholder"), "18");
      for (const value of ["", "34", "35", "", "36", "35"]) {
        await page.keyboard.type(value);
        await page.keyboard.press("Enter");
      }
      const hide = await kept(id, (one) => one.stations?.[3]?.right === 35);
      assert.deepEqual(hide.stations?.slice(2), [{ up: 18, left: 34, right: 35 }, { up: 27, left: 36, right: 35 }]);
      assert.equal(await table.getByText(/Mistake:/).count(), 0);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("over a picture: loaded, marked, traced in one go, places dragged, added and taken away", async () => {
      const { page, context, complaints, id } = await open(size, EMPTY);
      await page.getByRole("button", { name: "Trace a picture" }).click();
      await page.locator("input[type=file]").first().setInputFiles({ name: "floor.png", mimeType: "image/png", buffer: png(600, 800) });
      const photo = page.locator("svg.photo");
      await photo.waitFor();
      await photo.evaluate((one) => one.scrollIntoView({ block: "center" }));
      const box = await photo.boundingBox();
      assert.ok(box);
      // The picture is shown whole in the middle of its frame.
      const share = Math.min(box.width / 600, box.height / 800);
      const onPhoto = (x: number, y: number): Pair => [box.x + box.width / 2 + (x - 300) * share, box.y + box.height / 2 + (y - 400) * share];
      await stroke(page, size, [onPhoto(300, 700), onPhoto(300, 720)]);
      await stroke(page, size, [onPhoto(300, 100), onPhoto(300, 80)]);
      await page.getByRole("button", { name: "Lay it under the drawing" }).click();
      await page.getByText("Type the length that was measured first.").waitFor();
      await page.getByLabel("Length of the backbone").fill("80");
      await picture(page, `hide-marks-${size}-light`);
      await accessible(page, "marks of a picture");
      await roomy(page, "marks of a picture");
      await page.getByRole("button", { name: "Lay it under the drawing" }).click();
      await page.locator("svg.hide image").waitFor({ state: "attached" });
      // 640 px of the picture are 80 in: one is 3.175 mm.
      await page.getByText(/1 point of the picture is 3\.1[678] mm on the hide/).waitFor();
      await pen(page, "Edge");
      const at = await middle(page);
      const radius = size === "desk" ? [120, 160] as const : [80, 110] as const;
      await stroke(page, size, around(at, radius[0], radius[1]));
      await outline(page).waitFor();
      const traced = await kept(id, (one) => (one.points?.length ?? 0) > 5);
      const scale = await perPx(page);
      const found = await ask<{ hide: { area_mm2: number } }>(house, "/api/derive/hide", { method: "POST", ...asJson(JSON.stringify(await ask(house, `/api/jobs/${id}/document`))) });
      const wanted = Math.PI * radius[0] * radius[1] * scale * scale;
      assert.ok(Math.abs(found.hide.area_mm2 / wanted - 1) < 0.04, `${found.hide.area_mm2} is not ${wanted}`);
      // A place is dragged, one is added, and one is taken away.
      await pen(page, "Move");
      const knob = await page.locator("svg.hide .hideknob").first().boundingBox();
      assert.ok(knob);
      const from: Pair = [knob.x + knob.width / 2, knob.y + knob.height / 2];
      await stroke(page, size, [from, [from[0] + 6, from[1] - 6], [from[0] + 14, from[1] - 12]]);
      await kept(id, (one) => JSON.stringify(one.points) !== JSON.stringify(traced.points) && one.points?.length === traced.points?.length);
      await page.getByRole("button", { name: "Insert after it" }).click();
      await kept(id, (one) => one.points?.length === (traced.points?.length ?? 0) + 1);
      await page.getByRole("button", { name: "Take away what is chosen" }).click();
      await kept(id, (one) => one.points?.length === traced.points?.length);
      await pen(page, "Edge");
      const edge = await middle(page);
      await stroke(page, size, [[edge[0] + radius[0] + 40, edge[1]], [edge[0] + radius[0] + 41, edge[1]]]);
      await kept(id, (one) => one.points?.length === (traced.points?.length ?? 0) + 1);
      await page.getByRole("button", { name: "Undo" }).click();
      await kept(id, (one) => one.points?.length === traced.points?.length);
      await settled(page);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("flaws by kind: a spot, a scratch, a patch; chosen, moved, resized, taken away, and back", async () => {
      const { page, context, complaints, id } = await open(size, CLUB);
      await outline(page).waitFor();
      const count = (await hidesOf(id))[0]?.flaws?.length ?? 0;
      await pen(page, "Spot");
      await page.locator(".penwords select").selectOption("hole");
      let at = await middle(page);
      await stroke(page, size, [[at[0] - 30, at[1] + 20], [at[0] - 30, at[1] + 21]]);
      const spot = (await kept(id, (one) => one.flaws?.length === count + 1)).flaws?.[count];
      assert.equal(spot?.kind, "hole");
      assert.ok(spot?.at);
      await pen(page, "Scratch");
      await page.locator(".penwords select").selectOption("open scar");
      at = await middle(page);
      await stroke(page, size, [[at[0] - 20, at[1] - 40], [at[0], at[1] - 30], [at[0] + 20, at[1] - 45], [at[0] + 40, at[1] - 40]]);
      const scratch = (await kept(id, (one) => one.flaws?.length === count + 2)).flaws?.[count + 1];
      assert.equal(scratch?.kind, "open scar");
      assert.ok((scratch?.line?.length ?? 0) >= 2);
      await pen(page, "Patch");
      await page.locator(".penwords select").selectOption("stain");
      at = await middle(page);
      await stroke(page, size, around([at[0] + 25, at[1] + 25], 14, 10));
      const patch = (await kept(id, (one) => one.flaws?.length === count + 3)).flaws?.[count + 2];
      assert.equal(patch?.kind, "stain");
      assert.ok((patch?.area?.length ?? 0) >= 4);
      await page.locator(".entry-head[aria-expanded=true]").getByText(/stain, area; may lie in turn and grip/).waitFor();
      await picture(page, `hide-flaw-${size}-light`);
      // A place of it is lit by a tap, and is taken away alone; then all that is chosen is.
      await pen(page, "Move");
      await middle(page);
      const lit = await page.locator("svg.hide circle.hideknob").first().boundingBox();
      assert.ok(lit);
      await stroke(page, size, [[lit.x + lit.width / 2, lit.y + lit.height / 2]]);
      await page.locator("svg.hide .hideknob.mine").waitFor();
      await page.getByRole("button", { name: "Take away what is chosen" }).click();
      const places = patch?.area?.length ?? 0;
      await kept(id, (one) => one.flaws?.[count + 2]?.area?.length === places - 1);
      // Its kind is another one; its places can be typed.
      await page.locator(".entry-body select").first().selectOption("hole");
      await kept(id, (one) => one.flaws?.[count + 2]?.kind === "hole");
      await page.getByText("keeps the whole cover off").last().waitFor();
      // The spot is chosen in the list, moved and made larger on the drawing.
      await page.locator(".entry-head").nth(count).click();
      await pen(page, "Move");
      await middle(page);
      const knob = await page.locator("svg.hide circle.hideknob").first().boundingBox();
      assert.ok(knob);
      const from: Pair = [knob.x + knob.width / 2, knob.y + knob.height / 2];
      await stroke(page, size, [from, [from[0] - 5, from[1]], [from[0] - 12, from[1] - 3]]);
      const moved = await kept(id, (one) => JSON.stringify(one.flaws?.[count]?.at) !== JSON.stringify(spot?.at));
      assert.equal(moved.flaws?.length, count + 3);
      await sheet(page).focus();
      await page.keyboard.press("Delete");
      await kept(id, (one) => one.flaws?.length === count + 2);
      await page.getByRole("button", { name: "Undo" }).click();
      await kept(id, (one) => one.flaws?.length === count + 3);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("a tap on a station leaves its readings as they were written", async () => {
      const { page, context, complaints, id } = await open(size, CLUB);
      await outline(page).waitFor();
      await page.locator("table.stations").getByLabel("station 3, left").fill("38 3/16");
      await page.locator("table.stations").getByLabel("station 3, left").blur();
      const before = await kept(id, (one) => one.stations?.[2]?.left === "38 3/16");
      await settled(page);
      await middle(page);
      const knobs = await page.locator("svg.hide .hideknob").all();
      for (const knob of knobs) {
        const box = await knob.boundingBox();
        assert.ok(box);
        const at: Pair = [box.x + box.width / 2, box.y + box.height / 2];
        await stroke(page, size, [at, [at[0] + 2, at[1] - 2]]);
      }
      await page.locator("tr.mine").waitFor();
      await settled(page);
      assert.deepEqual((await hidesOf(id))[0], before);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("regions are painted, and the leather there is what the hand says", async () => {
      const { page, context, complaints, id } = await open(size, CLUB);
      await outline(page).waitFor();
      const count = (await hidesOf(id))[0]?.regions?.length ?? 0;
      await pen(page, "Region");
      await page.locator(".penwords select").selectOption("flank");
      const at = await middle(page);
      await stroke(page, size, around([at[0], at[1] - 20], 30, 24));
      const hide = await kept(id, (one) => one.regions?.length === count + 1);
      assert.equal(hide.regions?.[count]?.kind, "flank");
      const entry = page.locator(".entry-open");
      await entry.getByLabel(/^Firmness/).selectOption("soft");
      await page.locator("details", { hasText: "Regions and stretch" }).getByText(/^soft:/).first().waitFor();
      await entry.getByRole("button", { name: "The next place" }).click();
      await entry.getByRole("button", { name: "Take this away" }).click();
      await kept(id, (one) => (one.regions?.length ?? 0) === count);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("all without pointing: a flaw is added, placed and taken away by keys", async () => {
      const { page, context, complaints, id } = await open(size, CLUB);
      await outline(page).waitFor();
      const count = (await hidesOf(id))[0]?.flaws?.length ?? 0;
      await page.getByRole("button", { name: /^Add a spot/ }).press("Enter");
      const body = page.locator(".entry-body");
      await body.getByLabel(/^Radius/).fill("1 1/4");
      await body.getByLabel(/^Up/).fill("30");
      await body.getByLabel(/^Left/).fill("12 1/2");
      const hide = await kept(id, (one) => one.flaws?.[count]?.at?.left === "12 1/2" && one.flaws[count]?.radius === "1 1/4");
      assert.equal(hide.flaws?.[count]?.at?.up, 30);
      await body.getByLabel(/^Right/).fill("3");
      await page.locator(".entry-open").getByText(/Mistake:/).first().waitFor();
      await body.getByRole("button", { name: "Take this flaw away" }).press("Enter");
      await kept(id, (one) => one.flaws?.length === count);
      const before = await sheet(page).getAttribute("viewBox");
      await sheet(page).focus();
      await page.keyboard.press("+");
      await page.keyboard.press("ArrowLeft");
      assert.notEqual(await sheet(page).getAttribute("viewBox"), before);
      await page.keyboard.press("0");
      assert.equal(await sheet(page).getAttribute("viewBox"), before);
      assert.deepEqual(complaints, []);
      await context.close();
    });

    test("a hide goes to the workshop and into another job", async () => {
      const { page, context, complaints, id } = await open(size, CLUB.replace("chestnut hide", `chestnut ${size}`));
      await page.getByRole("button", { name: "Keep the hides of this job in the workshop" }).click();
      await page.getByText("The workshop has this hide, and says the same of it.").waitFor();
      await page.getByLabel(/^Stamp/).fill("58");
      await page.getByText("The workshop has this hide, but says something else of it.").waitFor();
      await page.getByRole("button", { name: "Take what the workshop says" }).click();
      await page.getByText("The workshop has this hide, and says the same of it.").waitFor();
      const [hide] = await hidesOf(id);
      const other = await ask<{ id: number }>(house, "/api/jobs", { method: "POST", ...asJson(EMPTY) });
      await page.goto(`${house.server.address}/#/jobs/${other.id}/hide`);
      const offered = page.getByRole("button", { name: `Take chestnut ${size}` });
      await offered.scrollIntoViewIfNeeded();
      await offered.getByText(/^whole, .* within its outline/).waitFor();
      await picture(page, `hide-at-hand-${size}-light`);
      await offered.click();
      await outline(page).waitFor();
      const copy = await kept(other.id, (one) => one.name === `chestnut ${size}`);
      assert.deepEqual(copy.stations?.length, hide?.stations?.length);
      await page.getByText("The workshop has this hide, and says the same of it.").waitFor();
      assert.deepEqual(complaints, []);
      await context.close();
    });

    for (const light of ["light", "dark"] as const) {
      test(`pages of hides hold what every page must, ${light}`, async () => {
        const { page, context, complaints } = await open(size, CLUB, light);
        await outline(page).waitFor();
        await page.locator(".entry-head").first().click();
        await page.evaluate(() => document.querySelectorAll("main details").forEach((one) => one.setAttribute("open", "")));
        await page.waitForTimeout(300);
        await accessible(page, "hide");
        await roomy(page, "hide");
        await page.evaluate(() => scrollTo(0, 0));
        await picture(page, `hide-${size}-${light}`);
        const fresh = await open(size, EMPTY, light);
        await fresh.page.getByRole("button", { name: "Enter stations" }).waitFor();
        await fresh.page.waitForTimeout(500);
        await accessible(fresh.page, "ways");
        await roomy(fresh.page, "ways");
        await picture(fresh.page, `hide-ways-${size}-${light}`);
        await fresh.context.close();
        assert.deepEqual(complaints, []);
        await context.close();
      });
    }
  });
}

describe("hides, by hand", () => {
  test("the wheel makes larger what is under it; two fingers pinch; a finger that drags has a loupe", async () => {
    const { page, context, id } = await open("phone", CLUB);
    await outline(page).waitFor();
    const at = await middle(page);
    const before = await perPx(page);
    const cdp = await page.context().newCDPSession(page);
    const fingers = (type: "touchStart" | "touchMove" | "touchEnd", apart?: number): Promise<unknown> => cdp.send("Input.dispatchTouchEvent", {
      type, touchPoints: apart === undefined ? [] : [{ x: at[0] - apart, y: at[1], id: 0 }, { x: at[0] + apart, y: at[1], id: 1 }],
    });
    const saved = JSON.stringify((await hidesOf(id))[0]);
    await fingers("touchStart", 30);
    await fingers("touchMove", 45);
    await fingers("touchMove", 60);
    await fingers("touchEnd");
    const after_pinch = await perPx(page);
    assert.ok(Math.abs(before / after_pinch - 2) < 0.1, `${before / after_pinch} times larger`);
    await page.getByRole("button", { name: "All", exact: true }).click();
    const there = await page.locator("svg.hide .hideknob").nth(3).boundingBox();
    assert.ok(there);
    const from = { x: there.x + there.width / 2, y: there.y + there.height / 2 };
    await cdp.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [from] });
    await cdp.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: [{ x: from.x + 12, y: from.y + 6 }] });
    await page.locator("svg.loupe").waitFor();
    await picture(page, "hide-loupe-phone-light");
    await cdp.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
    await page.locator("svg.loupe").waitFor({ state: "detached" });
    await kept(id, (one) => JSON.stringify(one) !== saved);
    await context.close();

    const desk = await open("desk", CLUB);
    await outline(desk.page).waitFor();
    const spot = await middle(desk.page);
    const wide = await perPx(desk.page);
    await desk.page.mouse.move(...spot);
    await desk.page.mouse.wheel(0, -400);
    await desk.page.waitForTimeout(200);
    assert.ok((await perPx(desk.page)) < wide * 0.8);
    assert.deepEqual(desk.complaints, []);
    await desk.context.close();
  });

  test("what is no picture is refused in words", async () => {
    const { page, context } = await open("desk", EMPTY);
    await page.getByRole("button", { name: "Trace a picture" }).click();
    await page.locator("input[type=file]").first().setInputFiles({ name: "notes.txt", mimeType: "text/plain", buffer: Buffer.from("no picture") });
    await page.getByText("notes.txt is no picture that this browser can show").waitFor();
    await context.close();
  });
});
