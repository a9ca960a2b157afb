// Bench: cuts in order, ticked off, picked out on the floor, with their cautions.

import { expect, goTo, openStool, setOut, test } from "./support";

test("cuts are listed with measurements, ticked, and picked out on the floor", async ({ page }) => {
  await openStool(page);
  await goTo(page, "bench");
  await expect(page.getByRole("heading", { name: "No cuts yet" })).toBeVisible();
  await setOut(page);
  await goTo(page, "bench");
  const steps = page.locator(".step");
  const count = await steps.count();
  expect(count).toBeGreaterThan(1);
  await expect(steps.first()).toContainText(/\d/);
  await steps.first().getByRole("checkbox").check();
  await expect(page.locator(".sheet")).toContainText(`1 of ${count} done`);
  await page.locator(".step-words").first().click();
  await expect(page.locator('[data-fragment="chosen-cut"]')).not.toHaveCount(0);
  await page.locator(".step-words").first().click();
  await expect(page.locator('[data-fragment="chosen-cut"]')).toHaveCount(0);
  await expect(page.locator(".sheet")).toContainText("The machine's manual");
  await goTo(page, "timber");
  await goTo(page, "bench");
  await expect(steps.first().getByRole("checkbox")).toBeChecked();
});
