// The pages' own logic, without a browser.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { at, differences, pathOf, pathText, placeWords, put, type Json } from "../../web/src/document";
import { lanesOf } from "../../web/src/lanes";
import { fieldsOf, labelOf, type Schema } from "../../web/src/schema";
import { isLater, merged, newTick, stillWaiting, type Tick } from "../../web/src/ticks";
import { exactLength, readMeasure, shownMeasure, showArea, tapeLength, toMm, writtenMeasure } from "../../web/src/units";
import { serve } from "./server";

test("measures are read as people write them", () => {
  // 1 in is 25.4 mm exactly: NIST SP 811 (2008), appendix B.8.
  const cases: readonly (readonly [string, number | null])[] = [
    ["18.5", 469.9], ["18 1/2", 469.9], ["18-1/2", 469.9], ["18½", 469.9], ["18 ½", 469.9], ["18,5", 469.9], ["1/2", 12.7],
    ["-3/8", -9.525], ['18 1/2"', 469.9], ["18 1/2 in.", 469.9], ["1 ft", 304.8], ["47 cm", 470], ["470 mm", 470], [".5", 12.7],
    ["", null], ["x", null], ["1/0", null], ["18 x", null], ["1/2/3", null], ["--1", null], ["181/2", 2298.7], ["-", null],
  ];
  for (const [text, mm] of cases) {
    const got = toMm(text, "in");
    if (mm === null) assert.equal(got, null, text);
    else assert.ok(got !== null && Math.abs(got - mm) < 1e-9, `${text}: ${got}`);
  }
  assert.equal(toMm(true, "in"), null);
  assert.equal(readMeasure("3 oz")?.unit, "oz");
});

test("the program reads the same measures to the same length", async () => {
  const server = await serve();
  try {
    for (const text of ["18.5", "18 1/2", "18-1/2", "18½", "18,5", "47 cm", "470 mm", "1 ft", '18 1/2"', "17 ⅝", "19 15/16 in"]) {
      const job = {
        seatwright: 1, name: "t", units: "in",
        seats: [{ name: "s", frame: { shape: "rectangle", front: text, depth: 15 }, board: { thickness: 1 }, padding: { edge: 1 } }],
      };
      const answer = await fetch(`${server.address}/api/derive`,
        { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(job) });
      const found = (await answer.json()) as { covers: { frame_mm: [number, number][] }[] };
      const xs = (found.covers[0]?.frame_mm ?? []).map((point) => point[0]);
      const mm = toMm(text, "in") ?? NaN;
      assert.ok(Math.abs(Math.max(...xs) - Math.min(...xs) - mm) < 1e-3, `${text}: ${mm}`);
    }
  } finally {
    await server.close();
  }
});

test("lengths and areas are shown in either unit", () => {
  assert.equal(exactLength(469.9, "in"), "18 1/2");
  assert.equal(exactLength(470, "in"), "18.504");
  assert.equal(exactLength(25.4 / 64, "in"), "1/64");
  assert.equal(exactLength(-9.525, "in"), "-3/8");
  assert.equal(exactLength(469.9, "mm"), "469.9");
  assert.equal(tapeLength(470, "in"), "18 1/2");
  assert.equal(tapeLength(469.6, "mm"), "470");
  assert.equal(tapeLength(0, "in"), "0");
  assert.equal(showArea(92903.04, "in"), "1 ft²"); // 1 ft² = 0.092 903 04 m²: NIST SP 811, B.8
  assert.equal(showArea(92903.04, "mm"), "0.093 m²");
});

test("a field shows and keeps what was meant", () => {
  assert.equal(shownMeasure("18 1/2", "in", "in"), "18 1/2");
  assert.equal(shownMeasure("18 1/2 in", "in", "in"), "18 1/2");
  assert.equal(shownMeasure(18.5, "in", "mm"), "469.9");
  assert.equal(shownMeasure("470 mm", "in", "mm"), "470");
  assert.equal(shownMeasure("0.3 mm", "in", "in"), "0.012");
  assert.equal(shownMeasure("18 x", "in", "mm"), "18 x");
  assert.equal(shownMeasure(undefined, "in", "mm"), "");
  assert.equal(writtenMeasure(" 18.5 ", "in", "in"), 18.5);
  assert.equal(writtenMeasure("18 1/2", "in", "in"), "18 1/2");
  assert.equal(writtenMeasure("470", "in", "mm"), "470 mm");
  assert.equal(writtenMeasure("47 cm", "in", "mm"), "47 cm");
  assert.equal(writtenMeasure("18 x", "in", "mm"), "18 x");
  assert.equal(writtenMeasure("  ", "in", "mm"), undefined);
});

test("what is shown and typed again means the same length", () => {
  for (let sixteenths = -40; sixteenths < 2000; sixteenths++) {
    const mm = (sixteenths * 25.4) / 16;
    for (const unit of ["in", "mm"] as const) {
      for (const other of ["in", "mm"] as const) {
        const kept = writtenMeasure(exactLength(mm, unit), other, unit);
        const again = toMm(kept, other);
        assert.ok(again !== null && Math.abs(again - mm) < 0.006, `${sixteenths}/16 in ${unit}, kept in ${other}: ${String(kept)}`);
      }
    }
  }
});

const job: Json = { name: "a", seats: [{ name: "s", frame: { front: 1, notches: { back_left: { width: 1 } } }, fixing: { grip: 2 }, chairs: [{ name: "x", frame: { front: 3 } }] }] };

test("a document is changed along one path and not in place", () => {
  const before = JSON.stringify(job);
  const next = put(job, ["seats", 0, "frame", "front"], "18 1/2");
  assert.equal(at(next, ["seats", 0, "frame", "front"]), "18 1/2");
  assert.equal(at(put(job, ["seats", 0, "frame", "notches", "back_left", "width"], undefined), ["seats", 0, "frame", "notches"]), undefined);
  assert.equal(at(put(job, ["seats", 0, "fixing", "grip"], undefined), ["seats", 0, "fixing"]), undefined);
  assert.deepEqual(at(put(put(job, ["seats", 0, "frame", "front"], undefined), ["seats", 0, "frame", "notches"], undefined), ["seats", 0, "frame"]), {});
  assert.deepEqual(at(put(job, ["seats", 0, "chairs", 0, "frame", "front"], undefined), ["seats", 0, "chairs"]), [{ name: "x" }]);
  assert.equal(at(put(job, ["seats", 0, "chairs", 0], undefined), ["seats", 0, "chairs"]), undefined);
  assert.deepEqual(at(put(job, ["seats", 0, "padding", "layers", 0], { material: "m" }), ["seats", 0, "padding", "layers"]), [{ material: "m" }]);
  assert.equal(at(job, ["__proto__"]), undefined);
  assert.equal(JSON.stringify(job), before);
});

test("paths are written as problems write them", () => {
  assert.equal(pathText(["seats", 2, "frame", "notches", "back_left"]), "seats[2].frame.notches.back_left");
  assert.equal(pathText([]), "");
  for (const path of [["seats", 2, "frame", "notches", "back_left"], [], ["hides", 0, "points", 3, 1]]) assert.deepEqual(pathOf(pathText(path)), path);
});

test("places are told in words: by the name that stands there, or by the number", () => {
  const named: Json = { seats: [{ name: "Side chair", frame: { corner_radius: 2 } }, { name: "" }], hides: [[1]] };
  assert.equal(placeWords(["seats", 0, "frame", "corner_radius"], named), "Side chair, frame, corner radius");
  assert.equal(placeWords(["seats", 1, "count"], named), "Seats 2, count");
  assert.equal(placeWords(["hides", 0, 3], named), "Hides 1 4");
  assert.equal(placeWords(["offers", 2, "price"], named), "Offers 3, price"); // only the other document has it
  assert.equal(placeWords([], named), "");
});

test("differences of two drafts are told one by one", () => {
  const theirs = put(put(job, ["name"], "b"), ["seats", 0, "count"], 6);
  assert.deepEqual(differences(job, theirs), [
    { path: ["name"], mine: "a", theirs: "b" },
    { path: ["seats", 0, "count"], mine: "—", theirs: "6" },
  ]);
  assert.deepEqual(differences(job, JSON.parse(JSON.stringify(job)) as Json), []);
});

test("forms have the fields that the schema has for the shape", async () => {
  const server = await serve();
  try {
    const schema = (await (await fetch(`${server.address}/api/job.schema.json`)).json()) as Schema;
    const keys = (shape: string): string[] => fieldsOf(schema, "frame", { shape }).map((field) => field.key);
    assert.deepEqual(keys("round"), ["shape", "diameter"]);
    assert.ok(keys("taper").includes("back") && !keys("rectangle").includes("back"));
    const taper = fieldsOf(schema, "frame", { shape: "taper" });
    assert.deepEqual(taper.filter((field) => field.needed).map((field) => field.key), ["shape", "front", "back", "depth"]);
    assert.equal(taper.find((field) => field.key === "bow")?.kind, "sides");
    assert.equal(taper.find((field) => field.key === "front")?.kind, "measure");
    assert.deepEqual(taper.find((field) => field.key === "corner_radius")?.words, ["front_left", "front_right", "back_right", "back_left"]);
    assert.ok(fieldsOf(schema, "frame", { shape: "round", front: 3 }).some((field) => field.key === "front"), "what is written stays in sight");
    assert.deepEqual(fieldsOf(schema, "nothing", {}), []);
    for (const field of fieldsOf(schema, "padding", {})) assert.notEqual(field.help, "", field.key);
  } finally {
    await server.close();
  }
  assert.equal(labelOf("corner_radius"), "Corner radius");
});

test("versions stand in lanes, branches beside what they left", () => {
  // 1 - 2 - 3, then back to 1: 4 - 5.
  const lanes = lanesOf([{ version: 5, base: 4 }, { version: 4, base: 1 }, { version: 3, base: 2 }, { version: 2, base: 1 }, { version: 1, base: 0 }]);
  assert.deepEqual(lanes.map((one) => one.at), [0, 0, 1, 1, 0]);
  assert.deepEqual(lanes.map((one) => [...one.from]), [[], [0], [], [1], [0, 1]]);
  assert.deepEqual(lanes.map((one) => [...one.past]), [[], [], [0], [0], []]);
  assert.deepEqual(lanes.map((one) => one.down), [true, true, true, true, false]);
  assert.deepEqual(lanesOf([]), []);
  // A lane that has ended is used again.
  const again = lanesOf([{ version: 4, base: 2 }, { version: 3, base: 2 }, { version: 2, base: 1 }, { version: 1, base: 0 }]);
  assert.deepEqual(again.map((one) => one.at), [0, 1, 0, 0]);
});

test("ticks: of two for one step the later holds, in any order, as the workshop file has it", () => {
  const ticks: Tick[] = [];
  for (const ticked_ms of [1, 2]) for (const device of ["", "desk", "phone", "é"]) for (const done of [false, true]) ticks.push({ step: "a", done, ticked_ms, device });
  const last = { step: "a", done: true, ticked_ms: 2, device: "é" };
  for (let shift = 0; shift < ticks.length; shift++) {
    const order = [...ticks.slice(shift), ...ticks.slice(0, shift)];
    assert.deepEqual(merged({}, order), { a: last });
    assert.deepEqual(merged(merged({}, order), [...order].reverse()), { a: last });
  }
  const other = { step: "b", done: true, ticked_ms: 0, device: "" };
  assert.deepEqual(Object.keys(merged(merged({}, ticks), [other])), ["a", "b"]);
});

test("ticks: a new one is later than the one before it, whatever the clock says", () => {
  const before = { step: "a", done: true, ticked_ms: 5000, device: "phone" };
  const again = newTick({ a: before }, "a", false, 4000.4, "desk");
  assert.equal(again.ticked_ms, 5001);
  assert.ok(isLater(again, before));
  assert.equal(newTick({}, "a", true, 4000.4, "desk").ticked_ms, 4000);
  const waiting = [before, again];
  assert.deepEqual(stillWaiting(waiting, [before]), [again]);
});

test("the dark colours are the same, chosen or as the system has them", () => {
  const style = readFileSync(join(process.env["SEATWRIGHT_SOURCE"] ?? ".", "web/start.css"), "utf8");
  const block = (head: string): string[] => {
    const [, rest] = style.split(`${head} {\n`);
    return (rest?.split("}")[0] ?? "").split(";").map((one) => one.trim()).filter(Boolean);
  };
  const chosen = block('\n:root[data-theme="dark"]');
  assert.ok(chosen.length > 20);
  assert.equal(new Set(chosen.map((one) => one.split(":")[0])).size, chosen.length, "none is written twice");
  assert.deepEqual(block('\n  :root[data-theme="auto"], :root:not([data-theme])'), chosen);
});
