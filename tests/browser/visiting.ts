// How all tests of pages visit them: a server of their own, a browser at a desk or on a phone, and
// what must hold on every page.

import assert from "node:assert/strict";
import { mkdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { chromium, type Browser, type BrowserContext, type Page } from "playwright-core";
import { serve, type Server } from "./server";

const source = process.env["SEATWRIGHT_SOURCE"] ?? ".";
export const pictures = process.env["PAGES_PICTURES"]; // a folder: pictures of every page are put there
const axe = readFileSync(join(source, "tests/browser/node_modules/axe-core/axe.min.js"), "utf8");
export const SIZES = {
  desk: { viewport: { width: 1440, height: 900 }, hasTouch: false },
  phone: { viewport: { width: 360, height: 740 }, hasTouch: true },
} as const;
export type Size = keyof typeof SIZES;
const LEAST_TARGET_PX = 44; // WCAG 2.2, success criterion 2.5.5

export interface House {
  readonly browser: Browser;
  readonly server: Server;
  readonly close: () => Promise<void>;
}

/** A server with an empty workshop file, begun with more words, and a browser. */
export async function openHouse(...words: readonly string[]): Promise<House> {
  if (pictures) mkdirSync(pictures, { recursive: true });
  const server = await serve(...words);
  const browser = await chromium.launch({
    executablePath: process.env["CHROMIUM"] ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
  const close = async (): Promise<void> => {
    await browser.close();
    await server.close();
  };
  return { browser, server, close };
}

export interface Visit {
  readonly page: Page;
  readonly context: BrowserContext;
  readonly complaints: string[]; // errors of the page, and whatever it asked of others
}

/** Whoever is here for the first time is shown the way through the demo; these visitors know it. */
export async function knowTheWay(context: BrowserContext): Promise<void> {
  await context.addInitScript(() => localStorage.getItem("seatwright.guide") ?? localStorage.setItem("seatwright.guide", "left"));
}

/** A fresh browser profile at the first page, or at another address of the server. */
export async function visit(house: House, size: Size, colorScheme: "light" | "dark" = "light", address = house.server.address): Promise<Visit> {
  const context = await house.browser.newContext({ ...SIZES[size], colorScheme, locale: "en-US" });
  await knowTheWay(context);
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on("pageerror", (error) => complaints.push(error.message));
  page.on("console", (message) => {
    const text = message.text();
    const told = /Failed to load resource/.test(text); // an answer that the test itself brought about
    if (message.type() === "error" && !told) complaints.push(text);
  });
  page.on("request", (request) => {
    if (!request.url().startsWith(new URL(address).origin) && !request.url().startsWith("data:")) complaints.push(`asked ${request.url()}`);
  });
  await page.goto(address);
  return { page, context, complaints };
}

export async function ask<T>(house: House, address: string, how?: RequestInit): Promise<T> {
  return (await (await fetch(house.server.address + address, how)).json()) as T;
}
export const asJson = (body: string, headers: Record<string, string> = {}): RequestInit =>
  ({ headers: { "Content-Type": "application/json", ...headers }, body });

/** By the links between the pages of a job. */
export const goTo = (page: Page, place: string): Promise<void> =>
  page.getByRole("navigation", { name: "This job" }).getByRole("link", { name: place, exact: true }).click();

/** The readings of a hide at the tape in inches: up, left, right. */
export const READINGS = [["0", "3", "3"], ["-3", "22", "21"], ["12", "39", "38 1/2"], ["22", "32", "32"], ["44", "34", "35"], ["66", "36", "35¼"], ["76", "22", "21"], ["86", "9", "10"]] as const;

/** Looks until there is something, and fails with these words when nothing comes. */
export async function eventually<T>(words: () => string, look: () => Promise<T>): Promise<NonNullable<T>> {
  for (let i = 0; i < 300; i++) {
    const found = await look();
    if (found) return found;
    await new Promise((again) => setTimeout(again, 100));
  }
  assert.fail(words());
}

export async function picture(page: Page, name: string): Promise<void> {
  if (pictures) await page.screenshot({ path: join(pictures, `${name}.png`) });
}

export async function accessible(page: Page, where: string): Promise<void> {
  await page.evaluate(axe);
  const found = await page.evaluate(async () => {
    const runner = (window as unknown as { axe: { run: (what: Document, how: object) => Promise<{ violations: { id: string; nodes: { html: string; failureSummary: string }[] }[] }> } }).axe;
    const { violations } = await runner.run(document, { resultTypes: ["violations"] });
    return violations.map((one) => `${one.id}: ${one.nodes.map((node) => `${node.html.slice(0, 160)} ${node.failureSummary}`).join(" | ")}`);
  });
  assert.deepEqual(found, [], where);
}

// Nothing hangs over the side, and all that is pressed is large enough for a thumb.
export async function roomy(page: Page, where: string): Promise<void> {
  const found = await page.evaluate(async (least) => {
    const frame = (): Promise<unknown> => new Promise(requestAnimationFrame);
    await frame(); // drawings learn how large they are in the first
    await frame();
    const wide = document.documentElement.scrollWidth > innerWidth ? [`page is ${document.documentElement.scrollWidth} px wide`] : [];
    const small = [...document.querySelectorAll("button, select, a, input, textarea, summary, .grab")].flatMap((one) => {
      const box = (one.closest("label.tick") ?? one).getBoundingClientRect();
      const hidden = box.width === 0 || one.matches(".skip");
      return hidden || (box.height >= least - 0.5 && box.width >= least - 0.5) ? [] : [`${one.outerHTML.slice(0, 90)} is ${box.width} x ${box.height}`];
    });
    return [...wide, ...small];
  }, LEAST_TARGET_PX);
  assert.deepEqual(found, [], where);
}
