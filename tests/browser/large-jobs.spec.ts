// What keeps large jobs light: held keys are one edit, only what changed is drawn anew, plans are drawn with rest.
// Calls of the core are counted by the measures that it leaves on the browser's time line.

import type { Page } from "@playwright/test";

import { action, expect, openStool, parts, savedText, setOut, test } from "./support";

/** Counts calls of the core by name from now on. */
async function countCalls(page: Page): Promise<() => Promise<Record<string, number>>> {
  await page.evaluate(() => {
    const kept = window as unknown as { calls: Record<string, number> };
    kept.calls = {};
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) {
        const name = entry.name.replace("heartside:", "");
        if (name !== entry.name) kept.calls[name] = (kept.calls[name] ?? 0) + 1;
      }
    }).observe({ type: "measure" });
  });
  return async () => {
    // The observer is told of measures a moment later.
    await page.evaluate(() => new Promise((done) => setTimeout(done, 60)));
    return page.evaluate(() => (window as unknown as { calls: Record<string, number> }).calls);
  };
}

interface Placed {
  part: string;
  copy: number;
  x: number;
  y: number;
}

async function placements(page: Page): Promise<Map<string, Placed>> {
  const saved = JSON.parse(await savedText(page)) as { plan: { layouts: { placements: Placed[] }[] } };
  const all = saved.plan.layouts.flatMap((layout) => layout.placements);
  return new Map(all.map((each) => [`${each.part}#${each.copy}`, each]));
}

const chosenName = (page: Page): Promise<string> =>
  parts(page)
    .first()
    .evaluate((element) => `${(element as SVGElement).dataset["part"]}#${(element as SVGElement).dataset["copy"]}`);

test("a held arrow key is one edit, however often it repeats, and one step to undo", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  const name = await chosenName(page);
  await parts(page).first().click();
  const before = await placements(page);
  const undoable = await action(page, "undo").getAttribute("aria-label");
  const calls = await countCalls(page);
  const drawn = await page.locator(".world").innerHTML();
  for (let times = 0; times < 24; times += 1) await page.keyboard.down("ArrowRight");
  await expect(page.locator(".near")).toBeVisible();
  const held = await calls();
  expect(held["nudge"]).toBeGreaterThan(0);
  expect([held["drag-end"], held["save"], held["state"], held["scene"]]).toEqual([undefined, undefined, undefined, undefined]);
  expect((await page.locator(".world").innerHTML()).replaceAll(" taken-up", "")).toBe(drawn);
  await page.keyboard.up("ArrowRight");
  await expect(page.locator(".near")).toHaveCount(0);
  const after = await calls();
  expect([after["drag-end"], after["save"], after["state"], after["scene"]]).toEqual([1, 1, 1, 1]);
  const moved = await placements(page);
  expect(Math.abs((moved.get(name)?.x ?? 0) - (before.get(name)?.x ?? 0))).toBeCloseTo(24, 6);
  await page.keyboard.press("Control+z");
  await expect(action(page, "undo")).toHaveAttribute("aria-label", undoable ?? "");
  expect(await placements(page)).toEqual(before);
});

for (const other of ["a turn", "a choice", "another window"]) {
  test(`${other} first lays down what a held key moves`, async ({ page }) => {
    await openStool(page);
    await setOut(page);
    const name = await chosenName(page);
    await parts(page).first().click();
    const before = await placements(page);
    await page.keyboard.down("ArrowRight");
    await page.keyboard.down("ArrowRight");
    if (other === "a turn") await page.keyboard.press("f");
    if (other === "a choice") await parts(page).last().click();
    if (other === "another window") await page.evaluate(() => window.dispatchEvent(new Event("blur")));
    await page.keyboard.up("ArrowRight");
    if (other === "a turn") await page.keyboard.press("Control+z");
    expect((await placements(page)).get(name)?.x).toBeCloseTo((before.get(name)?.x ?? 0) + 2, 6);
  });
}

test("one press of an arrow key is one step to undo", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await parts(page).first().click();
  const undoable = await action(page, "undo").getAttribute("aria-label");
  await page.keyboard.press("ArrowDown");
  await expect(action(page, "undo")).not.toHaveAttribute("aria-label", undoable ?? "");
  await page.keyboard.press("Control+z");
  await expect(action(page, "undo")).toHaveAttribute("aria-label", undoable ?? "");
});

test("choosing a part draws its board anew and no other", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await page.evaluate(() => {
    const kept = window as unknown as { boardsDrawn: Set<string> };
    kept.boardsDrawn = new Set();
    const world = document.querySelector(".world");
    if (world === null) return;
    new MutationObserver((changes) => {
      for (const change of changes) {
        for (const node of change.addedNodes) kept.boardsDrawn.add((node as SVGElement).dataset["onBoard"] ?? "none");
      }
    }).observe(world, { childList: true });
  });
  const board = await parts(page).first().getAttribute("data-on-board");
  await parts(page).first().click();
  await expect(page.locator(".selection")).toBeVisible();
  const drawn = await page.evaluate(() => [...(window as unknown as { boardsDrawn: Set<string> }).boardsDrawn]);
  expect(drawn).toEqual([board]);
});

test("a plan is judged once and drawn once", async ({ page }) => {
  await openStool(page);
  const calls = await countCalls(page);
  await setOut(page);
  const counted = await calls();
  // Besides the plans: going to the place, the beginning, the end.
  expect(counted["offer"]).toBeGreaterThan(0);
  expect(counted["scene"] ?? 0).toBeLessThanOrEqual((counted["offer"] ?? 0) + 4);
  expect(counted["state"] ?? 0).toBeLessThanOrEqual((counted["offer"] ?? 0) + 4);
});

test("choosing reads what is chosen, and no list again", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  const calls = await countCalls(page);
  for (const index of [0, 1]) {
    await parts(page).nth(index).click();
    await expect(page.locator(".selection h3")).toHaveCount(1);
    await expect(parts(page).nth(index)).toHaveAttribute("aria-pressed", "true");
  }
  const counted = await calls();
  expect([counted["scene"], counted["state"]]).toEqual([2, undefined]);
});
