// How the floor lies in its window: as large as can be, the same whatever was shown before, and
// nothing that is said lies over it.

import type { Page } from "@playwright/test";

import { expect, goTo, middleOf, openDemo, openPage, openStool, parts, setOut, test } from "./support";

interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

const scaleOf = (page: Page): Promise<number> =>
  page.locator(".world").evaluate((world) => (world as unknown as SVGGraphicsElement).getCTM()?.a ?? 0);

/** Where each board's wood lies on the screen. */
const boardBoxes = (page: Page): Promise<Record<string, Box>> =>
  page.locator(".world > [data-board]").evaluateAll((boards) =>
    Object.fromEntries(
      boards.map((board) => {
        const wood = board.querySelector(".hs-wood, path") ?? board;
        const { x, y, width, height } = wood.getBoundingClientRect();
        const round = (value: number): number => Math.round(value * 2) / 2;
        return [`${board.getAttribute("data-board")} ${board.getAttribute("data-copy")}`, { x: round(x), y: round(y), width: round(width), height: round(height) }];
      }),
    ),
  );

const rest = (page: Page): Promise<void> => page.waitForTimeout(400);

/** Scale of the writing desk on a phone when all of it was fitted into the window. */
const BEFORE = 0.0564;

test.describe("on a phone", () => {
  test.use({ viewport: { width: 390, height: 844 }, hasTouch: true });

  test("the longest board fills the width, more than twice as large as the whole desk, and what lies below is hinted at", async ({ page }) => {
    await openDemo(page);
    await goTo(page, "setting_out");
    expect((await scaleOf(page)) / BEFORE).toBeGreaterThan(2.2);
    const longest = Math.max(...Object.values(await boardBoxes(page)).map((box) => box.width));
    expect(longest).toBeGreaterThan(390 * 0.93);
    const more = page.locator(".more-below");
    await expect(more).toHaveText(/^\d more below$/);
    const first = (await boardBoxes(page))["A 1"];
    await more.click();
    await rest(page);
    const moved = (await boardBoxes(page))["A 1"];
    expect(moved?.y ?? 0).toBeLessThan((first?.y ?? 0) - 100);
    expect(moved?.width).toBe(first?.width);
    await page.getByRole("button", { name: "Whole floor" }).click();
    await rest(page);
    expect((await boardBoxes(page))["A 1"]).toEqual(first);
  });
});

test("the arrangement does not depend on what was shown before", async ({ page }) => {
  const sizes = [
    { width: 1440, height: 900 },
    { width: 820, height: 1180 },
    { width: 390, height: 844 },
    { width: 1700, height: 620 },
  ];
  const fresh: Record<string, Box>[] = [];
  for (const size of sizes) {
    await page.setViewportSize(size);
    await openPage(page);
    const steps = page.getByRole("button", { name: "Understood" });
    if (await steps.isVisible()) await steps.click();
    await goTo(page, "setting_out");
    await rest(page);
    fresh.push(await boardBoxes(page));
  }
  // The other way round, over all places, in one page.
  for (const index of [2, 0, 3, 1, 0]) {
    await page.setViewportSize(sizes[index] ?? { width: 800, height: 600 });
    await goTo(page, "bench");
    await goTo(page, "timber");
    await goTo(page, "setting_out");
    await rest(page);
    expect(await boardBoxes(page)).toEqual(fresh[index]);
  }
});

test("nothing is rescaled or moved by a drop", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  const before = await boardBoxes(page);
  const from = await middleOf(parts(page).last());
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(from.x + 30, from.y + 16, { steps: 4 });
  await page.mouse.up();
  await rest(page);
  expect(await boardBoxes(page)).toEqual(before);
  await parts(page).first().click();
  await page.keyboard.press("t");
  await rest(page);
  expect(await boardBoxes(page)).toEqual(before);
});

for (const [width, height] of [
  [1440, 900],
  [820, 1180],
  [390, 844],
] as const) {
  test(`type is at least eleven pixels on a window of ${width} x ${height}`, async ({ page }) => {
    await page.setViewportSize({ width, height });
    await openStool(page);
    await setOut(page);
    for (const name of ["setting_out", "bench", "timber"] as const) {
      await goTo(page, name);
      await rest(page);
      const small = await page.locator(".world").evaluate((world) => {
        const scale = (world as unknown as SVGGraphicsElement).getCTM()?.a ?? 0;
        return [...world.querySelectorAll("text")]
          .filter((text) => text.closest('[data-fragment="ruler"]') === null)
          .map((text) => ({ words: text.textContent, size: Number.parseFloat(getComputedStyle(text).fontSize) * scale }))
          .filter((text) => text.size < 10.9);
      });
      expect(small).toEqual([]);
    }
  });
}

for (const [width, height] of [
  [1280, 800],
  [390, 844],
] as const) {
  test(`messages stand in the strip at the foot, in two lines at most, at ${width} x ${height}`, async ({ page }) => {
    await page.setViewportSize({ width, height });
    await openStool(page);
    await setOut(page);
    await parts(page).first().click({ force: true });
    await page.keyboard.press("r");
    const notice = page.locator(".notice");
    await expect(notice).toBeVisible();
    const box = await notice.boundingBox();
    const foot = await page.locator(".floor-foot").boundingBox();
    const floor = await page.locator(".floor").boundingBox();
    if (box === null || foot === null || floor === null) throw new Error("nothing is said");
    expect(box.y).toBeGreaterThanOrEqual(foot.y - 1);
    expect(box.y + box.height).toBeLessThanOrEqual(foot.y + foot.height + 1);
    expect(foot.height).toBeLessThan(60);
    expect(Math.abs(floor.y + floor.height - foot.y - foot.height)).toBeLessThan(2);
    const lines = await notice.locator("p").evaluate((p) => p.clientHeight / Number.parseFloat(getComputedStyle(p).lineHeight));
    expect(lines).toBeLessThan(2.2);
  });
}

for (const [width, height] of [
  [1280, 800],
  [390, 844],
] as const) test(`the turning handle covers no neighbour at ${width} x ${height}`, async ({ page }) => {
  await page.setViewportSize({ width, height });
  await openStool(page);
  await setOut(page);
  const count = await parts(page).count();
  for (let index = 0; index < Math.min(count, 8); index += 1) {
    await parts(page).nth(index).focus();
    await page.keyboard.press("Enter");
    const handle = page.locator(".turn-handle .slip");
    await expect(handle).toBeVisible();
    const covered = await handle.evaluate((slip, chosen) => {
      const own = slip.getBoundingClientRect();
      const all = [...document.querySelectorAll<SVGGElement>(".world > [data-part]")];
      return all
        .filter((_, at) => at !== chosen)
        .filter((part) => {
          const box = (part.querySelector(".hs-blank") ?? part).getBoundingClientRect();
          return box.left < own.right - 1 && box.right > own.left + 1 && box.top < own.bottom - 1 && box.bottom > own.top + 1;
        }).length;
    }, index);
    expect(covered).toBe(0);
  }
});

test("the picture moves along while a part is carried to its edge, and comes to rest with the last board", async ({ page }) => {
  await openDemo(page);
  await goTo(page, "setting_out");
  for (let k = 0; k < 8; k += 1) await page.keyboard.press("+");
  await rest(page);
  const blank = await middleOf(page.locator(".blank").first());
  const floor = await page.locator(".floor").boundingBox();
  if (floor === null) throw new Error("there is no floor");
  const at = { x: floor.x + floor.width - 12, y: floor.y + floor.height / 2 };
  await page.mouse.move(blank.x, blank.y);
  await page.mouse.down();
  await page.mouse.move(floor.x + floor.width / 2, at.y, { steps: 4 });
  const left = (): Promise<number> => page.locator(".world").evaluate((world) => (world as unknown as SVGGraphicsElement).getCTM()?.e ?? 0);
  const before = await left();
  await page.mouse.move(at.x, at.y, { steps: 4 });
  await expect.poll(left).toBeLessThan(before - 100);
  // What is carried stays under the pointer.
  const held = await middleOf(page.locator(".held > *"));
  expect(Math.abs(held.x - at.x)).toBeLessThan(60);
  await page.mouse.move(floor.x + floor.width / 2, at.y);
  const rested = await left();
  await page.waitForTimeout(300);
  expect(await left()).toBe(rested);
  await page.keyboard.press("Escape");
  await page.mouse.up();
});

test("what an undo brings back is brought into sight", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  const gone = (await parts(page).first().getAttribute("data-fragment")) ?? "";
  await parts(page).first().click();
  await page.keyboard.press("t");
  await page.keyboard.press("Escape");
  for (let k = 0; k < 10; k += 1) await page.keyboard.press("+");
  const floor = await page.locator(".floor").boundingBox();
  if (floor === null) throw new Error("there is no floor");
  // Far away from it.
  await page.mouse.move(floor.x + 200, floor.y + 200);
  for (let k = 0; k < 6; k += 1) await page.mouse.wheel(0, -40);
  await page.mouse.wheel(3000, 0);
  const count = await parts(page).count();
  await page.keyboard.press("Control+z");
  await expect(parts(page)).toHaveCount(count + 1);
  await rest(page);
  const box = await page.locator(`.world > [data-fragment="${gone}"]`).boundingBox();
  if (box === null) throw new Error("it is not there");
  expect(box.x + box.width).toBeGreaterThan(floor.x);
  expect(box.x).toBeLessThan(floor.x + floor.width);
  expect(box.y + box.height).toBeGreaterThan(floor.y);
  expect(box.y).toBeLessThan(floor.y + floor.height);
});
