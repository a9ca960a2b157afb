// What is typed and not yet left: given back after a reload or a crash, into the very field.

import { readFileSync } from "node:fs";

import type { Page } from "@playwright/test";

import { action, expect, goTo, killable, openDemo, openPage, test } from "./support";

async function reopen(page: Page): Promise<void> {
  await page.reload();
  await expect(page.locator("#page")).toHaveAttribute("data-ready", "yes");
}

/** The store takes some milliseconds for each key and for what is given up; no person is as quick. */
const stored = (page: Page) => page.waitForTimeout(250);

const kept = (page: Page) => expect(page.locator("[data-keeping=kept]")).toBeVisible();

/** Fields of every kind: how to get there, the field's name, and what is typed. */
const cases: readonly { name: string; go: (page: Page) => Promise<void>; field: string; text: string }[] = [
  {
    name: "a length in a board's form",
    go: async (page) => page.locator(".boards .row-open").first().click(),
    field: "thickness",
    text: "31.25 mm",
  },
  {
    name: "a length that is wrong",
    go: async (page) => page.locator(".boards .row-open").nth(1).click(),
    field: "outline.length",
    text: "2 metres and a b",
  },
  {
    name: "a part's name",
    go: async (page) => {
      await goTo(page, "piece");
      await page.locator(".parts .row-open").nth(2).click();
    },
    field: "name",
    text: "Rail, the long one “left”",
  },
];

for (const { name, go, field, text } of cases) {
  test(`given back after a reload: ${name}`, async ({ page }) => {
    await openDemo(page);
    await kept(page);
    await go(page);
    const input = page.locator(`[data-field="${field}"]`).first();
    const before = await input.inputValue();
    await input.focus();
    await page.keyboard.press("Control+a");
    await page.keyboard.type(text);
    await stored(page);
    await reopen(page);
    const again = page.locator(`[data-field="${field}"]:focus`);
    await expect(again).toHaveValue(text);
    // It was not yet handed over: Escape leaves what stood there.
    await page.keyboard.press("Escape");
    await expect(page.locator(`[data-field="${field}"]`).first()).toHaveValue(before);
    await stored(page);
    await reopen(page);
    await page.waitForTimeout(400);
    await expect(page.locator(`[data-field="${field}"]`)).toHaveCount(0);
  });
}

test("what was given back is typed on and counts when the field is left", async ({ page }) => {
  await openDemo(page);
  await kept(page);
  await page.locator(".boards .row-open").first().click();
  await page.locator("[data-field=name]").focus();
  await page.keyboard.press("Control+a");
  await page.keyboard.type("Half");
  await reopen(page);
  await expect(page.locator("[data-field=name]:focus")).toHaveValue("Half");
  await page.keyboard.type(" a board");
  await page.keyboard.press("Tab");
  await expect(page.locator("[data-field=name]")).toHaveValue("Half a board");
  await kept(page);
  await reopen(page);
  await expect(page.locator(".boards")).toContainText("Half a board");
  await page.waitForTimeout(400);
  // Nothing is given back twice.
  await expect(page.locator("[data-field=name]")).toHaveCount(0);
});

test("a value typed over in a list is given back in its form", async ({ page }) => {
  await openDemo(page);
  await kept(page);
  await page.locator("[data-quick=thickness]").first().click();
  await page.keyboard.type("33");
  await reopen(page);
  await expect(page.locator("[data-field=thickness]:focus")).toHaveValue("33");
});

test("a list on its way in is given back in its window", async ({ page }) => {
  await openDemo(page);
  await kept(page);
  await page.keyboard.press("Shift+V");
  await page.locator("textarea.paste").fill("name\tcount\tlength\twidth\tthickness\nShelf\t2\t700\t");
  await reopen(page);
  await expect(page.locator("textarea.paste")).toHaveValue(/Shelf\t2\t700\t$/);
  await page.keyboard.press("Escape");
  await expect(page.locator("dialog")).toHaveCount(0);
  await stored(page);
  await reopen(page);
  await page.waitForTimeout(400);
  await expect(page.locator("dialog")).toHaveCount(0);
});

test("the job's name is given back", async ({ page }) => {
  await openDemo(page);
  await kept(page);
  await page.locator(".job-title").click();
  await page.keyboard.type("Desk for A");
  await reopen(page);
  await expect(page.locator("[data-field=title]:focus")).toHaveValue("Desk for A");
});

test("what is typed is given back after the browser was killed", async ({ playwright }, info) => {
  const browser = killable(playwright, info);
  const page = await browser.start();
  await openDemo(page);
  await kept(page);
  await page.locator(".boards .row-open").first().click();
  await page.locator("[data-field=thickness]").focus();
  await page.keyboard.press("Control+a");
  await page.keyboard.type("41");
  await page.waitForTimeout(300);
  await browser.kill();

  const again = await browser.start();
  await openPage(again);
  await expect(again.locator("[data-field=thickness]:focus")).toHaveValue("41");
  await browser.close();
});

test("a file saved from within a field holds what was typed", async ({ page }) => {
  await openDemo(page);
  await page.locator(".boards .row-open").first().click();
  await page.locator("[data-field=name]").focus();
  await page.keyboard.press("Control+a");
  await page.keyboard.type("Plank from the barn");
  const [download] = await Promise.all([page.waitForEvent("download"), page.keyboard.press("Control+s")]);
  expect(readFileSync(await download.path(), "utf8")).toContain("Plank from the barn");
  await expect(page.locator("[data-field=name]")).toBeFocused();
  await action(page, "undo").click();
  await expect(page.locator("[data-field=name]")).not.toHaveValue("Plank from the barn");
});

test("what is typed in a window counts however the window is left", async ({ page }) => {
  await openDemo(page);
  const field = page.locator("dialog input[type=text]").first();
  let text = 10;
  for (const how of ["beside", "close"] as const) {
    await page.keyboard.press("w");
    await field.focus();
    await page.keyboard.press("Control+a");
    text += 1;
    await page.keyboard.type(String(text));
    if (how === "beside") await page.mouse.click(3, 3);
    else await page.getByRole("button", { name: "Close", exact: true }).click();
    await expect(page.locator("dialog")).toHaveCount(0);
    await page.keyboard.press("w");
    await expect(field, how).toHaveValue(String(text));
    await page.keyboard.press("Escape");
  }
});
