// Makes the pictures of docs/user-guide.md, in the order of a real job: a person's way through the
// pages with the demo job. Run by tools/guide_pictures, which says where they are put.
//
// Everything that would be otherwise each time (dates, addresses) is set or left out of sight.

import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { withPalette } from "./palette";
import { goTo, knowTheWay, openHouse } from "./visiting";

const folder = process.argv[2] ?? "docs/pictures/guide";
const only = process.argv[3]; // the name of one picture
const SIZES = { desk: { width: 1180, height: 740 }, phone: { width: 360, height: 720 } } as const;
const SAVED_MS = Date.UTC(2026, 0, 31, 9, 30);
const SETTLED_MS = 350; // pictures of leather fade in, drawings follow fields

mkdirSync(folder, { recursive: true });
const house = await openHouse();
const made: string[] = [];

async function open(size: keyof typeof SIZES): Promise<Page> {
  const context = await house.browser.newContext({
    viewport: SIZES[size], hasTouch: size === "phone", locale: "en-US", timezoneId: "UTC", colorScheme: "light", reducedMotion: "reduce",
  });
  await knowTheWay(context);
  const page = await context.newPage();
  page.setDefaultTimeout(60_000);
  // Cards say when a job was saved.
  await page.route(/\/api\/jobs\?/, async (route) => {
    const answer = await route.fetch();
    const list = (await answer.json()) as { jobs: { saved_ms: number }[] };
    list.jobs.forEach((job) => { job.saved_ms = SAVED_MS; });
    await route.fulfill({ response: answer, json: list });
  });
  await page.goto(house.server.address);
  return page;
}

async function picture(page: Page, name: string): Promise<void> {
  if (only !== undefined && only !== name) return;
  await page.waitForTimeout(SETTLED_MS);
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
  writeFileSync(join(folder, `${name}.png`), withPalette(await page.screenshot()));
  made.push(name);
}

const LONG_MS = 240_000;

async function seats(page: Page): Promise<void> {
  await page.getByRole("button", { name: /^Start from Dining room of a rowing club/ }).click();
  await page.locator(".board .cover .band.whole").waitFor();
  await picture(page, "seats");
  const front = page.locator("#at-seats-0--frame-front");
  await front.fill("175");
  await page.locator(".problems .mistake").first().waitFor();
  await front.evaluate((one) => one.scrollIntoView({ block: "center" }));
  await picture(page, "mistake");
  await front.fill("17 1/2");
  await page.getByText("Padding", { exact: true }).click();
  await page.locator("#at-seats-0--padding-crown").scrollIntoViewIfNeeded();
  await picture(page, "cut-through");
  await page.getByRole("button", { name: "Flat rules" }).click();
  await picture(page, "flat-rules");
  await front.blur();
  await page.locator(".saved.saved").waitFor();
}

const upTo = (page: Page, selector: string): Promise<void> =>
  page.locator(selector).first().evaluate((one) => scrollBy(0, one.getBoundingClientRect().top - 16));

async function leather(page: Page): Promise<void> {
  await goTo(page, "Leather");
  await page.locator(".answer").first().waitFor();
  await upTo(page, "#household");
  await picture(page, "leather");
  await page.getByRole("button", { name: "Try how much" }).click();
  await page.locator(".chart").waitFor({ timeout: LONG_MS });
  await page.locator(".howfar").waitFor({ state: "detached", timeout: LONG_MS });
  await upTo(page, "#how-much");
  await picture(page, "how-much");
}

async function hide(page: Page): Promise<void> {
  await goTo(page, "Hides");
  await page.locator("svg.hide .hideleather").waitFor();
  await picture(page, "hide");
}

async function layout(page: Page): Promise<void> {
  await goTo(page, "Layout");
  await page.locator(".standing", { hasText: "lie where they may" }).waitFor({ timeout: LONG_MS });
  await picture(page, "layout");
}

async function papers(page: Page): Promise<void> {
  await goTo(page, "Papers");
  await page.locator(".leaf img").first().waitFor({ timeout: LONG_MS });
  await page.evaluate(() => Promise.all([...document.querySelectorAll<HTMLImageElement>(".leaf img")].slice(0, 6).map((one) => one.decode().catch(() => undefined))));
  await picture(page, "papers");
}

async function atTheBench(job: string): Promise<void> {
  const phone = await open("phone");
  await phone.goto(`${house.server.address}/${job.replace(/[a-z-]+$/, "at-the-bench")}`);
  await phone.locator(".standing .count").waitFor({ timeout: LONG_MS });
  await phone.getByText("All ticks are in the workshop file.").waitFor({ timeout: LONG_MS });
  for (let i = 0; i < 6; i++) await phone.locator("main .strong").first().click(); // past the checks, to the first marks
  await picture(phone, "at-the-bench");
}

const desk = await open("desk");
await desk.locator(".picture svg").nth(2).waitFor();
await picture(desk, "bench");
await seats(desk);
await leather(desk);
await hide(desk);
await layout(desk);
await papers(desk);
await atTheBench(new URL(desk.url()).hash);
await house.close();
console.log(`${made.length} pictures: ${made.join(", ")}`);
