// Setting out: to the end without a finding, going on, keeping and comparing, what does not fit.

import { action, boards, dropFile, expect, fixture, fromMenu, goTo, openDemo, openPage, openStool, parts, place, setOut, test } from "./support";

test("the demo job is set out completely and nothing is found wrong", async ({ page }) => {
  test.setTimeout(120_000);
  await openDemo(page);
  await setOut(page);
  await expect(page.locator(".verdict-checked")).toBeVisible();
  await expect(page.locator(".finding-broken")).toHaveCount(0);
  await expect(page.locator(".unplaced")).toHaveCount(0);
  const wanted = Number(/\d+/.exec((await page.locator(".sheet h2").first().textContent()) ?? "")?.[0]);
  await expect(parts(page)).toHaveCount(wanted);
  await expect(page.locator(".blank")).toHaveCount(0);
  await expect(page.locator(".progress svg")).toHaveAttribute("aria-label", /.+/);
  await expect(page.locator(".figures").first()).not.toBeEmpty();
  await expect(place(page, "setting_out")).toContainText("all placed");
});

test("where boards are sawn by line, a plan is seen long before the first exchange", async ({ page }) => {
  await openPage(page);
  const job = JSON.parse(fixture("writing-desk")) as { boards: { cuts?: string }[] };
  for (const board of job.boards) board.cuts = "sawn";
  await dropFile(page, "by-line.heartside.json", JSON.stringify(job));
  await goTo(page, "setting_out");
  await page.evaluate(() => {
    const kept = window as unknown as { firstSteps?: number };
    new MutationObserver(() => {
      const steps = /starting number 1, ([\d,]+) steps/.exec(document.body.textContent ?? "")?.[1];
      if (steps !== undefined) kept.firstSteps ??= Number(steps.replaceAll(",", ""));
    }).observe(document.body, { subtree: true, childList: true, characterData: true });
  });
  await action(page, "set-out").click();
  const firstSteps = () => page.evaluate(() => (window as unknown as { firstSteps?: number }).firstSteps ?? 0);
  await expect.poll(firstSteps, { timeout: 30_000 }).toBeGreaterThan(0);
  expect(await firstSteps()).toBeLessThan(500);
  await page.getByRole("button", { name: "Stop" }).click();
  // Straight parts are cut from such boards too.
  expect(await parts(page).count()).toBeGreaterThanOrEqual(20);
  await expect(page.locator(".finding-broken")).toHaveCount(0);
});

test("one set-out is one step to undo, and better plans are read aloud", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  const placed = await parts(page).count();
  expect(placed).toBeGreaterThan(0);
  await expect(page.locator("[data-spoken]")).not.toBeEmpty();
  await page.keyboard.press("Control+z");
  await expect(parts(page)).toHaveCount(0);
  await page.keyboard.press("Control+Shift+z");
  await expect(parts(page)).toHaveCount(placed);
});

test("a stopped search goes on, and an edit while it runs ends it", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await expect(action(page, "set-out")).toHaveText("Keep improving");
  await action(page, "set-out").click();
  await page.keyboard.press("s");
  await expect(page.locator(".working")).toBeHidden({ timeout: 30_000 });
  await action(page, "set-out").click();
  await goTo(page, "timber");
  await action(page, "add-board").click();
  await expect(page.locator(".notice")).toContainText("The job was changed, so the search stopped");
});

test("plans are kept, shown again, compared and forgotten", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await action(page, "keep-plan").click();
  await page.getByLabel("Name of the plan").fill("As found");
  await page.getByRole("button", { name: "Keep it" }).click();
  const kept = page.locator(".kept .rows li");
  await expect(kept).toHaveCount(1);
  await fromMenu(page, "clear-plan");
  await expect(parts(page)).toHaveCount(0);
  await page.locator(".kept .row-open").filter({ hasText: "As found" }).click();
  await expect(parts(page).first()).toBeVisible();
  await page.keyboard.press("k");
  await page.getByLabel("Name of the plan").fill("Again");
  await page.keyboard.press("Enter");
  await expect(kept).toHaveCount(2);
  await action(page, "compare").click();
  await expect(page.locator(".compare tbody tr").first()).toBeVisible();
  await page.getByLabel("Second plan").selectOption({ label: "As found" });
  await expect(page.locator(".compare tbody tr:nth-child(2) td").first()).not.toBeEmpty();
  await page.keyboard.press("Escape");
  await page.getByRole("button", { name: "Forget the plan Again" }).click();
  await expect(kept).toHaveCount(1);
});

test("what matters most is put in another order", async ({ page }) => {
  await openStool(page);
  await goTo(page, "setting_out");
  const aims = page.locator(".aims li > span:first-child");
  const before = await aims.allTextContents();
  await page.locator(".aims li").nth(1).getByRole("button", { name: /matters more/ }).click();
  const swapped = [before[1], before[0], ...before.slice(2)];
  await expect.poll(() => aims.allTextContents()).toEqual(swapped);
  await page.keyboard.press("Control+z");
  await expect.poll(() => aims.allTextContents()).toEqual(before);
});

test("what cannot be placed is named with its reason and the least board that would take it", async ({ page }) => {
  await openDemo(page);
  await dropFile(page, "bench.heartside.json", fixture("bench-that-does-not-fit"));
  await expect(page.locator(".job-title")).toHaveText("Bench that does not fit");
  await goTo(page, "setting_out");
  await action(page, "set-out").click();
  await expect(page.locator(".unplaced li").first()).toBeVisible({ timeout: 30_000 });
  await expect(page.locator(".unplaced li small").first()).not.toBeEmpty();
  const stop = page.getByRole("button", { name: "Stop" });
  if (await stop.isVisible()) await stop.click();
  await expect(page.locator(".blank").first()).toBeVisible();
  await expect(boards(page).first()).toBeVisible();
});
