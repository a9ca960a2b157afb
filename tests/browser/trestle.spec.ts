// The trestle with many parts: all are told and can be reached, few are drawn.

import type { Page } from "@playwright/test";

import { dropFile, expect, fixture, goTo, middleOf, openDemo, parts, test } from "./support";

interface Job {
  title: string;
  plan?: unknown;
  parts: { id: string; name: string; count: number }[];
}

/** The step stool with so many more kinds of parts, one of them so often. */
function many(kinds: number, copies: number): string {
  const job = JSON.parse(fixture("step-stool")) as Job;
  const like = job.parts[0];
  if (like === undefined) throw new Error("the stool has no parts");
  job.title = "Many parts";
  delete job.plan;
  job.parts = Array.from({ length: kinds }, (_, k) => ({ ...like, id: `kind-${k}`, name: `Kind ${k}`, count: k === 0 ? copies : 1 }));
  return JSON.stringify(job);
}

async function openMany(page: Page, kinds: number, copies: number): Promise<void> {
  await openDemo(page);
  await dropFile(page, "many.heartside.json", many(kinds, copies));
  await expect(page.locator(".job-title")).toHaveText("Many parts");
  await goTo(page, "setting_out");
}

const waits = (page: Page) => page.locator(".trestle-name small");

test("a thousand copies are one blank with their number, and one is taken off", async ({ page }) => {
  await openMany(page, 3, 998);
  await expect(waits(page)).toHaveText("1000 wait");
  const blanks = page.locator(".blank");
  await expect(blanks).toHaveCount(3);
  await expect(blanks.first()).toContainText("× 998");
  const from = await middleOf(blanks.first());
  const to = await middleOf(page.locator(".world [data-board]").first());
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(from.x, from.y - 60, { steps: 3 });
  await page.mouse.move(to.x, to.y, { steps: 4 });
  await page.mouse.up();
  await expect(parts(page)).toHaveCount(1);
  await expect(waits(page)).toHaveText("999 wait");
  await expect(blanks.first()).toContainText("× 997");
  await page.keyboard.press("Control+z");
  await expect(waits(page)).toHaveText("1000 wait");
});

test("hundreds of kinds are all told and reached, and only those in sight are drawn", async ({ page }) => {
  await openMany(page, 300, 1);
  await expect(waits(page)).toHaveText("300 wait");
  const blanks = page.locator(".blank");
  expect(await blanks.count()).toBeLessThan(80);
  const strip = page.locator(".blanks");
  await expect
    .poll(
      async () => {
        await strip.evaluate((element) => (element.scrollLeft = element.scrollWidth));
        return blanks.count();
      },
      { timeout: 30_000 },
    )
    .toBe(300);
  await expect(blanks.last()).toContainText("Kind 299");
  await expect(blanks.last().locator("svg path").first()).toBeAttached();
});
