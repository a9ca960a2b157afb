// Boards entered as fast as walking along the rack: typed as lines, their flaws dropped on the picture,
// a width added where an edge is tapped. By touch on a phone, by mouse, by keys; every press, stroke and
// line typed is an action.

import type { CDPSession, Page } from "@playwright/test";

import { action, boards, expect, fixture, fromMenu, middleOf, openDemo, savedText, test } from "./support";

const LINE = "Z: 2400 x 128/110 131/110 128/112 130/108 27 European oak";
const MOST_ACTIONS = 20;
const field = (page: Page) => page.locator("[data-field=board-lines]");
const woodOf = (page: Page, id: string) => page.locator(`.world [data-board="${id}"] .hs-wood`).first();

/** Where the board lies; the floor may be drawn anew at the moment of asking. */
async function boxOf(page: Page, id: string): Promise<{ x: number; y: number; width: number; height: number }> {
  let box = await woodOf(page, id).boundingBox();
  await expect(async () => {
    box ??= await woodOf(page, id).boundingBox();
    expect(box, "the board is in sight").not.toBeNull();
  }).toPass();
  return box ?? { x: 0, y: 0, width: 0, height: 0 };
}

/** A length as it is stored: a number, or with what was typed. */
type Stored = number | { mm: number };

interface SavedBoard {
  id: string;
  species?: string;
  count?: number;
  thickness: Stored;
  outline: { length: Stored; left: string; right: string; stations: { at: Stored; left: Stored; right: Stored }[] };
  zones?: { kind: string; shape: { form: string } & Record<string, unknown> }[];
}

async function saved(page: Page): Promise<SavedBoard[]> {
  return (JSON.parse(await savedText(page)) as { boards?: SavedBoard[] }).boards ?? [];
}

interface Hand {
  press(x: number, y: number): Promise<void>;
  drag(from: { x: number; y: number }, dx: number, dy: number): Promise<void>;
}

function byMouse(page: Page): Hand {
  return {
    press: (x, y) => page.mouse.click(x, y),
    async drag(from, dx, dy) {
      await page.mouse.move(from.x, from.y);
      await page.mouse.down();
      await page.mouse.move(from.x + dx, from.y + dy, { steps: 4 });
      await page.mouse.up();
    },
  };
}

function byTouch(page: Page): Hand {
  let session: CDPSession | null = null;
  return {
    press: (x, y) => page.touchscreen.tap(x, y),
    async drag(from, dx, dy) {
      session ??= await page.context().newCDPSession(page);
      const touch = (type: "touchStart" | "touchMove" | "touchEnd", touchPoints: { x: number; y: number }[]): Promise<unknown> =>
        (session as CDPSession).send("Input.dispatchTouchEvent", { type, touchPoints });
      await touch("touchStart", [from]);
      for (let part = 1; part <= 4; part += 1) await touch("touchMove", [{ x: from.x + (dx * part) / 4, y: from.y + (dy * part) / 4 }]);
      await touch("touchEnd", []);
    },
  };
}

/** A board of 2.4 m, four stations, six marked areas. */
async function oneBoard(page: Page, hand: Hand): Promise<void> {
  let actions = 0;
  const tap = async (selector: string): Promise<void> => {
    const { x, y } = await middleOf(page.locator(selector));
    await hand.press(x, y);
    actions += 1;
  };
  await openDemo(page);
  await fromMenu(page, "new-job");
  await expect(boards(page)).toHaveCount(0);

  await field(page).scrollIntoViewIfNeeded();
  await tap("[data-field=board-lines]");
  await page.keyboard.type(LINE);
  await expect(page.locator('.line-board[data-mark="Z"] img')).toBeVisible();
  await expect(boards(page)).toHaveCount(0);
  await page.keyboard.press("Enter");
  actions += 2;
  await expect(boards(page)).toHaveCount(1);
  await expect(field(page)).toHaveValue("");
  await expect(field(page)).toBeFocused();

  let zones = 0;
  const places = { knot: [0.3, 0.45, 0.6], split: [0.9], fixing: [0.75], figure: [0.15] };
  for (const [kind, along] of Object.entries(places)) {
    await page.locator(`[data-mark-kind=${kind}]`).scrollIntoViewIfNeeded();
    await tap(`[data-mark-kind=${kind}]`);
    for (const share of along) {
      const box = await boxOf(page, "Z");
      await hand.press(box.x + box.width * share, box.y + box.height * 0.5);
      actions += 1;
      zones += 1;
      await expect(page.locator(".mark-frame")).toHaveCount(1);
    }
  }
  // The last one is dragged right.
  await hand.drag(await middleOf(page.locator(".mark-frame")), 22, 0);
  actions += 1;
  expect(actions, "a board by tape is few actions").toBeLessThanOrEqual(MOST_ACTIONS);

  const [board, ...others] = await saved(page);
  expect(others).toEqual([]);
  expect(board?.outline.stations).toHaveLength(4);
  expect(board?.species).toBe("European oak");
  expect(board?.zones).toHaveLength(zones);
  expect(board?.zones?.map((zone) => zone.kind)).toEqual(["defect", "defect", "defect", "defect", "fixing", "figure"]);
  const figure = Number(board?.zones?.at(-1)?.shape["along"] ?? 0);
  expect(figure, "the figure was dragged").toBeGreaterThan(2400 * 0.16);
}

test("a board with four widths and six marked areas is twenty actions at most, by mouse", async ({ page }) => {
  await oneBoard(page, byMouse(page));
});

test.describe("on a phone", () => {
  test.use({ hasTouch: true, viewport: { width: 390, height: 844 } });
  test("a board with four widths and six marked areas is twenty actions at most, by touch", async ({ page }) => {
    await oneBoard(page, byTouch(page));
  });
});

test("line after line is typed by keys alone; all can be taken back", async ({ page }) => {
  await openDemo(page);
  const before = await boards(page).count();
  await page.keyboard.press("Shift+L");
  await expect(field(page)).toBeFocused();
  for (const line of ["2400 x 140 27", "1800 x 128/110 131/110 27 oak", "8' x 5 1/2+4 x 3/4"]) {
    await page.keyboard.type(line);
    await page.keyboard.press("Enter");
    await expect(field(page)).toHaveValue("");
  }
  await expect(boards(page)).toHaveCount(before + 3);
  await page.keyboard.press("Escape");
  for (let step = 0; step < 3; step += 1) await page.keyboard.press("Control+z");
  await expect(boards(page)).toHaveCount(before);
});

test("what cannot be read is told at its place, and nothing of it is added", async ({ page }) => {
  await openDemo(page);
  const before = await boards(page).count();
  await field(page).fill("2400 x 140 27\n2400 x 15/16 27");
  const told = page.locator(".line-told");
  await expect(told).toHaveCount(1);
  await expect(told).toContainText("Line 2");
  await expect(told).toHaveAttribute("data-column", "8");
  await field(page).press("Enter");
  await expect(boards(page)).toHaveCount(before);
  const picked = await field(page).evaluate((each: HTMLTextAreaElement) => each.value.slice(each.selectionStart, each.selectionEnd));
  expect(picked).toBe("15/16");
  await page.keyboard.type("15+16");
  await page.keyboard.press("Enter");
  await expect(boards(page)).toHaveCount(before + 2);
});

test("what is being typed is given back after a reload", async ({ page }) => {
  await openDemo(page);
  await field(page).fill("2400 x 128/110 131");
  await page.waitForTimeout(200);
  page.on("dialog", (dialog) => void dialog.accept());
  await page.reload();
  await expect(page.locator("#page")).toHaveAttribute("data-ready", "yes");
  await expect(field(page)).toHaveValue("2400 x 128/110 131");
});

test("a width is added where the edge is tapped, and typed", async ({ page }) => {
  await openDemo(page);
  await fromMenu(page, "new-job");
  await field(page).fill("Z: 2400 x 140 27");
  await field(page).press("Enter");
  await page.locator(".boards .row-open").first().click();
  const box = await boxOf(page, "Z");
  await page.mouse.click(box.x + box.width / 2, box.y + 2);
  await expect(page.locator('[data-field="outline.stations[1].left"]')).toBeFocused();
  await page.keyboard.type("55");
  await page.keyboard.press("Enter");
  const [board] = await saved(page);
  expect(board?.outline.stations).toHaveLength(2);
  await page.keyboard.press("Escape");
  await page.keyboard.press("Control+z");
  await page.keyboard.press("Control+z");
  await expect(action(page, "redo")).toHaveAttribute("aria-disabled", "false");
  expect((await saved(page))[0]?.outline.stations).toHaveLength(1);
});

/** What somebody reads from a slip of paper: boards, and on them areas from the start end and the right edge. */
interface Slip {
  readonly lines: readonly string[];
  /** Board, kind, from and to along, from and to across; of a strip its width alone. */
  readonly areas: readonly (readonly [string, "knot" | "split" | "sapwood" | "fixing", ...number[]])[];
}

const slips: Record<"step-stool" | "dining-table" | "bench-that-does-not-fit", Slip> = {
  "step-stool": {
    lines: ["A: 1500 x 105/105 100/105 27, straight right, of European beech", "B: 900 x 180 27, straight"],
    areas: [["A", "knot", 520, 560, 55, 85]],
  },
  "dining-table": {
    lines: [
      "A: 2900 x 152/148 @700 158/151 @1500 147/155 @2200 154/149 149/153 38 oak",
      "B: 2300 x 150/155 @800 153/149 @1600 148/152 155/150 38",
      "C: 2400 x 200 27, straight, 2 alike",
      "D: 1650 x 98/94 @800 96/97 95/99 80",
      "E: 2100 x 125/120 34, 2 alike",
    ],
    areas: [
      ["A", "knot", 1505, 1555, 50, 90],
      ["A", "split", 2840, 2900, 147, 153],
      ["B", "knot", 1697.5, 1742.5, 190, 230],
      ["D", "sapwood", 12],
      ["E", "fixing", 120, 180, 30, 90],
      ["E", "fixing", 1920, 1980, 30, 90],
      ["E", "fixing", 120, 180, 155, 215],
      ["E", "fixing", 1920, 1980, 155, 215],
    ],
  },
  "bench-that-does-not-fit": {
    lines: [
      "A: 1400 x 110/100 95/100 24 European oak, straight right",
      "B: 620 x 160 40, straight",
      "C: 2000 x 180 30, straight, of Scots pine",
    ],
    areas: [["A", "knot", 670, 730, 75, 125]],
  },
};

/** Sizes and marked areas to the millimetre: where it begins and ends, whichever way it was measured. */
function measures(boards: SavedBoard[]): unknown[] {
  const mm = (stored: unknown): number => Math.round(typeof stored === "number" ? stored : (stored as { mm: number }).mm);
  return boards.map(({ id, species, count, thickness, outline, zones }) => ({
    id,
    species,
    count,
    thickness: mm(thickness),
    length: mm(outline.length),
    edges: [outline.left, outline.right],
    widths: outline.stations.map((each) => [mm(each.at), mm(each.left), mm(each.right)]),
    zones: (zones ?? []).map(({ kind, shape }) => {
      const of = (name: string): number => mm(shape[name]);
      if (shape.form === "strip") return [kind, shape["side"], of("width")];
      if (shape.form === "span") return [kind, shape["edge"] ?? "right_edge", of("begins"), of("ends"), of("near"), of("far")];
      const [x, y, long, wide] = ["along", "across", "length", "width"].map((name) => Number(mm(shape[name]))) as [number, number, number, number];
      return [kind, shape["from"] ?? "right_edge", x - long / 2, x + long / 2, y - wide / 2, y + wide / 2].map((each) =>
        typeof each === "number" ? Math.round(each) : each,
      );
    }),
  }));
}

async function asInFixture(page: Page, name: keyof typeof slips): Promise<void> {
  const of = JSON.parse(fixture(name)) as { boards: SavedBoard[] };
  expect(measures(await saved(page))).toEqual(measures(of.boards));
}

/** Lines are typed, areas dropped where they are about and their sizes typed over. */
async function fromSlip(page: Page, name: keyof typeof slips, hand: Hand): Promise<void> {
  const { lines, areas } = slips[name];
  await openDemo(page);
  await fromMenu(page, "new-job");
  await expect(boards(page)).toHaveCount(0);
  const tap = async (selector: string): Promise<void> => {
    await page.locator(selector).scrollIntoViewIfNeeded();
    const { x, y } = await middleOf(page.locator(selector));
    await hand.press(x, y);
  };
  await tap("[data-field=board-lines]");
  for (const line of lines) {
    await page.keyboard.type(line);
    await page.keyboard.press("Enter");
    await expect(field(page)).toHaveValue("");
  }
  for (const [id, what, ...sizes] of areas) {
    const button = page.locator(`[data-mark-kind=${what}]`);
    if ((await button.getAttribute("aria-pressed")) !== "true") await tap(`[data-mark-kind=${what}]`);
    const box = await boxOf(page, id);
    const [from = 0, to = 0, near = 0, far = 0] = sizes;
    const length = Number(lines.find((line) => line.startsWith(id))?.split(" ")[1]);
    const isStrip = sizes.length === 1;
    await hand.press(box.x + (box.width * (isStrip ? length / 2 : (from + to) / 2)) / length, box.y + box.height * (isStrip ? 0.9 : 0.5));
    const type = async (first: string, ...texts: number[]): Promise<void> => {
      await tap(`[data-field="${first}"]`);
      await page.keyboard.press("Control+a");
      for (const each of texts) {
        await page.keyboard.type(String(each));
        await page.keyboard.press("Enter");
      }
    };
    if (isStrip) await type("shape.width", from);
    else {
      await page.locator('[data-field="shape.from"]').selectOption("right_edge");
      await type("shape.along", (from + to) / 2, (near + far) / 2, to - from, far - near);
    }
  }
  await asInFixture(page, name);
}

test("a fixture's boards from their description, by mouse", async ({ page }) => {
  await fromSlip(page, "dining-table", byMouse(page));
});

test.describe("on a phone in the workshop", () => {
  test.use({ hasTouch: true, viewport: { width: 390, height: 844 } });
  test("a fixture's boards from their description, by touch", async ({ page }) => {
    await fromSlip(page, "step-stool", byTouch(page));
  });
});

test("a fixture's boards from their description, by keys alone; rings and pith too", async ({ page }) => {
  const { lines, areas } = slips["bench-that-does-not-fit"];
  await openDemo(page);
  await fromMenu(page, "new-job");
  const goTo = async (selector: string, key = "Tab"): Promise<void> => {
    const place = page.locator(selector).first();
    for (let press = 0; press < 60; press += 1) {
      if (await place.evaluate((each) => each === document.activeElement)) return;
      await page.keyboard.press(key);
    }
    throw new Error(`${selector} is not reached by ${key}`);
  };
  await page.keyboard.press("Shift+L");
  for (const line of lines) {
    await page.keyboard.type(line);
    await page.keyboard.press("Enter");
    await expect(field(page)).toHaveValue("");
  }
  await goTo(".boards .row-open", "Shift+Tab");
  await page.keyboard.press("Enter");
  await goTo('.form-table[aria-label="Marked areas"] .button.small:not(.quiet)');
  await page.keyboard.press("Enter");
  await expect(page.locator('[data-field="shape.begins"]')).toBeFocused();
  for (const each of areas[0]?.slice(2) ?? []) {
    await page.keyboard.type(String(each));
    await page.keyboard.press("Enter");
  }
  await asInFixture(page, "bench-that-does-not-fit");

  await goTo(".back", "Shift+Tab");
  await page.keyboard.press("Enter");
  await goTo(".details > summary");
  await page.keyboard.press("Enter");
  await goTo('[data-field="rings.start"]:checked');
  for (const run of ["flat", "rift", "quarter", "boxed_heart"]) {
    await page.keyboard.press("ArrowRight");
    await expect(page.locator(`[data-field="rings.start"][value=${run}]`)).toBeFocused();
  }
  await expect(page.locator('.world [data-board="A"] .hs-wood')).toHaveCount(1);
  await goTo('[data-field="pith"]');
  await expect(page.locator('[data-field="pith"]')).toHaveAttribute("aria-invalid", "true");
  await page.keyboard.press("ArrowDown");
  await expect(page.locator('[data-field="pith"]')).toHaveAttribute("aria-invalid", "false");
  expect((await saved(page))[0]?.zones?.map((zone) => zone.kind)).toEqual(["defect", "defect"]);
});
