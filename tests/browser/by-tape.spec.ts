// Boards entered as fast as walking along the rack: typed as lines, their flaws dropped on the picture,
// a width added where an edge is tapped. By touch on a phone, by mouse, by keys; every press, stroke and
// line typed is an action.

import type { CDPSession, Page } from "@playwright/test";

import { action, boards, expect, fromMenu, middleOf, openDemo, savedText, test } from "./support";

const LINE = "Z: 2400 x 128/110 131/110 128/112 130/108 27 European oak";
const MOST_ACTIONS = 20;
const field = (page: Page) => page.locator("[data-field=board-lines]");
const wood = (page: Page) => page.locator('.world [data-board="Z"] .hs-wood').first();

interface SavedBoard {
  id: string;
  species?: string;
  outline: { stations: { at: unknown }[] };
  zones?: { kind: string; shape: { along?: number } }[];
}

async function saved(page: Page): Promise<SavedBoard[]> {
  return (JSON.parse(await savedText(page)) as { boards?: SavedBoard[] }).boards ?? [];
}

interface Hand {
  press(x: number, y: number): Promise<void>;
  drag(from: { x: number; y: number }, dx: number, dy: number): Promise<void>;
}

function byMouse(page: Page): Hand {
  return {
    press: (x, y) => page.mouse.click(x, y),
    async drag(from, dx, dy) {
      await page.mouse.move(from.x, from.y);
      await page.mouse.down();
      await page.mouse.move(from.x + dx, from.y + dy, { steps: 4 });
      await page.mouse.up();
    },
  };
}

function byTouch(page: Page): Hand {
  let session: CDPSession | null = null;
  return {
    press: (x, y) => page.touchscreen.tap(x, y),
    async drag(from, dx, dy) {
      session ??= await page.context().newCDPSession(page);
      const touch = (type: "touchStart" | "touchMove" | "touchEnd", touchPoints: { x: number; y: number }[]): Promise<unknown> =>
        (session as CDPSession).send("Input.dispatchTouchEvent", { type, touchPoints });
      await touch("touchStart", [from]);
      for (let part = 1; part <= 4; part += 1) await touch("touchMove", [{ x: from.x + (dx * part) / 4, y: from.y + (dy * part) / 4 }]);
      await touch("touchEnd", []);
    },
  };
}

/** A board of 2.4 m, four stations, six marked areas. */
async function oneBoard(page: Page, hand: Hand): Promise<void> {
  let actions = 0;
  const tap = async (selector: string): Promise<void> => {
    const { x, y } = await middleOf(page.locator(selector));
    await hand.press(x, y);
    actions += 1;
  };
  await openDemo(page);
  await fromMenu(page, "new-job");
  await expect(boards(page)).toHaveCount(0);

  await field(page).scrollIntoViewIfNeeded();
  await tap("[data-field=board-lines]");
  await page.keyboard.type(LINE);
  await expect(page.locator('.line-board[data-mark="Z"] img')).toBeVisible();
  await expect(boards(page)).toHaveCount(0);
  await page.keyboard.press("Enter");
  actions += 2;
  await expect(boards(page)).toHaveCount(1);
  await expect(field(page)).toHaveValue("");
  await expect(field(page)).toBeFocused();

  let zones = 0;
  const places = { knot: [0.3, 0.45, 0.6], split: [0.9], fixing: [0.75], figure: [0.15] };
  for (const [kind, along] of Object.entries(places)) {
    await page.locator(`[data-mark-kind=${kind}]`).scrollIntoViewIfNeeded();
    await tap(`[data-mark-kind=${kind}]`);
    for (const share of along) {
      const box = await wood(page).boundingBox();
      if (box === null) throw new Error("the board is not in sight");
      await hand.press(box.x + box.width * share, box.y + box.height * 0.5);
      actions += 1;
      zones += 1;
      await expect(page.locator(".mark-frame")).toHaveCount(1);
    }
  }
  // The last one is dragged right.
  await hand.drag(await middleOf(page.locator(".mark-frame")), 22, 0);
  actions += 1;
  expect(actions, "a board by tape is few actions").toBeLessThanOrEqual(MOST_ACTIONS);

  const [board, ...others] = await saved(page);
  expect(others).toEqual([]);
  expect(board?.outline.stations).toHaveLength(4);
  expect(board?.species).toBe("European oak");
  expect(board?.zones).toHaveLength(zones);
  expect(board?.zones?.map((zone) => zone.kind)).toEqual(["defect", "defect", "defect", "defect", "fixing", "figure"]);
  const figure = board?.zones?.at(-1)?.shape.along ?? 0;
  expect(figure, "the figure was dragged").toBeGreaterThan(2400 * 0.16);
}

test("a board with four widths and six marked areas is twenty actions at most, by mouse", async ({ page }) => {
  await oneBoard(page, byMouse(page));
});

test.describe("on a phone", () => {
  test.use({ hasTouch: true, viewport: { width: 390, height: 844 } });
  test("a board with four widths and six marked areas is twenty actions at most, by touch", async ({ page }) => {
    await oneBoard(page, byTouch(page));
  });
});

test("line after line is typed by keys alone; all can be taken back", async ({ page }) => {
  await openDemo(page);
  const before = await boards(page).count();
  await page.keyboard.press("Shift+L");
  await expect(field(page)).toBeFocused();
  for (const line of ["2400 x 140 27", "1800 x 128/110 131/110 27 oak", "8' x 5 1/2+4 x 3/4"]) {
    await page.keyboard.type(line);
    await page.keyboard.press("Enter");
    await expect(field(page)).toHaveValue("");
  }
  await expect(boards(page)).toHaveCount(before + 3);
  await page.keyboard.press("Escape");
  for (let step = 0; step < 3; step += 1) await page.keyboard.press("Control+z");
  await expect(boards(page)).toHaveCount(before);
});

test("what cannot be read is told at its place, and nothing of it is added", async ({ page }) => {
  await openDemo(page);
  const before = await boards(page).count();
  await field(page).fill("2400 x 140 27\n2400 x 15/16 27");
  const told = page.locator(".line-told");
  await expect(told).toHaveCount(1);
  await expect(told).toContainText("Line 2");
  await expect(told).toHaveAttribute("data-column", "8");
  await field(page).press("Enter");
  await expect(boards(page)).toHaveCount(before);
  const picked = await field(page).evaluate((each: HTMLTextAreaElement) => each.value.slice(each.selectionStart, each.selectionEnd));
  expect(picked).toBe("15/16");
  await page.keyboard.type("15+16");
  await page.keyboard.press("Enter");
  await expect(boards(page)).toHaveCount(before + 2);
});

test("what is being typed is given back after a reload", async ({ page }) => {
  await openDemo(page);
  await field(page).fill("2400 x 128/110 131");
  await page.waitForTimeout(200);
  page.on("dialog", (dialog) => void dialog.accept());
  await page.reload();
  await expect(page.locator("#page")).toHaveAttribute("data-ready", "yes");
  await expect(field(page)).toHaveValue("2400 x 128/110 131");
});

test("a width is added where the edge is tapped, and typed", async ({ page }) => {
  await openDemo(page);
  await fromMenu(page, "new-job");
  await field(page).fill("Z: 2400 x 140 27");
  await field(page).press("Enter");
  await page.locator(".boards .row-open").first().click();
  const box = await wood(page).boundingBox();
  if (box === null) throw new Error("the board is not in sight");
  await page.mouse.click(box.x + box.width / 2, box.y + 2);
  await expect(page.locator('[data-field="outline.stations[1].left"]')).toBeFocused();
  await page.keyboard.type("55");
  await page.keyboard.press("Enter");
  const [board] = await saved(page);
  expect(board?.outline.stations).toHaveLength(2);
  await page.keyboard.press("Escape");
  await page.keyboard.press("Control+z");
  await page.keyboard.press("Control+z");
  await expect(action(page, "redo")).toHaveAttribute("aria-disabled", "false");
  expect((await saved(page))[0]?.outline.stations).toHaveLength(1);
});
