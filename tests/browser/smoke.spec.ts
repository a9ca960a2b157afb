import { expect, test } from "@playwright/test";
import { pageAddress } from "./page";

test("the page opens from disk and the core starts in page and worker", async ({ page }) => {
  const complaints: string[] = [];
  page.on("console", (message) => {
    if (message.type() === "error" || message.type() === "warning") complaints.push(message.text());
  });
  page.on("pageerror", (error) => complaints.push(error.message));

  await page.goto(pageAddress);
  const main = page.locator("#page");
  await expect(main).toHaveAttribute("data-core", /^\d+\.\d+\.\d+$/);
  await expect(main).toHaveAttribute("data-worker", /^\d+\.\d+\.\d+$/);
  expect(page.url()).toMatch(/^file:/);
  expect(complaints).toEqual([]);
});
