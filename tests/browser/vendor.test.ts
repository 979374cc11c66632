// The modules in web/vendor are the pinned ones, byte for byte, and the lock file names no host.

import assert from "node:assert/strict";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { join, relative } from "node:path";
import { test } from "node:test";

const root = process.env["SEATWRIGHT_SOURCE"] ?? ".";
const vendor = join(root, "web/vendor");
const modules = join(root, "tests/browser/node_modules");

const filesIn = (folder: string): string[] =>
  readdirSync(folder).map((name) => join(folder, name)).flatMap((path) => (statSync(path).isDirectory() ? filesIn(path) : [path]));

test("vendored modules equal the pinned packages", () => {
  const files = filesIn(vendor).filter((path) => !path.endsWith("README.md"));
  assert.ok(files.length >= 11, `${files.length} files`);
  for (const path of files) {
    assert.ok(readFileSync(path).equals(readFileSync(join(modules, relative(vendor, path)))), relative(root, path));
  }
});

test("the lock file names packages, not where they were fetched", () => {
  assert.doesNotMatch(readFileSync(join(root, "tests/browser/package-lock.json"), "utf8"), /https?:\/\/[^"]*\.tgz/);
});
