// axe finds nothing, of whatever weight, in every place, every form and every window. What hangs
// on colours is asked in the light, in the dark and in forced colours, the rest once.

import AxeBuilder from "@axe-core/playwright";
import type { Page } from "@playwright/test";

import { action, dropFile, expect, fixture, goTo, openDemo, openPage, parts, setOut, test } from "./support";

const looks = [
  { name: "in the light", colorScheme: "light", forcedColors: "none" },
  { name: "in the dark", colorScheme: "dark", forcedColors: "none" },
  { name: "in forced colours", colorScheme: "light", forcedColors: "active" },
] as const;

/** The rules of axe that look at colours. */
const ofColours = ["color-contrast", "link-in-text-block"];

/** What is drawn on the floor: most of the page's elements, looked at with every place. */
const FLOOR = ".world";

/** `without`: what was looked at before and is the same still. */
async function check(page: Page, where: string, without?: string): Promise<void> {
  for (const [at, { name, ...media }] of looks.entries()) {
    await page.emulateMedia(media);
    const axe = new AxeBuilder({ page })
      // The page has no frames, so nothing is gathered from other documents, in a tab of its own each time.
      .setLegacyMode()
      // What passes is only counted: naming each element of it takes most of the time.
      .options({ resultTypes: ["violations"], preload: false });
    if (without !== undefined) axe.exclude(without);
    const { violations } = await (at === 0 ? axe : axe.withRules(ofColours)).analyze();
    const found = violations.flatMap(({ id, impact, nodes }) => {
      const targets = nodes
        // Boards and parts on the floor are spoken as whole sentences; the figures drawn on them are no label.
        .filter(({ html }) => id !== "label-content-name-mismatch" || !/^<g (id|data-fragment)="(board|part)-/.test(html))
        .map(({ target, failureSummary }) => `${target.join(" ")} (${failureSummary?.split("\n")[1]?.trim() ?? ""})`);
      return targets.length === 0 ? [] : [`${where}, ${name}: ${id} (${impact}): ${targets.slice(0, 3).join(" | ")}`];
    });
    expect.soft(found).toEqual([]);
  }
  await page.emulateMedia({ colorScheme: "light", forcedColors: "none" });
}

async function back(page: Page): Promise<void> {
  while (await page.locator(".back").isVisible()) await page.locator(".back").click();
}

async function inWindow(page: Page, id: string, where: string): Promise<void> {
  await page.keyboard.press("Escape");
  await action(page, "menu").click();
  await page.locator(`dialog [data-action="${id}"]`).click();
  await expect(page.locator("dialog")).toHaveCount(1);
  await check(page, where, FLOOR);
}

// Without it a colour is looked at on its way from the light to the dark.
test.use({ contextOptions: { reducedMotion: "reduce" } });

test.beforeEach(async ({ page }) => openDemo(page));

test("places, a plan, what is chosen, and a job with faults", async ({ page }) => {
  test.setTimeout(300_000);
  await check(page, "timber");
  await goTo(page, "piece");
  await check(page, "piece");
  await goTo(page, "bench");
  await check(page, "a bench without cuts");
  await goTo(page, "setting_out");
  await check(page, "setting out without a plan");
  await setOut(page);
  await check(page, "setting out");
  await page.locator(".world [data-part]").first().focus();
  await page.keyboard.press("Enter");
  await check(page, "a chosen part");
  await page.keyboard.press("t");
  await check(page, "a part on the trestle");
  await page.keyboard.press("Control+z");
  await goTo(page, "bench");
  await check(page, "the bench");
  await page.locator(".step-words").nth(1).click();
  await page.locator('.next-cut [data-action="cut-done"]').click();
  await page.locator(".done-cuts > summary").click();
  for (const part of await page.locator(".piece-part > summary").all()) await part.click();
  await check(page, "the bench, a cut made");
  for (const [id, name] of [["measure", "measuring"], ["own-cut", "a cut of one's own"]] as const) {
    await page.keyboard.press(id === "measure" ? "g" : "y");
    await expect(page.locator(".ask")).toBeVisible();
    await check(page, name);
    await page.locator(".back").click();
  }

  const job = JSON.parse(fixture("writing-desk")) as { boards: { thickness: string }[]; parts: { count: string }[] };
  if (job.boards[0] !== undefined) job.boards[0].thickness = "two";
  if (job.parts[0] !== undefined) job.parts[0].count = "few";
  await dropFile(page, "faults.heartside.json", JSON.stringify(job));
  await goTo(page, "timber");
  await check(page, "a job with faults");
  await page.locator(".boards .row-open").first().click();
  await check(page, "a form with a fault");
  await page.keyboard.press("Shift+N");
  await expect(page.locator(".world [data-board]")).toHaveCount(0);
  await check(page, "an empty job");
});

test("every form", async ({ page }) => {
  test.setTimeout(300_000);
  await page.locator(".boards .row-open").nth(4).click();
  await check(page, "a board", FLOOR);
  const inner = await page.locator(".form .row-open").count();
  for (let at = 0; at < inner; at += 3) {
    await page.locator(".form .row-open").nth(at).click();
    await check(page, `zone ${at}`, FLOOR);
    await page.locator(".back").click();
  }
  await back(page);
  await goTo(page, "piece");
  const lines = await page.locator(".parts .row-open").count();
  for (const at of [0, lines - 1]) {
    await page.locator(".parts .row-open").nth(at).click();
    await check(page, `part ${at}`, FLOOR);
    await back(page);
  }
  for (const add of ["Add a dimension", "Add a match"]) {
    await page.getByRole("button", { name: add }).click();
    await check(page, add, FLOOR);
    await back(page);
  }
  for (const [tab, add] of [
    [0, "Add a saw"],
    [2, "Add a species"],
  ] as const) {
    await page.keyboard.press("w");
    const tabs = page.locator("dialog [role=tab]");
    if ((await tabs.count()) > tab) await tabs.nth(tab).click();
    const button = page.getByRole("button", { name: add }).first();
    if (!(await button.isVisible())) {
      await page.keyboard.press("Escape");
      continue;
    }
    await button.click();
    await check(page, add, FLOOR);
    await back(page);
  }
});

test("every window", async ({ page, context }) => {
  test.setTimeout(300_000);
  await dropFile(page, "step-stool.heartside.json", fixture("step-stool"));
  await expect(page.locator(".job-title")).toHaveText("Step stool");
  await setOut(page);
  await expect(parts(page).first()).toBeVisible();
  await action(page, "menu").click();
  await check(page, "the menu", FLOOR);
  for (const id of ["keys", "about", "paste-parts", "print", "files-out", "kept-jobs"]) await inWindow(page, id, id);
  await page.keyboard.press("Escape");
  await page.keyboard.press("Shift+V");
  await page.locator("textarea.paste").fill("name\tcount\tlength\twidth\tthickness\nShelf\t2\t700\t200\t18\nBad\tx\t1\t2\t3");
  await check(page, "a pasted list", FLOOR);
  await page.keyboard.press("Escape");
  await page.locator("[data-keeping]").click();
  await check(page, "is my work kept", FLOOR);
  await page.keyboard.press("Escape");
  await page.keyboard.press("k");
  await check(page, "keep this plan", FLOOR);
  await page.locator("dialog input").press("Enter");
  await expect(page.locator("dialog")).toHaveCount(0);
  await check(page, "a kept plan", FLOOR);
  await page.keyboard.press("c");
  await check(page, "two plans side by side", FLOOR);
  await page.keyboard.press("Escape");
  await page.keyboard.press("w");
  const tabs = await page.locator("dialog [role=tab]").count();
  for (let at = 0; at < Math.max(tabs, 1); at += 1) {
    if (tabs > 0) await page.locator("dialog [role=tab]").nth(at).click();
    await check(page, `the workshop, ${at}`, FLOOR);
  }
  await page.keyboard.press("Escape");

  const second = await context.newPage();
  await openPage(second);
  await expect(second.locator("[data-keeping=reader]")).toBeVisible();
  await second.locator("[data-keeping=reader]").click();
  await check(second, "one job in two tabs");
  await second.keyboard.press("Escape");
  await second.locator('[data-action="add-board"]').first().click();
  await second.keyboard.press("Escape");
  await second.locator(".back").click();
  await second.keyboard.press("Shift+N");
  await expect(second.locator("[data-leaving=go]")).toBeVisible();
  await check(second, "a job that is kept nowhere");
});
