// The floor by a finger: what is carried is seen, words stand clear of the finger, and the floor scrolls.

import type { CDPSession, Page } from "@playwright/test";

import { expect, goTo, middleOf, openDemo, test } from "./support";

test.use({ viewport: { width: 390, height: 844 }, hasTouch: true });

async function finger(page: Page): Promise<{
  down(x: number, y: number): Promise<void>;
  move(x: number, y: number): Promise<void>;
  up(): Promise<void>;
}> {
  const session: CDPSession = await page.context().newCDPSession(page);
  const send = (type: "touchStart" | "touchMove" | "touchEnd", points: { x: number; y: number }[]): Promise<unknown> =>
    session.send("Input.dispatchTouchEvent", { type, touchPoints: points });
  return {
    down: async (x, y) => void (await send("touchStart", [{ x, y }])),
    move: async (x, y) => void (await send("touchMove", [{ x, y }])),
    up: async () => void (await send("touchEnd", [])),
  };
}

test("a blank pulled off the trestle is seen under the finger at once, its words clear of it", async ({ page }) => {
  await openDemo(page);
  await goTo(page, "setting_out");
  const touch = await finger(page);
  const from = await middleOf(page.locator(".blank").first());
  await touch.down(from.x, from.y);
  await touch.move(from.x, from.y - 14);
  const held = page.locator(".held > *");
  await expect(held).toHaveCount(1);
  await expect(held).toBeVisible();
  const board = await middleOf(page.locator(".world [data-board]").nth(2));
  for (const at of [
    { x: board.x, y: board.y },
    { x: 60, y: 150 },
    { x: 330, y: 150 },
  ]) {
    await touch.move(at.x - 4, at.y);
    await touch.move(at.x, at.y);
    const words = page.locator(".near");
    await expect(words).toBeVisible();
    await page.waitForTimeout(120);
    const box = await words.boundingBox();
    if (box === null) throw new Error("nothing is said");
    const clear = at.x < box.x - 12 || at.x > box.x + box.width + 12 || at.y < box.y - 12 || at.y > box.y + box.height + 12;
    expect(clear, JSON.stringify({ at, box })).toBe(true);
    expect(box.x).toBeGreaterThanOrEqual(0);
    expect(box.x + box.width).toBeLessThanOrEqual(390);
  }
  await touch.up();
  await expect(held).toHaveCount(0);
});

test("a finger scrolls the floor to the boards that lie below, and the hint goes with the last", async ({ page }) => {
  await openDemo(page);
  await goTo(page, "setting_out");
  const more = page.locator(".more-below");
  await expect(more).toBeVisible();
  const touch = await finger(page);
  const floor = await page.locator(".floor").boundingBox();
  if (floor === null) throw new Error("there is no floor");
  const scale = (): Promise<number> => page.locator(".world").evaluate((world) => (world as unknown as SVGGraphicsElement).getCTM()?.a ?? 0);
  const before = await scale();
  for (let k = 0; k < 4; k += 1) {
    await touch.down(floor.x + 350, floor.y + 230);
    for (let y = 220; y >= 60; y -= 20) await touch.move(floor.x + 350, floor.y + y);
    await touch.up();
  }
  await expect(more).toHaveCount(0);
  expect(await scale()).toBeCloseTo(before, 6);
});

test("a tapped measure is typed over, tapped again it is mended", async ({ browser }) => {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true });
  const page = await context.newPage();
  await openDemo(page);
  await goTo(page, "timber");
  await page.locator(".row-open").first().tap();
  const length = page.locator('[data-field="outline.length"]');
  await length.tap();
  await page.keyboard.type("2500");
  await expect(length).toHaveValue("2500");
  await length.tap();
  await page.keyboard.press("End");
  await page.keyboard.type(".5");
  await expect(length).toHaveValue("2500.5");
  await context.close();
});
