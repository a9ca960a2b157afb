// Panels: glued up in the form of a part, shown beside the boards, put in order by pointer and by keys; and
// what a size would cost over its range.

import type { Locator, Page } from "@playwright/test";

import { action, dropFile, expect, goTo, middleOf, openDemo, setOut, test } from "./support";

const table = JSON.stringify({
  format: "heartside-job",
  version: 3,
  title: "Small table",
  units: { length: "mm" },
  dimensions: [{ name: "reach", preferred: 500, least: 440, most: 500, step: 5 }],
  boards: [
    {
      id: "A",
      count: 4,
      thickness: 34,
      species: "white oak",
      heart_side: "up",
      price: { amount: 40, per: "piece" },
      outline: { form: "tape", length: 2000, stations: [{ at: 0, left: 100, right: 100 }] },
    },
  ],
  parts: [
    { id: "top", name: "Top", thickness: 20, shape: { form: "rectangle", length: 1200, width: 400 } },
    { id: "leg", name: "Leg", count: 2, thickness: 20, shape: { form: "rectangle", length: { expr: "reach" }, width: 60 } },
  ],
});

async function openTable(page: Page): Promise<void> {
  await openDemo(page);
  await dropFile(page, "small-table.heartside.json", table);
  await expect(page.locator(".job-title")).toHaveText("Small table");
}

/** Makes the top a panel in its form. */
async function glueUp(page: Page): Promise<void> {
  await goTo(page, "piece");
  await page.locator(".parts .row-open", { hasText: "Top" }).click();
  await page.locator("[data-field=panel]").selectOption("staves");
}

const panel = (page: Page): Locator => page.locator("section.panel");
const order = async (page: Page): Promise<string[]> => panel(page).locator(".staves b").allInnerTexts();

test("a part is glued up in its form, and its staves are put in order by keys and by pointer", async ({ page }) => {
  await openTable(page);
  await glueUp(page);
  await expect(panel(page)).toContainText("glued up from 3 staves");
  await page.locator(".back").click();
  await expect(page.locator(".parts tr", { hasText: "Top" })).toContainText("Top, stave 3");
  await setOut(page);
  await expect(panel(page).locator(".staves")).not.toContainText("trestle");
  const before = await order(page);
  expect(before).toHaveLength(3);
  const down = panel(page).getByRole("button", { name: /one place down/ }).first();
  await down.focus();
  await page.keyboard.press("Enter");
  await expect.poll(() => order(page)).toEqual([before[1], before[0], before[2]]);
  await page.keyboard.press("Control+z");
  await expect.poll(() => order(page)).toEqual(before);

  const picture = panel(page).locator("[data-stave]");
  await picture.first().scrollIntoViewIfNeeded();
  const lowest = await middleOf(picture.first().locator(".hs-wood"));
  const highest = await middleOf(picture.last().locator(".hs-wood"));
  const x = lowest.x - 60;
  await page.mouse.move(x, lowest.y);
  await page.mouse.down();
  await page.mouse.move(x, (lowest.y + highest.y) / 2);
  await page.mouse.move(x, highest.y - 20);
  await page.mouse.up();
  await expect.poll(() => order(page)).toEqual([before[2], before[0], before[1]]);
  await page.keyboard.press("Control+z");
  await expect.poll(() => order(page)).toEqual(before);
});

test("the panel says how much it moves over the year", async ({ page }) => {
  await openTable(page);
  await glueUp(page);
  await panel(page).locator("summary").click();
  await expect(panel(page)).toContainText("Its width changes by");
  await expect(panel(page)).toContainText("White oak, rings flat or upright, in air of 35 to 65 % humidity");
});

test("what a size would cost is watched, stopped, and a plan of it taken", async ({ page }) => {
  await openTable(page);
  await glueUp(page);
  await page.locator(".back").click();
  await setOut(page);
  await goTo(page, "piece");
  await page.locator(".simple-rows .row-open", { hasText: "reach" }).click();
  const asked = page.locator(".what-if");
  await asked.getByRole("button", { name: "Look" }).click();
  const take = asked.getByRole("button", { name: /^Take the plan for/ });
  await expect(take.first()).toBeVisible({ timeout: 30_000 });
  const stop = asked.getByRole("button", { name: "Stop" });
  // It may be done by itself meanwhile.
  await stop.click({ timeout: 2_000 }).catch(() => undefined);
  await expect(asked.getByRole("button", { name: "Look" })).toBeVisible();
  const value = /for (\d+) mm/.exec((await take.first().getAttribute("aria-label")) ?? "")?.[1];
  await take.first().click();
  await expect(page.locator("[data-spoken]")).toContainText(`reach is ${value} mm now`);
  await page.locator(".back").click();
  await expect(page.locator(".simple-rows").first()).toContainText(`${value} mm, 500 mm preferred`);
  await action(page, "undo").click();
  await expect(page.locator(".simple-rows").first()).not.toContainText(`${value} mm, 500 mm preferred`);
});

test("what was asked of a size is not told of a job that was changed since", async ({ page }) => {
  await openTable(page);
  await glueUp(page);
  await page.locator(".back").click();
  await setOut(page);
  await goTo(page, "piece");
  await page.locator(".simple-rows .row-open", { hasText: "reach" }).click();
  const asked = page.locator(".what-if");
  await asked.getByRole("button", { name: "Look" }).click();
  await expect(asked.locator("ol ol li").first()).toBeVisible({ timeout: 30_000 });
  await page.locator("[data-field=least]").fill("480");
  await page.keyboard.press("Enter");
  await expect(asked.locator("ol")).toHaveCount(0);
  await expect(asked.getByRole("button", { name: "Look" })).toBeVisible();
});
