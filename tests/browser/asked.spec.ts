// What a form asks back and tells: doubtful lengths, nominal sizes, woods of one name, where usual
// values come from, and the workshop that a new job begins with.

import { readFileSync } from "node:fs";
import { join } from "node:path";

import type { Page } from "@playwright/test";

import { action, dropFile, expect, fromMenu, goTo, openDemo, savedText, test } from "./support";

const field = (page: Page, name: string) => page.locator(`[data-field="${name}"]`);

async function openFirstBoard(page: Page): Promise<void> {
  await page.locator(".boards .row-open").first().click();
  await expect(field(page, "thickness")).toBeVisible();
}

async function type(page: Page, name: string, text: string): Promise<void> {
  await field(page, name).fill(text);
  await field(page, name).press("Enter");
}

test("a length that may be thousands is asked about, with both readings", async ({ page }) => {
  await openDemo(page);
  await openFirstBoard(page);
  await type(page, "outline.length", "1.400");
  await expect(field(page, "outline.length")).toHaveValue("1.400");
  await expect(field(page, "outline.length")).toHaveAttribute("aria-invalid", "true");
  await expect(page.locator(".form")).toContainText("can be read as 1.4 or as 1400");
  const offers = page.getByRole("group", { name: "Length: choose" });
  await expect(offers.getByRole("button")).toHaveText(["1.4 mm", "1400 mm"]);
  await offers.getByRole("button", { name: "1400 mm" }).click();
  await expect(field(page, "outline.length")).toHaveValue("1400 mm");
  await expect(offers).toHaveCount(0);
  await type(page, "outline.length", "1.400 m");
  await expect(field(page, "outline.length")).toHaveAttribute("aria-invalid", "false");
  await expect(page.locator(".form")).toContainText("= 1400 mm");
});

test("8/4 is what a board was sold as: the field offers what such a board measures", async ({ page }) => {
  await openDemo(page);
  await openFirstBoard(page);
  await type(page, "thickness", "8/4");
  await expect(field(page, "thickness")).toHaveAttribute("aria-invalid", "true");
  await expect(field(page, "nominal")).toHaveValue("8/4");
  const offers = page.getByRole("group", { name: "Thickness: choose" });
  await expect(offers.getByRole("button")).toHaveCount(2);
  await offers.getByRole("button", { name: /planed/ }).click();
  await expect(field(page, "thickness")).toHaveAttribute("aria-invalid", "false");
  await expect(field(page, "thickness")).toHaveValue(/44\.45/);
  await expect(offers).toHaveCount(0);
  const saved = JSON.parse(await savedText(page)) as { boards: { nominal?: { typed?: string } }[] };
  expect(saved.boards[0]?.nominal?.typed).toBe("8/4");
});

test("a name of several woods is kept and asked about", async ({ page }) => {
  await openDemo(page);
  await openFirstBoard(page);
  await type(page, "species", "Oak");
  await expect(page.locator(".form")).toContainText("white oak, red oak or European oak");
  const offers = page.getByRole("group", { name: "Species: choose" });
  await expect(offers.getByRole("button")).toHaveText(["white oak", "red oak", "European oak"]);
  await offers.getByRole("button", { name: "red oak" }).click();
  await expect(field(page, "species")).toHaveValue("Red oak");
  await expect(offers).toHaveCount(0);
  // Where its weight comes from stands beside it.
  await expect(page.locator(".form")).toContainText(/Red oak weighs \d+ kg.*Wood Handbook/);
});

test("in an inch job no field has decimals", async ({ page }) => {
  await openDemo(page);
  await page.keyboard.press("u");
  await openFirstBoard(page);
  await expect(field(page, "thickness")).toHaveValue(/"$/);
  const lengths = await page.locator(".form input.measure").evaluateAll((all) => all.map((each) => (each as HTMLInputElement).value));
  const inches = lengths.filter((text) => text.endsWith('"'));
  expect(inches.length).toBeGreaterThan(8);
  expect(inches.filter((text) => text.includes("."))).toEqual([]);
  // What is rounded says so.
  await expect(page.locator(".reads-as", { hasText: "exactly 27 mm" })).toBeVisible();
});

test("figure is offered as an aim where something is known of it", async ({ page }) => {
  await openDemo(page);
  await goTo(page, "setting_out");
  await expect(page.locator(".aims li > span:first-child")).toHaveText(["Least timber", "Sizes as you like them best", "Best figure", "Least sawing", "Useful offcuts"]);
  const saved = JSON.parse(await savedText(page)) as { objective: string[] };
  expect(saved.objective).toContain("figure");
});

test("a new job begins with a small workshop that can be changed", async ({ page }) => {
  await openDemo(page);
  await fromMenu(page, "new-job");
  await expect(page.locator(".job-title")).toHaveText("Untitled job");
  await action(page, "workshop").click();
  const dialog = page.locator("dialog");
  await expect(dialog.locator(".simple-rows b")).toHaveText(["Guided saw", "Table saw", "Band saw"]);
  await expect(dialog).toContainText("common practice, not from a source: put in your own");
  // Every usual value says where it comes from.
  await expect(dialog.locator(".standing").first()).toHaveText(/^Usual .*(common practice|published|from memory)/);
  await dialog.locator(".simple-rows .row-open").nth(1).click();
  await expect(field(page, "guide")).toHaveValue("rip_fence");
  await page.locator(".details summary").click();
  await expect(field(page, "work_moves")).toHaveCount(0);
  await expect(field(page, "min_piece")).toHaveAttribute("placeholder", "300 mm");
  await field(page, "guide").selectOption("hand");
  await expect(field(page, "work_moves")).toBeVisible();
  await expect(field(page, "min_piece")).toHaveAttribute("placeholder", "no limit");
  await expect(field(page, "leaves_true_edge")).toHaveValue("no");
});

test("a fixing asks how deep it lies and how sure its place is", async ({ page }) => {
  await openDemo(page);
  await openFirstBoard(page);
  await page.locator(".form").getByRole("button", { name: "Mark an area" }).click();
  await field(page, "kind").selectOption("fixing");
  await expect(field(page, "margin")).toHaveAttribute("placeholder", "12 mm");
  await type(page, "uncertain", "20");
  await type(page, "depth_from", "5");
  await expect(field(page, "depth_from")).toHaveAttribute("aria-invalid", "false");
  await field(page, "drawn_before_planing").check();
  const saved = JSON.parse(await savedText(page)) as { boards: { zones: { uncertain?: unknown; margin?: unknown }[] }[] };
  const zone = saved.boards[0]?.zones.at(-1);
  expect(zone?.uncertain).toBe(20);
  expect(zone?.margin).toBeUndefined();
});

test("what an older file means now is told on opening it", async ({ page }) => {
  await openDemo(page);
  const older = readFileSync(join(__dirname, "../../crates/timber/tests/form-1/writing-desk.heartside.json"), "utf8");
  await dropFile(page, "older.heartside.json", older);
  await expect(page.locator(".job-title")).toHaveText("Writing desk in ash");
  await expect(page.locator("body")).toContainText("It was in an older format");
  await expect(page.getByRole("region", { name: "Good to know" })).toContainText("a saw with a fence square to the cut");
  await dropFile(page, "newer.heartside.json", await savedText(page));
  await expect(page.locator(".sheet")).not.toContainText("a saw with a fence square to the cut");
});
