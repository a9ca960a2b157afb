// The list of cuts: short, opened on demand; what is cut stays where it is.

import { action, dropFile, expect, fixture, fromMenu, goTo, openDemo, openStool, parts, place, savedText, setOut, test } from "./support";

const words = (text: string): number => text.split(/\s+/).filter((word) => word !== "").length;

test("the writing desk's cuts are told in a thousand words at most, each on demand in full", async ({ page }) => {
  await openDemo(page);
  await setOut(page);
  await goTo(page, "bench");
  const count = await page.locator(".step").count();
  await expect(page.locator(".cut-list h3")).toHaveText(new RegExp(`^${count} cuts, \\d+ set-ups$`));
  const closed = words(await page.locator(".cut-list").innerText());
  expect(closed).toBeLessThanOrEqual(1000);
  expect(closed / count).toBeLessThan(16);
  // Every caution is named once at the top and said in full there when it is opened.
  const summary = page.locator(".cut-list .all-cautions summary");
  await expect(summary).toContainText("eyes and ears");
  await expect(page.locator(".cut-list .all-cautions p").first()).toBeHidden();
  await summary.click();
  await expect(page.locator(".cut-list .all-cautions p").first()).toContainText("hearing protection");
  const told = await page.locator(".cut-list .all-cautions p").allInnerTexts();
  expect(new Set(told).size).toBe(told.length);
  // A line opens to its whole step: title, workpiece, setting.
  const first = page.locator(".step").first();
  await expect(first.locator(".step-whole")).toHaveCount(0);
  await first.locator(".step-words").click();
  await expect(first.locator(".step-whole")).toContainText("The workpiece is");
  await expect(first.locator(".step-whole")).toContainText("kerf");
  // Another one closes it.
  await page.locator(".step-words").nth(1).click();
  await expect(page.locator(".step-whole")).toHaveCount(1);
});

test("every cut with cautions bears their mark, and dangerous ones their words", async ({ page }) => {
  await openDemo(page);
  await setOut(page);
  await goTo(page, "bench");
  const count = await page.locator(".step").count();
  for (let at = 0; at < count; at += 5) {
    const step = page.locator(".step").nth(at);
    await step.locator(".step-words").click();
    const full = await step.locator(".cautions p").allInnerTexts();
    const marked = (await step.locator(".care").count()) > 0 || (await step.locator("em").count()) > 0;
    expect(marked, `cut ${at + 1}`).toBe(full.length > 0);
    if (full.some((text) => /^(Short piece|Raw edge|Narrow strip)/.test(text))) await expect(step.locator("em")).not.toHaveCount(0);
    await step.locator(".step-words").click();
  }
});

test("a chosen cut is drawn strongly with its number and measure, near and far", async ({ page }) => {
  await openDemo(page);
  await setOut(page);
  await goTo(page, "bench");
  // A line drawn on the wood has no measure; the plan is another each time.
  const line = page.locator(".step").filter({ hasText: /\d from/ }).first();
  const number = await line.locator(".cut-number").innerText();
  await line.locator(".step-words").click();
  const shown = page.locator('[data-fragment="chosen-cut"]');
  for (const turn of ["fit", "farther", "farther", "closer", "closer", "closer"]) {
    await action(page, turn).click();
    await page.waitForTimeout(300);
    await expect(shown).toHaveCount(1);
    await expect(shown.locator("text")).toHaveText(new RegExp(`^${number} · \\d`));
    const size = await shown.locator("text").evaluate((text) => text.getBoundingClientRect().height);
    expect(size).toBeGreaterThan(10);
    const thick = await shown
      .locator(".hs-chosen-cut")
      .first()
      .evaluate((each) => Number.parseFloat(getComputedStyle(each).strokeWidth) * ((each as SVGGraphicsElement).getScreenCTM()?.a ?? 0));
    expect(thick).toBeGreaterThan(3);
  }
  await goTo(page, "timber");
  await expect(shown).toHaveCount(0);
  await goTo(page, "bench");
  await expect(shown).toHaveCount(1);
  await line.locator(".step-words").click();
  await expect(shown).toHaveCount(0);
});

test("parts on a board that is partly cut move as before; what is in hand does not, and says so", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await goTo(page, "bench");
  // Until a part is in hand.
  for (let cut = 1; (await page.locator(".copy-in_hand").count()) === 0; cut += 1) {
    await page.keyboard.press("x");
    await expect(page.locator(".done-cuts > summary")).toContainText(`${cut} cut`);
    await page.waitForTimeout(400);
  }
  const before = JSON.parse(await savedText(page)) as { done: unknown[]; boards: unknown[] };
  await goTo(page, "setting_out");
  const part = await parts(page).first().getAttribute("data-part");
  await parts(page).first().click();
  await page.keyboard.press("t");
  await expect(page.locator("dialog")).toHaveCount(0);
  await expect(page.locator(`.trestle [data-trestle-part="${part ?? ""}"]`)).not.toHaveCount(0);
  const after = JSON.parse(await savedText(page)) as typeof before;
  expect(after.done).toEqual(before.done);
  expect(after.boards).toEqual(before.boards);
  // Leaving needs no question: what is cut is in the job and kept.
  await expect(page.locator("[data-keeping=kept]")).toBeVisible();
  const asked = page.evaluate(() => !window.dispatchEvent(new Event("beforeunload", { cancelable: true })));
  expect(await asked).toBe(false);
});

test("the bench names what is wrong and shows no cuts for that board", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await goTo(page, "bench");
  await expect(page.locator(".bench-wrong")).toHaveCount(0);
  await page.locator(".step-words").first().click();
  const board = await page.locator('[data-fragment="chosen-cut"]').getAttribute("data-on-board");
  const letter = board?.split("#")[0] ?? "";
  await goTo(page, "timber");
  // Thinner than anything that lies on it: the plan does not fit any more.
  await page.getByLabel(new RegExp(`^Thickness of ${letter}:`)).click();
  await page.keyboard.press("Control+a");
  await page.keyboard.type("6");
  await page.keyboard.press("Enter");
  await goTo(page, "bench");
  await expect(page.locator(".bench-wrong")).toContainText(`Board ${letter}`);
  // What is left are cuts of other boards.
  const steps = page.locator(".step-words");
  for (let at = 0; at < (await steps.count()); at += 1) {
    await steps.nth(at).click();
    await expect(page.locator("[data-fragment=\"chosen-cut\"]")).not.toHaveAttribute("data-on-board", board ?? "");
  }
});

test("what undo takes back is said once", async ({ page }) => {
  await openStool(page);
  await goTo(page, "piece");
  await action(page, "add-part").click();
  const label = await page.locator('[data-action="undo"]').first().getAttribute("aria-label");
  expect(label).toMatch(/^Undo: (?!Undo)/);
  await action(page, "undo").click();
  expect(await page.locator('[data-action="redo"]').first().getAttribute("aria-label")).toMatch(/^Redo: (?!Do again)/);
});

test("a board to mend gives no empty drawing: it is said why", async ({ page }) => {
  await openDemo(page);
  const broken = JSON.parse(fixture("step-stool")) as { boards: { thickness?: unknown; id: string }[] };
  for (const board of broken.boards) board.thickness = "as thick as a plank";
  await dropFile(page, "broken.heartside.json", JSON.stringify(broken));
  await goTo(page, "timber");
  await page.locator(".boards .row-open").first().click();
  let downloads = 0;
  page.on("download", () => (downloads += 1));
  await fromMenu(page, "svg-board");
  await expect(page.locator(".notice")).toContainText("nothing was saved");
  await fromMenu(page, "svg-all");
  await expect(page.locator(".notice")).toContainText("no board that can be drawn");
  expect(downloads).toBe(0);
  await expect(place(page, "timber")).toBeVisible();
});
