// After every action the focus stands on something that can be seen, and after most on what one
// would go on with.

import type { Page } from "@playwright/test";

import { actions } from "../../web/src/state/actions";

import { boards, dropFile, expect, goTo, openDemo, openStool, parts, savedText, setOut, test } from "./support";

/** What has the focus, in words; null where nothing has it or it cannot be seen. */
async function focused(page: Page): Promise<string | null> {
  // Two turns of drawing: the page has then done what it does after a key.
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
  return page.evaluate(() => {
    const here = document.activeElement;
    if (here === null || here === document.body || here === document.documentElement) return null;
    const box = here.getBoundingClientRect();
    if (here.getClientRects().length === 0 || box.width === 0 || getComputedStyle(here).visibility === "hidden") return null;
    return here.getAttribute("data-row") ?? here.getAttribute("data-field") ?? here.getAttribute("aria-label") ?? here.textContent ?? here.tagName;
  });
}

async function stands(page: Page, after: string): Promise<void> {
  expect(await focused(page), `the focus after: ${after}`).not.toBeNull();
}

/** Presses whatever one does with the keyboard at a button that has the focus. */
async function pressed(page: Page, selector: string, nth = 0): Promise<void> {
  await page.locator(selector).filter({ visible: true }).nth(nth).focus();
  await page.keyboard.press("Enter");
}

test("a form is entered at its first field when new, at its heading when opened, and left to its row", async ({ page }) => {
  await openDemo(page);
  await pressed(page, '[data-action="add-board"]');
  await expect(page.locator(".form input:focus")).toHaveCount(1);
  await pressed(page, ".back");
  await expect(page.locator('[data-row^="board 8"]:focus')).toHaveCount(1);
  await expect(page.locator(":focus")).toBeInViewport();
  await pressed(page, ".boards .row-open", 4);
  await expect(page.locator(".sheet h2:focus")).toHaveText(/^board E$/i);
  // A zone within it, and back to its line.
  await pressed(page, ".form .row-open", 2);
  await stands(page, "open a zone");
  await pressed(page, ".back");
  await expect(page.locator('[data-row^="zone 4 2"]:focus')).toHaveCount(1);
  await pressed(page, ".back");
  await expect(page.locator('[data-row^="board 4"]:focus')).toHaveCount(1);
});

test("removing goes to the neighbour, and from the last to the button that adds", async ({ page }) => {
  await openDemo(page);
  await pressed(page, ".boards .row-open", 4);
  const remove = page.locator('.form-table button[aria-label^="Remove"]');
  const count = await remove.count();
  expect(count).toBeGreaterThan(4);
  const last = page.locator('[aria-label="Widths by tape"] button[aria-label^="Remove"]');
  for (let left = count; left > 1; left -= 1) {
    // Now from the middle, now from the end.
    // One width stays: without any the board would be gone.
    const only = (await last.count()) === 1;
    const row = left % 2 === 0 ? left - 1 : Math.floor(left / 2);
    await remove.nth(only ? Math.max(row, 1) : row).focus();
    await page.keyboard.press("Enter");
    await expect(remove).toHaveCount(left - 1);
    await stands(page, `remove number ${left}`);
    expect(await page.evaluate(() => document.activeElement?.closest(".form-table") !== null)).toBe(true);
  }
  for (let back = 0; back < 3; back += 1) {
    await page.keyboard.press("Control+z");
    await stands(page, "undo");
  }
});

test("undo that takes away what had the focus leaves it in the sheet", async ({ page }) => {
  await openDemo(page);
  await pressed(page, '[data-action="add-board"]');
  await page.locator(".form select").first().focus();
  await page.keyboard.press("Control+z");
  await expect(boards(page)).toHaveCount(9);
  await stands(page, "undo");
  expect(await page.evaluate(() => document.activeElement?.closest(".sheet") !== null)).toBe(true);
  await page.keyboard.press("Control+Shift+Z");
  await stands(page, "redo");
  // Removing the thing whose form is open.
  await pressed(page, ".boards .row-open", 2);
  await pressed(page, '.sheet-head-tools button:has-text("Remove")');
  await stands(page, "remove from its form");
});

test("a part that goes to the trestle takes the focus along, and back", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  const part = parts(page).first();
  const id = (await part.getAttribute("data-part")) ?? "";
  await part.focus();
  await page.keyboard.press("Enter");
  await page.keyboard.press("t");
  await expect(page.locator(`[data-trestle-part="${id}"]:focus`)).toHaveCount(1);
  await page.keyboard.press("Control+z");
  await expect(page.locator(`.world [data-part="${id}"]:focus`)).toHaveCount(1);
  await page.keyboard.press("r");
  await stands(page, "turn");
  await page.keyboard.press("Control+z");
  await stands(page, "undo a turn");
  await expect(page.locator(`.world [data-part="${id}"]:focus`)).toHaveCount(1);
});

test("a name typed in the header leaves the focus on it, and its last key presses nothing", async ({ page }) => {
  await openDemo(page);
  for (const key of ["Enter", "Escape"]) {
    await pressed(page, ".job-title");
    await expect(page.locator(".job-title-input")).toBeFocused();
    await page.keyboard.type("Desk");
    await page.keyboard.press(key);
    await expect(page.locator(".job-title")).toBeFocused();
    await page.waitForTimeout(100);
    await expect(page.locator("dialog, .job-title-input")).toHaveCount(0);
  }
});

test("windows give the focus back, whatever it was on", async ({ page }) => {
  await openDemo(page);
  for (const key of ["m", "?", "Shift+K", "Shift+V", "Control+p", "Shift+J", "w"]) {
    await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
    await page.keyboard.press(key);
    await expect(page.locator("dialog")).toHaveCount(1);
    await stands(page, `open by ${key}`);
    await page.keyboard.press("Escape");
    await expect(page.locator("dialog")).toHaveCount(0);
    await page.locator(".boards .row-open").nth(1).focus();
    await page.keyboard.press(key);
    await expect(page.locator("dialog")).toHaveCount(1);
    await page.keyboard.press("Escape");
    await expect(page.locator('[data-row^="board 1"]:focus')).toHaveCount(1);
  }
  // One window that leads to another, and one that leads to a form.
  await pressed(page, '[data-action="menu"]');
  await pressed(page, 'dialog [data-action="keys"]');
  await stands(page, "keys from the menu");
  await page.keyboard.press("Escape");
  await stands(page, "leave the keys");
  await page.keyboard.press("w");
  await pressed(page, 'dialog button:has-text("Add a saw")');
  await expect(page.locator("dialog")).toHaveCount(0);
  await expect(page.locator(".form input:focus")).toHaveCount(1);
});

for (const size of [
  { width: 1280, height: 800 },
  { width: 390, height: 844 },
]) {
  test(`every action by its key leaves the focus on something, at ${size.width}`, async ({ page }) => {
    test.setTimeout(240_000);
    await page.setViewportSize(size);
    await openStool(page);
    await setOut(page);
    await page.keyboard.press("k");
    await page.keyboard.press("Enter");
    await expect(page.locator("dialog")).toHaveCount(0);
    const whole = await savedText(page);
    const placed = await parts(page).count();
    const starts: Record<string, () => Promise<void>> = {
      "a part on the floor": async () => {
        await page.locator(".world [data-part]").first().focus();
        await page.keyboard.press("Enter");
      },
      "a board on the floor": async () => {
        await page.keyboard.press("Escape");
        await page.locator(".world [data-board]").first().focus();
        await page.keyboard.press("Enter");
      },
      "a row of the sheet": async () => {
        const open = page.locator(".sheet .row-open, .sheet button").filter({ visible: true });
        await open.last().focus();
      },
    };
    // Files and printing open the browser's own windows; a search is stopped by the same key.
    const without = new Set(["open", "save", "svg-board", "svg-all", "set-out"]);
    for (const [from, start] of Object.entries(starts)) {
      for (const { id, keys } of actions) {
        const [first] = keys;
        if (first === undefined || without.has(id)) continue;
        await start();
        const name = [first.ctrl ? "Control" : "", first.shift ? "Shift" : "", first.key.length === 1 && first.shift ? first.key.toUpperCase() : first.key];
        await page.keyboard.press(name.filter((each) => each !== "").join("+"));
        await stands(page, `${id} from ${from}`);
        while ((await page.locator("dialog").count()) > 0) await page.keyboard.press("Escape");
        await stands(page, `${id} from ${from}, its window closed`);
        // Back to the plan where an action took it or went elsewhere.
        await page.locator(".place[data-place=setting_out]").click();
        if ((await parts(page).count()) < placed) {
          await dropFile(page, "step-stool.heartside.json", whole);
          await expect(parts(page)).toHaveCount(placed);
        }
      }
    }
  });
}

test("every button of the sheets, pressed by the keyboard, leaves the focus on something", async ({ page }) => {
  test.setTimeout(180_000);
  await openDemo(page);
  for (const place of ["timber", "piece", "setting_out", "bench"] as const) {
    await goTo(page, place);
    const count = await page.locator(".sheet-body button").count();
    for (let at = 0; at < Math.min(count, 24); at += 1) {
      const button = page.locator(".sheet-body button").nth(at);
      if (!(await button.isVisible().catch(() => false))) continue;
      const words = (await button.textContent()) ?? "";
      if (/Set out|Keep improving|Stop/.test(words)) continue;
      await button.focus();
      await page.keyboard.press("Enter");
      await stands(page, `${place}: ${words}`);
      if ((await page.locator("dialog").count()) > 0) await page.keyboard.press("Escape");
      await stands(page, `${place}: ${words}, and its window closed`);
      // A field that opened in a row is left; a form is left by its way back.
      if (await page.locator(".quick-editing").isVisible()) {
        await page.keyboard.press("Escape");
        await stands(page, `${place}: ${words}, left by Escape`);
      }
      while (await page.locator(".back").isVisible()) {
        await pressed(page, ".back");
        await stands(page, `${place}: back from ${words}`);
      }
    }
  }
});
