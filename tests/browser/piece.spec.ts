// Piece: parts, their forms, and pasting a list.

import { action, expect, goTo, openDemo, test } from "./support";

test("a part is added, its fields typed, its blank shown beside the finished size", async ({ page }) => {
  await openDemo(page);
  await goTo(page, "piece");
  await action(page, "add-part").click();
  const form = page.locator(".form");
  await form.locator("[data-field=name]").fill("Foot rail");
  await form.locator("[data-field=name]").press("Enter");
  await form.locator('input.measure').first().fill("610");
  await form.locator('input.measure').first().press("Enter");
  await page.locator(".back").click();
  const row = page.locator(".parts tr", { hasText: "Foot rail" });
  await expect(row).toContainText("finished");
  await expect(row).toContainText("blank");
  await expect(row).toContainText("610");
  await page.keyboard.press("Control+z");
  await page.keyboard.press("Control+z");
  await page.keyboard.press("Control+z");
  await expect(row).toHaveCount(0);
});

test("a part says what its boards finish at most", async ({ page }) => {
  await openDemo(page);
  await goTo(page, "piece");
  await expect(page.locator(".parts tr", { hasText: "Front rail" })).toContainText(/finishes at most/);
});

test("how many of a part is typed over in its row", async ({ page }) => {
  await openDemo(page);
  await goTo(page, "piece");
  const count = page.locator(".parts [data-quick=count]").first();
  await count.click();
  await expect(page.locator(".quick-editing input")).toBeFocused();
  await page.keyboard.type("9");
  await page.keyboard.press("Enter");
  await expect(page.locator(".parts [data-quick=count]").first()).toHaveText("9");
});

test("a pasted list shows what was understood before anything is added", async ({ page }) => {
  await openDemo(page);
  await goTo(page, "piece");
  const rows = page.locator(".parts tbody tr");
  const before = await rows.count();
  await action(page, "paste-parts").click();
  await page
    .getByLabel("The list")
    .fill("name\tcount\tlength\twidth\tthickness\nSlat\t4\t400\t45\t12\nOdd one\t1\twide\t45\t12\nBatten\t2\t15 3/4\"\t1 1/2\"\t12");
  const understood = page.locator(".understood");
  await expect(understood).toContainText("Slat");
  await expect(understood).toContainText("Batten");
  await expect(understood).toContainText("Line 3");
  await expect(rows).toHaveCount(before);
  await page.getByRole("button", { name: /^Add these parts/ }).click();
  await expect(page.locator(".parts tr", { hasText: "Slat" })).toHaveCount(1);
  await page.keyboard.press("Control+z");
  await expect(rows).toHaveCount(before);
});
