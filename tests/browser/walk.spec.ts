// Two jobs typed in from nothing as a maker would, with every click and every key counted.
//
// A click is a press of the mouse button (or a tap). A key is a key pressed: each letter and
// figure typed, Enter, and each key of a combination; a choice from a list is two clicks.
// Nothing is pasted and nothing prepared.

import type { Locator, Page } from "@playwright/test";

import { action, boards, expect, openDemo, openPage, place, test } from "./support";

class Hands {
  clicks = 0;
  keys = 0;
  constructor(private readonly page: Page) {}

  async click(target: Locator): Promise<void> {
    this.clicks += 1;
    await target.click();
  }

  async type(text: string): Promise<void> {
    this.keys += text.length;
    await this.page.keyboard.type(text);
  }

  async press(key: string): Promise<void> {
    this.keys += key.split("+").length;
    await this.page.keyboard.press(key);
  }

  /** Types into field after field; an empty text keeps what stands there. */
  async enter(...texts: string[]): Promise<void> {
    for (const text of texts) {
      await this.type(text);
      await this.press("Enter");
    }
  }
}

const focused = (page: Page, field: string): Promise<void> =>
  expect(page.locator(`[data-field="${field}"]`)).toBeFocused();

// A table of 1,400 x 800 mm: four legs; two frames of tenoned rails, the upper one under the
// top and the lower one with slats as a shelf; a top of staves with a clamp at each end; a small
// drawer. Ash of the yard: three edged boards, a plank and a thick
// board that are measured at both ends. Three saws with the maker's own kerfs.
const PARTS = [
  "Leg 4 720 60 45",
  "Long rail 2 1150 90 22 t30",
  "End rail 2 560 90 22 t30",
  "Low rail 2 1150 60 22 t30",
  "Low end 2 560 60 22 t30",
  "Slat 6 500 50 16",
  "Stave 6 1240 130 22",
  "Clamp 2 800 80 22",
  "Cleat 4 200 40 22",
  "Button 8 45 30 16",
  "Front 420 80 18",
  "Side 2 400 80 12",
  "Back 400 80 12",
  "Runner 2 480 30 18",
  "Kicker 2 480 30 18",
];

test("a table of one's own: five boards, fifteen parts, three saws, to the first plan", async ({ page }) => {
  // Each field of each form clicked, emptied by Ctrl+A and typed over, as it was before forms went on by
  // Enter and lists could be typed: 165 clicks, 523 keys.
  await openDemo(page);
  const hands = new Hands(page);
  await hands.click(action(page, "menu"));
  await hands.click(page.locator('dialog [data-action="new-job"]'));
  await expect(boards(page)).toHaveCount(0);

  await hands.click(page.locator(".welcome").getByRole("button"));
  for (const [length, width] of [
    ["2900", "160"],
    ["2800", "150"],
    ["2700", "145"],
  ] as const) {
    await focused(page, "outline.length");
    // Measured at one place: it is as wide all along. The thickness, 27, stands there already.
    await hands.enter(length, "", "", width);
    await hands.type(width);
    if (length === "2900") {
      await hands.click(page.locator('[data-field="species"]'));
      await hands.enter("ash");
      await hands.type("62");
    }
    await hands.press("Control+Enter");
  }
  await focused(page, "outline.length");
  await hands.enter("2600", "", "", "140", "130", "", "125");
  await hands.type("128");
  await hands.press("Control+Enter");
  await focused(page, "outline.length");
  await hands.enter("2300", "52", "", "95", "100", "", "90", "96");
  await expect(boards(page)).toHaveCount(5);

  await hands.click(page.locator(".back"));
  for (const kerf of ["2.4", "3", "1.2"]) {
    await hands.click(page.locator("[data-quick=kerf]").nth(["2.4", "3", "1.2"].indexOf(kerf)));
    await hands.enter(kerf);
  }
  await expect(page.locator(".simple-rows")).toContainText("kerf 1.2");

  await hands.click(place(page, "piece"));
  await hands.click(action(page, "paste-parts"));
  for (const line of PARTS) await hands.enter(line);
  await expect(page.locator(".understood .problem")).toHaveCount(0);
  await hands.click(page.getByRole("button", { name: "Add these parts (15)" }));

  await hands.click(place(page, "setting_out"));
  await hands.click(action(page, "set-out"));
  await expect(page.locator(".world [data-part]").first()).toBeVisible({ timeout: 60_000 });
  await expect(page.locator(".problems .level-error")).toHaveCount(0);

  console.log(`a table of one's own: ${hands.clicks} clicks, ${hands.keys} keys`);
  expect(hands.clicks).toBeLessThanOrEqual(20);
  expect(hands.keys).toBeLessThanOrEqual(420);
});

test("a board by tape: four widths and three marked areas", async ({ page }) => {
  // Each field clicked, emptied and typed over, as it was before: 34 clicks, 112 keys.
  await openDemo(page);
  const hands = new Hands(page);
  await hands.click(action(page, "add-board"));
  await focused(page, "outline.length");
  await hands.enter("2200", "", "", "98", "95", "700", "96", "92", "1500", "92", "91", "", "90", "89");
  await hands.click(page.getByRole("button", { name: "Mark an area" }));
  for (const [at, area] of [
    ["420", "480", "30", "70"],
    ["990", "1060", "110", "140"],
    ["1720", "1830", "45", "80"],
  ].entries()) {
    await focused(page, "shape.begins");
    await hands.enter(...area.slice(0, 3));
    await hands.type(area[3] ?? "");
    if (at < 2) await hands.press("Control+Enter");
  }
  await hands.click(page.locator(".back"));
  const rows = page.locator('.form-table[aria-label="Marked areas"] li');
  await expect(rows).toHaveCount(3);
  await expect(page.locator('.form-table[aria-label="Widths by tape"] tbody tr')).toHaveCount(4);
  // Back at the area that one came from.
  await expect(rows.last().locator(".row-open")).toBeFocused();
  await expect(rows.last()).toBeInViewport();
  await expect(page.locator(".form .problem, .form .bad")).toHaveCount(0);

  console.log(`a board by tape: ${hands.clicks} clicks, ${hands.keys} keys`);
  expect(hands.clicks).toBeLessThanOrEqual(18);
  expect(hands.keys).toBeLessThanOrEqual(90);
});

test("Enter adds widths up to the far end, and a further one lies between its neighbours", async ({ page }) => {
  await openPage(page);
  await action(page, "add-board").click();
  await focused(page, "outline.length");
  for (const text of ["1800", "", "", "90", "95"]) {
    await page.keyboard.type(text);
    await page.keyboard.press("Enter");
  }
  await focused(page, "outline.stations[1].at");
  await expect(page.locator('[data-field="outline.stations[1].at"]')).toHaveValue("1800");
  for (const text of ["", "70", "85"]) {
    await page.keyboard.type(text);
    await page.keyboard.press("Enter");
  }
  // The far end was measured: on to what comes next.
  await focused(page, "species");
  await page.getByRole("button", { name: "Add a width" }).click();
  await focused(page, "outline.stations[1].at");
  const values = await page.locator(".cells input").evaluateAll((all) => all.map((each) => (each as HTMLInputElement).value));
  expect(values).toEqual(["0", "90", "95", "900", "80", "90", "1800", "70", "85"]);
  await expect(boards(page)).toHaveCount(10);
});

test("keys that come before the next frame stay where they led", async ({ page }) => {
  await openPage(page);
  await action(page, "add-board").click();
  await focused(page, "outline.length");
  for (const text of ["1800", "", "", "90"]) {
    await page.keyboard.type(text);
    await page.keyboard.press("Enter");
  }
  await page.keyboard.type("95");
  // Two keys without a frame between them: the first adds a row and goes to it, the second goes on from there.
  const went = await page.evaluate(async () => {
    const names: (string | undefined)[] = [];
    for (let key = 0; key < 2; key += 1) {
      document.activeElement?.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter", bubbles: true, cancelable: true }));
      for (let turn = 0; turn < 20; turn += 1) await Promise.resolve();
      names.push((document.activeElement as HTMLElement | null)?.dataset["field"]);
    }
    return names;
  });
  expect(went[0]).toBe("outline.stations[1].at");
  expect(went[1]).not.toBe(went[0]);
  // What waits for a frame has had some.
  await page.waitForTimeout(200);
  await focused(page, went[1] ?? "");
});
