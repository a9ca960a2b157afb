// Work is kept: after a reload, after a killed browser, with two tabs, and when storage refuses.

import { action, addBoard, boards, expect, killable, openDemo, openPage, test } from "./support";

test("what was changed is there again after a reload", async ({ page }) => {
  await openDemo(page);
  await action(page, "add-board").click();
  await expect(boards(page)).toHaveCount(10);
  await expect(page.locator("[data-keeping=kept]")).toBeVisible();
  await page.reload();
  await expect(boards(page)).toHaveCount(10);
});

test("what was changed is there again after the browser was killed", async ({ playwright }, info) => {
  const browser = killable(playwright, info);
  const page = await browser.start();
  await openDemo(page);
  await action(page, "add-board").click();
  await expect(page.locator("[data-keeping=kept]")).toBeVisible();
  await browser.kill();

  const again = await browser.start();
  await openPage(again);
  await expect(boards(again)).toHaveCount(10);
  await browser.close();
});

test("a second tab says that the first keeps the job, and can go on with a copy", async ({ page, context }) => {
  await openDemo(page);
  await expect(page.locator("[data-keeping=kept]")).toBeVisible();
  const second = await context.newPage();
  await openPage(second);
  await expect(second.locator("[data-keeping=reader]")).toBeVisible();
  await second.locator('[data-action="add-board"]').first().click();
  await expect(boards(second)).toHaveCount(10);
  await expect(second.locator("[data-keeping=reader]")).toBeVisible();
  await second.locator("[data-keeping=reader]").click();
  await second.locator("[data-clash=both]").click();
  await expect(second.locator("[data-keeping=kept]")).toBeVisible();
  await expect(second.locator(".job-title")).toContainText("(copy)");
  await page.reload();
  await expect(page.locator("#page")).toHaveAttribute("data-ready", "yes");
  await page.keyboard.press("Shift+J");
  await expect(page.locator("dialog .rows li")).toHaveCount(2);
});

test("a newer state kept by another tab is never written over", async ({ page, context }) => {
  await openDemo(page);
  await expect(page.locator("[data-keeping=kept]")).toBeVisible();
  const second = await context.newPage();
  await openPage(second);
  await second.locator("[data-keeping=reader]").click();
  await second.locator("[data-clash=load]").click();
  await expect(second.locator("[data-keeping=kept]")).toBeVisible();
  await expect(page.locator("[data-keeping=reader]")).toBeVisible();
  await second.locator('[data-action="add-board"]').first().click();
  await expect(second.locator("[data-keeping=kept]")).toBeVisible();
  await addBoard(page);
  await addBoard(page);
  await page.waitForTimeout(500);
  await second.reload();
  await expect(boards(second)).toHaveCount(10);
});

test("a browser that refuses storage is told of, and the work can be saved", async ({ page }) => {
  await page.addInitScript(() => {
    IDBFactory.prototype.open = () => {
      throw new DOMException("storage is refused", "SecurityError");
    };
  });
  await openDemo(page);
  await expect(page.locator("[data-keeping=off]")).toBeVisible();
  await expect(page.locator("[data-keeping=off]")).toContainText("Not kept");
  await page.locator("[data-keeping=off]").click();
  await expect(page.locator("dialog")).toContainText("Save a file");
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.locator('dialog [data-action="save"]').click(),
  ]);
  expect(download.suggestedFilename()).toMatch(/\.json$/);
  await action(page, "add-board").click();
  await expect(boards(page)).toHaveCount(10);
});

test("it is said in words whether work is kept", async ({ page }) => {
  await openDemo(page);
  await page.keyboard.press("Shift+K");
  await expect(page.locator("dialog")).toContainText("Kept in this browser");
});
