// Printed sheets: type one can read at a bench, boxes to tick, all boards on the first.

import type { Page } from "@playwright/test";

import { expect, openDemo, openStool, setOut, test } from "./support";

const NINE_POINTS = 12;

async function print(page: Page, paper: string): Promise<void> {
  await page.evaluate(() => {
    window.print = () => undefined;
  });
  await page.keyboard.press("Control+p");
  await page.getByLabel(paper).check();
  await page.getByRole("button", { name: "Print", exact: true }).last().click();
  await expect(page.locator(".sheets > svg")).not.toHaveCount(0);
}

interface Sheet {
  title: string;
  smallest: number;
  boxes: number;
  overlaps: string[];
  outside: string[];
  words: string;
}

/** What is on each sheet, as Chromium lays it out in its own face. */
function measured(page: Page): Promise<Sheet[]> {
  return page.evaluate(() => {
    const sheets = [...document.querySelectorAll<SVGSVGElement>(".sheets > svg")];
    return sheets.map((sheet) => {
      const frame = sheet.getBoundingClientRect();
      const texts = [...sheet.querySelectorAll("text")];
      const boxes = texts.map((text) => {
        const box = text.getBoundingClientRect();
        // A line's box is taller than its letters.
        const [x, y] = text.hasAttribute("transform") ? [box.width * 0.16, 0] : [0, box.height * 0.16];
        return { text: text.textContent ?? "", left: box.left + x, right: box.right - x, top: box.top + y, bottom: box.bottom - y };
      });
      const overlaps: string[] = [];
      boxes.forEach((a, k) => {
        for (const b of boxes.slice(0, k)) {
          if (a.left < b.right - 0.5 && b.left < a.right - 0.5 && a.top < b.bottom - 0.5 && b.top < a.bottom - 0.5) overlaps.push(`${a.text} / ${b.text}`);
        }
      });
      return {
        title: sheet.querySelector("title")?.textContent ?? "",
        smallest: Math.min(
          ...texts.map((text) => {
            const seen = text.getScreenCTM();
            return Number(text.getAttribute("font-size")) * Math.hypot(seen?.a ?? 0, seen?.b ?? 0);
          }),
        ),
        boxes: sheet.querySelectorAll(".hs-tick").length,
        overlaps,
        outside: boxes.filter((box) => box.left < frame.left || box.right > frame.right || box.top < frame.top || box.bottom > frame.bottom).map((box) => box.text),
        words: sheet.textContent ?? "",
      };
    });
  });
}

for (const paper of ["A4", "Letter"]) {
  test(`sheets of ${paper} have nine points at least, no text on another, a box for each cut`, async ({ page }) => {
    await openDemo(page);
    await setOut(page);
    const cuts = Number((await page.locator("[data-place=bench].place").textContent())?.match(/(\d+) cuts/)?.[1] ?? "0");
    expect(cuts).toBeGreaterThan(20);
    await print(page, paper);
    await page.emulateMedia({ media: "print" });
    const sheets = await measured(page);
    for (const sheet of sheets) {
      expect(sheet.smallest, sheet.title).toBeGreaterThanOrEqual(NINE_POINTS - 0.01);
      expect(sheet.overlaps, sheet.title).toEqual([]);
      expect(sheet.outside, sheet.title).toEqual([]);
    }
    expect(sheets.reduce((sum, sheet) => sum + sheet.boxes, 0)).toBe(cuts);
  });
}

test("the first sheet has all boards, the parts and what is still to buy", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await page.locator("[data-place=piece].place").click();
  const names = await page.locator(".parts .row-words b").allInnerTexts();
  expect(names.length).toBeGreaterThan(1);
  await print(page, "A4");
  const [first, ...rest] = await measured(page);
  expect(first?.title).toBe("All boards");
  for (const name of names) expect(first?.words).toContain(name);
  expect(first?.words).not.toContain("Still to find");
  expect(rest.every((sheet) => sheet.title.startsWith("Board "))).toBe(true);
});
