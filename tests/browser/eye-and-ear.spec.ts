// What the ear hears of edits, and what the eye keeps when colours are forced, contrast is raised
// or motion is not wanted.

import type { Page } from "@playwright/test";

import { action, expect, goTo, openDemo, openStool, parts, setOut, test } from "./support";

const said = (page: Page) => page.locator("[data-spoken]");

test("every edit is told, with what it concerns", async ({ page }) => {
  await openStool(page);
  await page.locator(".boards .row-open").first().click();
  await page.locator("[data-field=thickness]").fill("41");
  await page.keyboard.press("Tab");
  await expect(said(page)).toContainText(/thickness.* of board .*: 41/i);
  await action(page, "undo").click();
  await expect(said(page)).toContainText(/Undone: .*thickness/i);
  await page.locator(".back").click();
  await page.locator("[data-quick=count]").first().click();
  await page.keyboard.type("2");
  await page.keyboard.press("Enter");
  await expect(said(page)).toContainText(/how many.* of board .*: 2/i);
  await page.keyboard.press("Control+z");
  await action(page, "add-board").click();
  await expect(said(page)).toContainText("Added: board");
  await action(page, "undo").click();
  await setOut(page);
  const part = parts(page).first();
  await part.focus();
  await page.keyboard.press("Enter");
  for (const key of ["r", "f", "p", "t"]) {
    const before = await said(page).textContent();
    await page.keyboard.press(key);
    // To the letter: a sentence said again differs by a blank.
    await expect.poll(() => said(page).textContent()).not.toBe(before);
    expect(((await said(page).textContent()) ?? "").trim().length, key).toBeGreaterThan(5);
  }
  // The same edit twice is heard twice.
  await page.keyboard.press("Control+z");
  const once = await said(page).textContent();
  await page.keyboard.press("Control+z");
  expect(await said(page).textContent()).not.toBe(once);
});

test("edits in a window are told inside it", async ({ page }) => {
  await openDemo(page);
  await page.keyboard.press("w");
  const field = page.locator("dialog input[type=text]").first();
  await field.fill("12");
  await page.keyboard.press("Tab");
  await expect(page.locator("dialog [role=status]")).toContainText("12");
});

test("forced colours show where one is and what is chosen", async ({ page }) => {
  await page.emulateMedia({ forcedColors: "active" });
  await openDemo(page);
  const places = await page.locator(".place b").evaluateAll((all) => all.map((each) => getComputedStyle(each).color));
  expect(new Set(places).size).toBe(2);
  expect(places.filter((colour) => colour === places[0])).toHaveLength(1);
  await expect(page.locator(".place .here")).toHaveCount(1);
  const stroke = await page.locator(".place .here").evaluate((each) => [getComputedStyle(each).stroke, getComputedStyle(document.body).backgroundColor]);
  expect(stroke[0]).not.toBe(stroke[1]);
  // A chosen board: in the list, and by another stroke on the floor.
  await page.locator(".world [data-board]").nth(1).focus();
  await page.keyboard.press("Enter");
  const outline = await page.locator("tr.is-chosen").evaluate((each) => getComputedStyle(each).outlineStyle);
  expect(outline).toBe("solid");
  await goTo(page, "setting_out");
  await page.locator(".blank").first().focus();
  await page.keyboard.press("Enter");
  expect(await page.locator(".blank.is-chosen").evaluate((each) => getComputedStyle(each).outlineStyle)).toBe("solid");
  // Words stand out from their buttons, also on the chief one.
  const unseen = await page.evaluate(() =>
    [...document.querySelectorAll("button, a, input, select")]
      .filter((each) => each.getClientRects().length > 0)
      .filter((each) => {
        const { color, backgroundColor } = getComputedStyle(each);
        const clear = /rgba\(.*, 0\)/.test(backgroundColor);
        return color === (clear ? getComputedStyle(document.body).backgroundColor : backgroundColor);
      })
      .map((each) => each.outerHTML.slice(0, 120)),
  );
  expect(unseen).toEqual([]);
  // Paper and ink of the drawings are the machine's.
  const ink = await page.locator(".world text").first().evaluate((each) => [getComputedStyle(each).fill, getComputedStyle(document.body).color]);
  expect(ink[0]).toBe(ink[1]);
});

test("more contrast leaves no pencil grey", async ({ page }) => {
  await page.emulateMedia({ contrast: "more" });
  await openDemo(page);
  const colours = await page.evaluate(() => {
    const probe = document.createElement("i");
    document.body.append(probe);
    const of = (name: string): string => {
      probe.style.color = `var(--hs-${name})`;
      return getComputedStyle(probe).color;
    };
    return ["ink", "pencil", "line"].map(of);
  });
  expect(new Set(colours).size).toBe(1);
});

test("where motion is not wanted nothing moves by itself", async ({ page }) => {
  await page.emulateMedia({ reducedMotion: "reduce" });
  await openStool(page);
  await goTo(page, "setting_out");
  await action(page, "set-out").click();
  await expect(parts(page).first()).toBeVisible({ timeout: 30_000 });
  expect(await page.evaluate(() => document.getAnimations().length)).toBe(0);
});

for (const colorScheme of ["light", "dark"] as const) {
  test(`cuts that are made keep their contrast in the ${colorScheme}`, async ({ page }) => {
    await page.emulateMedia({ colorScheme });
    await openStool(page);
    await setOut(page);
    await goTo(page, "bench");
    await page.locator('.next-cut [data-action="cut-done"]').click();
    await page.locator(".done-cuts > summary").click();
    const least = await page.locator(".done-cuts").evaluate((step) => {
      const canvas = document.createElement("canvas").getContext("2d", { willReadFrequently: true });
      const light = (colour: string): number => {
        if (canvas === null) return 0;
        canvas.fillStyle = colour;
        canvas.fillRect(0, 0, 1, 1);
        const [r = 0, g = 0, b = 0] = [...canvas.getImageData(0, 0, 1, 1).data].slice(0, 3).map((each) => {
          const value = each / 255;
          return value <= 0.03928 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
        });
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
      };
      const ground = light(getComputedStyle(document.querySelector(".sheet") ?? document.body).backgroundColor);
      let least = 21;
      for (const each of step.querySelectorAll<HTMLElement>("*")) {
        if (![...each.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.textContent?.trim() !== "")) continue;
        let opacity = 1;
        for (let up: Element | null = each; up !== null && up !== step.parentElement; up = up.parentElement) opacity *= Number(getComputedStyle(up).opacity);
        const words = light(getComputedStyle(each).color);
        const seen = words * opacity + ground * (1 - opacity);
        const [high, low] = [Math.max(seen, ground), Math.min(seen, ground)];
        least = Math.min(least, (high + 0.05) / (low + 0.05));
      }
      return least;
    });
    expect(least).toBeGreaterThanOrEqual(4.5);
  });
}

test("headings: one of the first order, and none is passed over", async ({ page }) => {
  await openDemo(page);
  for (const place of ["timber", "piece", "setting_out", "bench"] as const) {
    await goTo(page, place);
    const orders = await page.evaluate(() =>
      [...document.querySelectorAll("h1, h2, h3, h4")].map((each) => Number(each.tagName.slice(1))),
    );
    expect(orders.filter((order) => order === 1), place).toHaveLength(1);
    orders.slice(1).forEach((order, at) => expect(order, place).toBeLessThanOrEqual((orders[at] ?? 1) + 1));
  }
});
