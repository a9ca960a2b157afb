// A board drawn on the floor by touch: its outline with typed sizes, a hole, an oval and a line along the grain, each
// one step to undo. What the hand and its numbers come to is tested in the core.

import type { CDPSession, Page } from "@playwright/test";

import { action, boards, expect, fromMenu, middleOf, openDemo, savedText, test } from "./support";

test.use({ hasTouch: true, viewport: { width: 390, height: 844 } });

interface SavedBoard {
  outline: { form: string; points?: number[][]; holes?: number[][][] };
  zones?: { note: string; shape: Record<string, unknown> }[];
  grain?: { lines: number[][][] };
}

async function saved(page: Page): Promise<SavedBoard | undefined> {
  return (JSON.parse(await savedText(page)) as { boards: SavedBoard[] }).boards[0];
}

async function tap(page: Page, selector: string): Promise<void> {
  const found = page.locator(selector).filter({ visible: true }).first();
  await found.scrollIntoViewIfNeeded();
  const { x, y } = await middleOf(found);
  await page.touchscreen.tap(x, y);
}

async function type(page: Page, sizes: readonly string[]): Promise<void> {
  const first = page.locator("[data-draw-field='0']");
  await first.focus();
  for (const typed of sizes) {
    const [one = "", other] = typed.split(" ");
    await page.keyboard.type(one);
    if (other !== undefined) {
      await page.keyboard.press("Tab");
      await page.keyboard.type(other);
    }
    await page.keyboard.press("Enter");
    await expect(first).toHaveValue("");
  }
}

test("a board is drawn by touch: outline, hole, oval, grain; each is taken back as one step", async ({ page }) => {
  let finger: CDPSession | null = null;
  const drag = async (dx: number, dy: number, during?: () => Promise<void>): Promise<void> => {
    finger ??= await page.context().newCDPSession(page);
    const { x, y } = await middleOf(page.locator('.world [data-board="Z"] .hs-wood').first());
    const touch = (type: string, touchPoints: object[]): Promise<unknown> => (finger as CDPSession).send("Input.dispatchTouchEvent" as never, { type, touchPoints } as never);
    const at = (share: number): object => ({ x: x - dx / 2 + dx * share, y: y - dy / 2 + dy * share });
    await touch("touchStart", [at(0)]);
    for (const share of [0.25, 0.5, 0.75, 1]) await touch("touchMove", [at(share)]);
    await during?.();
    await touch("touchEnd", []);
  };

  await openDemo(page);
  await fromMenu(page, "new-job");
  await page.locator("[data-field=board-lines]").fill("Z: 2000 x 150 27");
  await page.keyboard.press("Enter");
  await expect(boards(page)).toHaveCount(1);
  await tap(page, ".boards .row-open");

  await tap(page, "[data-action=draw-outline]");
  await page.getByRole("button", { name: "Draw anew" }).tap();
  await type(page, ["0 -90", "2400", "180", "2400", ""]);
  await tap(page, "[data-action=draw-done]");
  await expect(page.locator(".draw-bar")).toHaveCount(0);
  expect((await saved(page))?.outline.points).toEqual([[0, -90], [2400, -90], [2400, 90], [0, 90]]);

  await tap(page, "[data-action=draw-outline]");
  await page.getByRole("button", { name: "A hole" }).tap();
  await type(page, ["1800 -20", "100 0", "60", "100"]);
  await tap(page, "[data-action=draw-done]");
  await expect(page.locator(".draw-bar")).toHaveCount(0);
  expect((await saved(page))?.outline.holes).toHaveLength(1);

  await tap(page, "[data-mark-kind=knot]");
  await tap(page, "[data-action=draw-area]");
  await drag(40, 14, () => expect(page.locator(".loupe")).toBeVisible());
  await expect(page.locator(".loupe")).toHaveCount(0);
  await type(page, ["64 38"]);
  await tap(page, "[data-action=draw-done]");
  await expect(page.locator(".draw-bar")).toHaveCount(0);
  const zone = (await saved(page))?.zones?.[0];
  expect(zone?.note).toBe("knot");
  expect(zone?.shape).toMatchObject({ form: "spot", length: 64, width: 38 });

  await tap(page, "[data-action=draw-grain]");
  await page.locator(".draw-bar select").selectOption("freehand");
  await drag(200, 8);
  await drag(100, -6);
  await page.keyboard.press("Escape");
  await tap(page, "[data-action=draw-done]");
  await expect(page.locator(".draw-bar")).toHaveCount(0);
  expect((await saved(page))?.grain?.lines).toHaveLength(1);

  for (let step = 0; step < 4; step += 1) await action(page, "undo").tap();
  const board = await saved(page);
  expect([board?.outline.form, board?.zones, board?.grain]).toEqual(["tape", undefined, undefined]);
});
