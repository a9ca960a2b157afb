// The floor by keyboard: one stop of Tab, arrows inside it, names that tell the board, and a
// focus that no redraw loses.

import type { Page } from "@playwright/test";

import { expect, goTo, openDemo, openStool, parts, setOut, test } from "./support";

const stops = (page: Page) => page.locator('.world [tabindex="0"]');
const focused = (page: Page) => page.locator(".world :focus");

interface Where {
  readonly kind: "part" | "board";
  readonly board: string;
  readonly x: number;
  readonly y: number;
}

const where = (page: Page): Promise<Where> =>
  focused(page).evaluate((element) => {
    const box = (element.querySelector(".hs-blank") ?? element).getBoundingClientRect();
    return {
      kind: element.hasAttribute("data-part") ? ("part" as const) : ("board" as const),
      board: element.getAttribute("data-on-board") ?? "",
      x: box.left + box.width / 2,
      y: box.top + box.height / 2,
    };
  });

test("the floor is one stop; left and right go along a board, up and down from board to board", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await expect(stops(page)).toHaveCount(1);
  await stops(page).focus();
  await page.keyboard.press("Home");
  const first = await where(page);
  expect(first.kind).toBe("board");
  const onFirst = await page.locator(`.world > [data-part][data-on-board="${first.board}"]`).count();
  // Along the first board, each part once, from left to right.
  let last = -Infinity;
  for (let k = 0; k < onFirst; k += 1) {
    await page.keyboard.press("ArrowRight");
    const now = await where(page);
    expect(now.kind).toBe("part");
    expect(now.board).toBe(first.board);
    expect(now.x).toBeGreaterThanOrEqual(last - 0.5);
    last = now.x;
    await expect(stops(page)).toHaveCount(1);
  }
  for (let k = 0; k < onFirst; k += 1) await page.keyboard.press("ArrowLeft");
  expect((await where(page)).kind).toBe("board");
  // Down is to what lies lower, and up comes back.
  await page.keyboard.press("ArrowDown");
  const lower = await where(page);
  expect(lower.kind).toBe("board");
  expect(lower.y).toBeGreaterThan(first.y);
  await page.keyboard.press("ArrowUp");
  expect((await where(page)).board).toBe(first.board);
});

test("every board is reached by arrows, whatever the columns", async ({ page }) => {
  await page.setViewportSize({ width: 1900, height: 560 });
  await openDemo(page);
  await goTo(page, "timber");
  const count = await page.locator(".world [data-board]").count();
  await stops(page).focus();
  await page.keyboard.press("Home");
  const seen = new Set<string>([(await where(page)).board]);
  const queue = ["ArrowDown", "ArrowRight", "ArrowUp", "ArrowLeft"];
  for (let k = 0; k < 60 && seen.size < count; k += 1) {
    const before = (await where(page)).board;
    // Down each column, then to the next one and up again.
    await page.keyboard.press(k % 24 < 11 ? "ArrowDown" : k % 24 === 11 ? "ArrowRight" : "ArrowUp");
    const now = (await where(page)).board;
    seen.add(now);
    if (now === before && k % 24 !== 11) await page.keyboard.press(queue[k % 4] ?? "ArrowDown");
    seen.add((await where(page)).board);
  }
  expect(seen.size).toBe(count);
});

test("a part's name tells its board, and the chosen one says that it is chosen", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  for (const part of await parts(page).all()) {
    const board = (await part.getAttribute("data-on-board"))?.split("#")[0] ?? "?";
    await expect(part).toHaveAttribute("aria-label", new RegExp(`, on board ${board}`));
    await expect(part).toHaveAttribute("aria-pressed", "false");
  }
  await stops(page).focus();
  await page.keyboard.press("Home");
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Enter");
  await expect(focused(page)).toHaveAttribute("aria-pressed", "true");
  await expect(page.locator('.world [aria-pressed="true"]')).toHaveCount(1);
});

test("the focus outlives redraws: turning, moving, undoing, looking closer, going about", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await stops(page).focus();
  await page.keyboard.press("Home");
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Enter");
  const id = await focused(page).getAttribute("data-fragment");
  for (const key of ["f", "r", "Shift+R", "ArrowRight", "Control+z", "+", "-", "p", "Control+z"]) {
    await page.keyboard.press(key);
    await page.waitForTimeout(350);
    await expect(focused(page)).toHaveAttribute("data-fragment", id ?? "");
    await expect(stops(page)).toHaveCount(1);
  }
  // Put on the trestle it is somewhere sensible, never nowhere.
  await page.keyboard.press("t");
  await expect(page.locator(":focus")).toHaveCount(1);
  await expect(page.locator("body:focus")).toHaveCount(0);
});
