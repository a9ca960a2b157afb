// For everyone: contrast of the palette, keys only, narrow windows, targets large enough for a
// finger. What axe finds stands in axe.spec.ts.

import { actions } from "../../web/src/state/actions";
import type { App } from "../../web/src/state/app";
import { keyText } from "../../web/src/state/keys";
import { text } from "../../web/src/text";

import { boards, expect, goTo, openDemo, openPage, openStool, parts, setOut, test } from "./support";

const places = ["timber", "piece", "setting_out", "bench"] as const;

for (const colorScheme of ["light", "dark"] as const) {
  test.describe(`in the ${colorScheme}`, () => {
    test.use({ colorScheme });

    test("the palette has the contrast it needs", async ({ page }) => {
      await openPage(page);
      const colours = await page.evaluate(() => {
        const style = getComputedStyle(document.documentElement);
        return Object.fromEntries(
          ["paper", "sheet", "ink", "pencil", "chalk", "heart", "good", "wood", "part"].map((name) => [
            name,
            style.getPropertyValue(`--hs-${name}`).trim(),
          ]),
        );
      });
      const light = (hex: string): number => {
        const channel = (at: number): number => {
          const value = parseInt(hex.slice(at, at + 2), 16) / 255;
          return value <= 0.03928 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
        };
        return 0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5);
      };
      const contrast = (a = "#000000", b = "#000000"): number => {
        const [high, low] = [light(a), light(b)].sort((x, y) => y - x) as [number, number];
        return (high + 0.05) / (low + 0.05);
      };
      for (const ground of ["paper", "sheet"]) {
        for (const words of ["ink", "pencil", "chalk", "heart", "good"]) {
          expect(contrast(colours[words], colours[ground]), `${words} on ${ground}`).toBeGreaterThanOrEqual(4.5);
        }
      }
      for (const ground of ["wood", "part"]) {
        for (const words of ["ink", "pencil"]) {
          expect(contrast(colours[words], colours[ground]), `${words} on ${ground}`).toBeGreaterThanOrEqual(4.5);
        }
        expect(contrast(colours["chalk"], colours[ground]), `chalk on ${ground}`).toBeGreaterThanOrEqual(3);
      }
    });
  });
}

test("the light is changed by hand and remembered", async ({ page }) => {
  await openDemo(page);
  const ground = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
  const before = await ground();
  await page.keyboard.press("Shift+D");
  await expect.poll(ground).not.toBe(before);
  const dark = await ground();
  await page.waitForTimeout(150);
  await page.reload();
  await expect(page.locator("#page")).toHaveAttribute("data-ready", "yes");
  await expect.poll(ground).toBe(dark);
});

test("the whole job can be done without a pointer", async ({ page }) => {
  test.setTimeout(90_000);
  await openPage(page);
  await page.getByRole("button", { name: "Understood" }).focus();
  await page.keyboard.press("Enter");
  await page.keyboard.press("Shift+N");
  await expect(boards(page)).toHaveCount(0);
  // A board, with its thickness typed.
  await page.keyboard.press("b");
  await expect(boards(page)).toHaveCount(1);
  await page.locator("[data-field=thickness]").focus();
  await page.keyboard.press("Control+a");
  await page.keyboard.type("30");
  await page.keyboard.press("Tab");
  // A part.
  await page.locator(".place[data-place=piece]").focus();
  await page.keyboard.press("Enter");
  await page.keyboard.press("n");
  await expect(page.locator(".form")).toBeVisible();
  await page.locator(".back").focus();
  await page.keyboard.press("Enter");
  // Set out.
  await page.keyboard.press("s");
  await expect(page.locator(".sheet h2").first()).toHaveText(/^All 1 part|^The 1 part|^1 of 1|^All/, { timeout: 30_000 });
  if (await page.getByRole("button", { name: "Stop" }).isVisible()) await page.keyboard.press("s");
  await expect(page.locator(".working")).toBeHidden({ timeout: 30_000 });
  // Walk over the floor: the board, then the part; choose it and move it.
  await page.locator(".world [tabindex='0']").focus();
  await page.keyboard.press("ArrowRight");
  await expect(page.locator(".world [data-part]:focus")).toHaveCount(1);
  await page.keyboard.press("Enter");
  await expect(page.locator(".selection")).toBeVisible();
  await page.keyboard.press("t");
  await expect(parts(page)).toHaveCount(0);
  await page.keyboard.press("Control+z");
  await expect(parts(page)).toHaveCount(1);
  await page.keyboard.press("4");
  await expect(page.locator(".step").first()).toBeVisible();
  await page.keyboard.press("?");
  await expect(page.locator("dialog")).toContainText("Turn over");
  await page.keyboard.press("Escape");
  await expect(page.locator("dialog")).toHaveCount(0);
});

test("the list of keys names every action with its keys, and nothing else but the floor's own", async ({ page }) => {
  await openDemo(page);
  await page.keyboard.press("?");
  const rows = await page
    .locator(".keys div")
    .evaluateAll((all) => all.map((row) => [...row.querySelectorAll("kbd, dt:not(:has(kbd)), dd")].map((each) => each.textContent).join(" | ")));
  // As the page stands when it has just been opened.
  const opened = {
    desk: { opened: { value: null }, state: { value: { undo: null, redo: null, selection: null, units: "mm", boards: [], bench: { by_board: false, next: null, set_ups: [] } } } },
    drawing: { seen: { value: null } },
    marking: { value: null },
    awake: { value: true },
    settingOut: { running: { value: false }, canGoOn: { value: false } },
    theme: { dark: { value: false } },
    figure: { shown: { value: false } },
  } as unknown as App;
  const wanted = actions.map((action) => [...action.keys.map(keyText), action.label(opened)].join(" | "));
  const ofFloor = text.keys.floorLines.map((line) => line.join(" | "));
  expect([...rows].sort()).toEqual([...wanted, ...ofFloor].sort());
});

test("boards and parts have spoken names", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  for (const element of await page.locator(".world [data-board], .world [data-part]").all()) {
    expect(((await element.getAttribute("aria-label")) ?? "").length).toBeGreaterThan(2);
    expect(await element.getAttribute("role")).toBe("button");
  }
});

for (const [width, height] of [
  [360, 640],
  [390, 844],
  [768, 1024],
  [1024, 768],
  [1920, 1080],
] as const) {
  test.describe(`at ${width} by ${height}`, () => {
    test.use({ viewport: { width, height }, hasTouch: width < 1200 });

    test("nothing runs out of the window and targets are large enough", async ({ page }) => {
      await openStool(page);
      await setOut(page);
      for (const place of places) {
        await goTo(page, place);
        const overflow = await page.evaluate(() => ({
          page: document.documentElement.scrollWidth - window.innerWidth,
          sheet: (() => {
            const sheet = document.querySelector(".sheet-body");
            return sheet === null ? 0 : sheet.scrollWidth - sheet.clientWidth;
          })(),
        }));
        expect(overflow.page, place).toBeLessThanOrEqual(0);
        expect(overflow.sheet, place).toBeLessThanOrEqual(0);
        const small = await page.evaluate(() =>
          [...document.querySelectorAll<HTMLElement>("button, select, input:not([type=checkbox]):not([type=radio]), .tick")]
            .filter((each) => each.offsetParent !== null)
            .map((each) => ({ box: each.getBoundingClientRect(), what: each.outerHTML.slice(0, 90) }))
            .filter(({ box }) => box.width > 0 && (box.height < 43.5 || box.width < 43.5))
            .map(({ what, box }) => `${Math.round(box.width)}x${Math.round(box.height)} ${what}`),
        );
        expect(small, place).toEqual([]);
      }
    });
  });
}

test.describe("on a phone", () => {
  test.use({ viewport: { width: 390, height: 844 }, hasTouch: true });

  test("the sheet is pulled up and down, by pointer and by keys", async ({ page }) => {
    await openDemo(page);
    const sheet = page.locator(".sheet");
    const height = async () => (await sheet.boundingBox())?.height ?? 0;
    const usual = await height();
    const grip = page.locator(".sheet-grip");
    const box = await grip.boundingBox();
    if (box === null) throw new Error("no grip");
    await page.mouse.move(box.x + box.width / 2, box.y + 10);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width / 2, box.y - 200, { steps: 5 });
    await page.mouse.up();
    expect(await height()).toBeGreaterThan(usual + 150);
    await grip.focus();
    await page.keyboard.press("ArrowDown");
    await page.keyboard.press("ArrowDown");
    expect(await height()).toBeLessThan(usual + 150);
    await grip.click();
    expect(await height()).toBeLessThan(110);
    await grip.click();
    expect(Math.abs((await height()) - usual)).toBeLessThan(4);
  });
});
