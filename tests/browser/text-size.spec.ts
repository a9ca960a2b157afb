// Text as large as a person wants it.

import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";

import type { Page } from "@playwright/test";

import { action, dropFile, expect, fixture, goTo, openDemo, test } from "./support";

test("every size of text follows the browser's, and what is narrow is measured in text", () => {
  const folder = join(__dirname, "../../web/src/style");
  const found = readdirSync(folder)
    .filter((name) => name.endsWith(".css") && name !== "print.css")
    .flatMap((name) =>
      readFileSync(join(folder, name), "utf8")
        .split("\n")
        .filter((line) => (/font(-size)?:[^;]*\dp[xt]/.test(line) && !/rem/.test(line)) || /@media[^{]*width/.test(line))
        .map((line) => `${name}: ${line.trim()}`),
    );
  expect(found).toEqual([]);
});

/** What cannot be reached: cut off at a side, lying over its neighbour, or outside every part that scrolls. */
async function unreachable(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const wrong: string[] = [];
    const name = (each: Element): string => each.outerHTML.replace(/\s+/g, " ").slice(0, 110);
    const root = document.documentElement;
    if (root.scrollWidth > window.innerWidth) {
      const widest = [...document.querySelectorAll("body *")].filter((each) => each.getBoundingClientRect().right > window.innerWidth + 1);
      wrong.push(`the page is ${root.scrollWidth} wide in ${window.innerWidth}: ${widest.slice(0, 3).map(name).join(" | ")}`);
    }
    if (document.body.scrollLeft !== 0) wrong.push("the page was moved sideways");
    const dialog = document.querySelector("dialog");
    const within = dialog ?? document.body;

    const seen = [...within.querySelectorAll<HTMLElement>("button, input, select, textarea, summary, h2, h3")].filter(
      (each) =>
        each.getClientRects().length > 0 && each.closest(".narrow-hidden-text, .skip, svg") === null && getComputedStyle(each).visibility !== "hidden",
    );
    for (const each of seen) {
      const box = each.getBoundingClientRect();
      // Up through what scrolls: sideways nothing may stick out, but for lists made to be moved sideways.
      let scroller: Element | null = each.parentElement;
      let mayMoveSideways = false;
      while (scroller !== null && scroller !== document.body) {
        const style = getComputedStyle(scroller);
        if (/auto|scroll/.test(style.overflowX) && scroller.matches(".blanks, .table-scroll, .tabs, .paste")) mayMoveSideways = true;
        const own = scroller.getBoundingClientRect();
        const cuts = /hidden|clip|auto|scroll/.test(style.overflowX);
        if (cuts && !mayMoveSideways && (box.right > own.right + 1 || box.left < own.left - 1)) {
          wrong.push(`cut off at a side: ${name(each)}`);
          break;
        }
        // What lies below is reached only where something scrolls down to it.
        const isBelow = box.bottom > own.bottom + 1 && /hidden|clip/.test(style.overflowY);
        if (isBelow && !each.closest(".floor")) {
          wrong.push(`below what shows: ${name(each)}`);
          break;
        }
        if (/auto|scroll/.test(style.overflowY)) break;
        scroller = scroller.parentElement;
      }
      if (!mayMoveSideways && (box.left < -1 || box.right > window.innerWidth + 1)) wrong.push(`out of the window: ${name(each)}`);
      // Words that are wider than what holds them.
      if (each.matches("button, h2, h3") && each.scrollWidth > each.clientWidth + 1 && getComputedStyle(each).overflowX === "visible" && !mayMoveSideways) {
        wrong.push(`words stick out: ${name(each)}`);
      }
    }

    // Nothing in the header lies over anything else there, and no place is cut off.
    const items = [...document.querySelectorAll<HTMLElement>(".top .mark, .top .job-title, .top .place, .top .tools > *")].filter(
      (each) => each.getClientRects().length > 0,
    );
    const boxes = items.map((each) => ({ each, box: each.getBoundingClientRect() }));
    for (const [at, one] of boxes.entries()) {
      for (const other of boxes.slice(at + 1)) {
        const across = Math.min(one.box.right, other.box.right) - Math.max(one.box.left, other.box.left);
        const down = Math.min(one.box.bottom, other.box.bottom) - Math.max(one.box.top, other.box.top);
        if (across > 1 && down > 1) wrong.push(`${one.each.textContent} lies over ${other.each.textContent}`);
      }
    }
    for (const place of document.querySelectorAll<HTMLElement>(".place")) {
      for (const words of place.querySelectorAll<HTMLElement>("b, small")) {
        if (words.getClientRects().length === 0) continue;
        const box = words.getBoundingClientRect();
        const own = place.getBoundingClientRect();
        if (box.right > own.right + 1 || box.left < own.left - 1 || words.scrollWidth > words.clientWidth + 1) {
          wrong.push(`the place ${words.textContent} is cut off`);
        }
        // A word of the four stands whole on its line.
        if (words.tagName === "B" && words.getClientRects().length > 0) {
          const range = document.createRange();
          range.selectNodeContents(words);
          const lines = new Set([...range.getClientRects()].map((line) => Math.round(line.top))).size;
          if (lines > (words.textContent ?? "").split(" ").length) wrong.push(`the place ${words.textContent} is broken`);
        }
      }
    }
    // Something of the floor and of the sheet is there to be seen or scrolled to.
    for (const region of [".floor", ".sheet-body"]) {
      const box = document.querySelector(region)?.getBoundingClientRect();
      if (dialog === null && (box === undefined || box.height < 60)) wrong.push(`${region} is ${box?.height} high`);
    }
    return [...new Set(wrong)];
  });
}

const LONG = "Oberschrankseitenwandverstärkungsleistenabdeckungsbrettchen".padEnd(60, "x");

async function walk(page: Page): Promise<void> {
  const check = async (where: string): Promise<void> => expect.soft(await unreachable(page), where).toEqual([]);
  for (const place of ["timber", "piece", "setting_out", "bench"] as const) {
    await goTo(page, place);
    await check(place);
    if (place === "timber" || place === "piece") {
      await page.locator(".sheet .row-open").first().click();
      await expect(page.locator(".form")).toBeVisible();
      await check(`a form of ${place}`);
      await page.locator(".back").click();
    }
  }
  for (const id of ["keys", "workshop", "print", "files-out", "kept-jobs", "paste-parts", "about"]) {
    await action(page, "menu").click();
    await check("the menu");
    await page.locator(`dialog [data-action="${id}"]`).click();
    await expect(page.locator("dialog")).toHaveCount(1);
    await check(`the window ${id}`);
    await page.keyboard.press("Escape");
  }
}

/** The desk with a plan, a name of sixty letters for the job, a part and a board. */
function longNames(): string {
  const job = JSON.parse(fixture("writing-desk")) as { title: string; boards: { name: string }[]; parts: { name: string }[] };
  job.title = LONG;
  if (job.boards[0] !== undefined) job.boards[0].name = LONG;
  if (job.parts[0] !== undefined) job.parts[0].name = LONG;
  return JSON.stringify(job);
}

for (const { width, height, percent } of [
  { width: 1280, height: 800, percent: 100 },
  { width: 1280, height: 800, percent: 150 },
  { width: 1280, height: 800, percent: 200 },
  { width: 390, height: 844, percent: 100 },
  { width: 390, height: 844, percent: 150 },
  { width: 390, height: 844, percent: 200 },
  // What a browser's zoom of 200 % and 400 % leaves of 1280, and of 200 % leaves of 390.
  { width: 640, height: 400, percent: 100 },
  { width: 320, height: 256, percent: 100 },
  { width: 195, height: 422, percent: 100 },
]) {
  test(`everything is reached at ${width} by ${height} with text at ${percent} %`, async ({ page }) => {
    test.setTimeout(120_000);
    await page.setViewportSize({ width, height });
    await page.addInitScript((size) => {
      const set = (): void => void (document.documentElement.style.fontSize = `${size}%`);
      document.addEventListener("DOMContentLoaded", set);
    }, percent);
    await openDemo(page);
    await dropFile(page, "long.heartside.json", longNames());
    await expect(page.locator(".job-title")).toHaveText(LONG);
    await walk(page);
  });
}

for (const width of [768, 820, 940, 1024]) {
  test(`the names of the places keep whole at ${width}`, async ({ page }) => {
    await page.setViewportSize({ width, height: 900 });
    await openDemo(page);
    const lines = await page.locator(".place b").evaluateAll((names) =>
      names.map((name) => {
        const range = document.createRange();
        range.selectNodeContents(name);
        return new Set(Array.from(range.getClientRects(), (box) => Math.round(box.top))).size;
      }),
    );
    expect(lines).toEqual([1, 1, 1, 1]);
  });
}
