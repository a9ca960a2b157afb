// Parts by hand: dragged, turned, turned over, pinned, nudged; by mouse, touch and keys.

import type { CDPSession, Page } from "@playwright/test";

import { action, expect, goTo, middleOf, openStool, parts, savedText, setOut, test } from "./support";

const nearWords = (page: Page) => page.locator(".near");

test("a blank is dragged from the trestle to a board, and back", async ({ page }) => {
  await openStool(page);
  await goTo(page, "setting_out");
  const blanks = page.locator(".blank");
  await expect(blanks.first()).toBeVisible();
  const waits = page.locator(".trestle-name small");
  const waiting = Number.parseInt(await waits.innerText(), 10);
  const from = await middleOf(blanks.first());
  const to = await middleOf(page.locator(".world [data-board]").first());
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(from.x, from.y - 60, { steps: 3 });
  await page.mouse.move(to.x, to.y, { steps: 6 });
  await expect(nearWords(page)).toBeVisible();
  await page.mouse.up();
  await expect(parts(page)).toHaveCount(1);
  await expect(waits).toHaveText(`${waiting - 1} wait`);
  const lying = await middleOf(parts(page).first());
  const trestle = await middleOf(page.locator(".trestle"));
  await page.mouse.move(lying.x, lying.y);
  await page.mouse.down();
  await page.mouse.move(trestle.x, trestle.y, { steps: 8 });
  await page.mouse.up();
  await expect(parts(page)).toHaveCount(0);
  await expect(waits).toHaveText(`${waiting} wait`);
  await page.keyboard.press("Control+z");
  await expect(parts(page)).toHaveCount(1);
});

test("findings are said while dragging, and escape puts the part back", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  const all = await parts(page).count();
  const part = parts(page).first();
  const before = await part.getAttribute("data-on-board");
  const from = await middleOf(part);
  const other = await middleOf(parts(page).last());
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(other.x + 6, other.y + 3, { steps: 8 });
  await expect(page.locator(".near-wrong")).toBeVisible();
  await expect(page.locator(".held > .in-hand-wrong")).toHaveCount(1);
  await page.keyboard.press("Escape");
  await page.mouse.up();
  await expect(nearWords(page)).toHaveCount(0);
  await expect(parts(page)).toHaveCount(all);
  expect(await parts(page).first().getAttribute("data-on-board")).toBe(before);
});

/** Lays the first blank alone on the largest board, chosen: nothing is in its way. */
async function layOneAlone(page: Page): Promise<void> {
  await goTo(page, "setting_out");
  await page.locator(".blank").first().focus();
  await page.keyboard.press("Enter");
  await page.getByRole("button", { name: "Lay it on" }).click();
  await expect(parts(page)).toHaveCount(1);
  await parts(page).first().click();
  await expect(page.locator(".selection")).toBeVisible();
}

/** The floor as it is drawn; labels come to rest a moment after the last change. */
const look = (page: Page) => page.locator(".world").innerHTML();
const undoName = (page: Page) => action(page, "undo").getAttribute("aria-label");

/** Degrees by which the first part of the plan is turned. */
async function turnOfFirst(page: Page): Promise<number> {
  const saved = JSON.parse(await savedText(page)) as { plan: { layouts: { placements: { turn: number }[] }[] } };
  const [part] = saved.plan.layouts.flatMap((layout) => layout.placements);
  if (part === undefined) throw new Error("no part lies on a board");
  return part.turn;
}

test("keys turn, turn over, pin, nudge and put on the trestle, each one step to undo", async ({ page }) => {
  await openStool(page);
  await layOneAlone(page);
  for (const [key, step] of [
    ["r", /turning/],
    ["Shift+R", /turning/],
    ["[", /turning/],
    ["]", /turning/],
    ["f", /turning over/],
    ["p", /letting .* go/],
    ["ArrowRight", /moving/],
    ["Shift+ArrowUp", /moving/],
    ["t", /trestle/],
  ] as const) {
    const before = await look(page);
    const undoable = await undoName(page);
    await page.keyboard.press(key);
    await expect.poll(() => look(page), key).not.toBe(before);
    await expect(action(page, "undo"), key).toHaveAttribute("aria-label", step);
    await page.keyboard.press("Control+z");
    await expect(action(page, "undo"), key).toHaveAttribute("aria-label", undoable ?? "");
    await expect.poll(() => look(page), `${key} taken back`).toBe(before);
  }
  await page.keyboard.press("t");
  await expect(parts(page)).toHaveCount(0);
});

test("a pinned part says so and can be let go", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await parts(page).first().click();
  await page.keyboard.press("p");
  await expect(page.locator('.part-buttons [data-action="pin"]')).toHaveText("Let it move again");
  await page.keyboard.press("p");
  await expect(page.locator('.part-buttons [data-action="pin"]')).toHaveText("Keep it here");
});

test("the handle turns the chosen part, and undo turns it back", async ({ page }) => {
  await openStool(page);
  await layOneAlone(page);
  const before = await look(page);
  const turned = await turnOfFirst(page);
  const undoable = await undoName(page);
  const ring = page.locator(".turn-handle .slip");
  await expect(ring).toBeVisible();
  const at = await middleOf(ring);
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  await page.mouse.move(at.x - 8, at.y - 60, { steps: 6 });
  await expect(nearWords(page)).toBeVisible();
  await page.mouse.up();
  await expect(action(page, "undo")).not.toHaveAttribute("aria-label", undoable ?? "");
  expect(await turnOfFirst(page)).not.toBe(turned);
  await page.keyboard.press("Control+z");
  await expect(action(page, "undo")).toHaveAttribute("aria-label", undoable ?? "");
  await expect.poll(() => look(page)).toBe(before);
});

test("a part is laid on another board by the sheet alone", async ({ page }) => {
  await openStool(page);
  await goTo(page, "setting_out");
  await page.locator(".blank").first().focus();
  await page.keyboard.press("Enter");
  await page.locator(".lay-on select").selectOption({ index: 1 });
  await page.getByRole("button", { name: "Lay it on" }).click();
  await expect(parts(page)).toHaveCount(1);
});

test.describe("by touch", () => {
  test.use({ hasTouch: true, viewport: { width: 1024, height: 768 } });

  const touch = async (client: CDPSession, type: "touchStart" | "touchMove" | "touchEnd", ...points: { x: number; y: number }[]) =>
    client.send("Input.dispatchTouchEvent", { type, touchPoints: points.map((point, id) => ({ ...point, id })) });

  test("a tap chooses, then a finger carries; two fingers enlarge", async ({ page }) => {
    await openStool(page);
    await setOut(page);
    const client = await page.context().newCDPSession(page);
    const at = await middleOf(parts(page).first());
    await touch(client, "touchStart", at);
    await touch(client, "touchEnd");
    await expect(page.locator(".selection")).toBeVisible();

    await touch(client, "touchStart", at);
    for (let step = 1; step <= 6; step += 1) await touch(client, "touchMove", { x: at.x + step * 8, y: at.y + step * 4 });
    await expect(page.locator(".held > *")).toHaveCount(1);
    await touch(client, "touchEnd");
    await expect(page.locator(".held > *")).toHaveCount(0);

    const scale = async () => /scale\(([\d.]+)/.exec((await page.locator(".world").getAttribute("transform")) ?? "")?.[1];
    const before = Number(await scale());
    await touch(client, "touchStart", { x: 200, y: 600 }, { x: 300, y: 600 });
    for (let step = 1; step <= 5; step += 1) {
      await touch(client, "touchMove", { x: 200 - step * 8, y: 600 }, { x: 300 + step * 8, y: 600 });
    }
    await touch(client, "touchEnd");
    expect(Number(await scale())).toBeGreaterThan(before * 1.4);
  });

  test("a finger that rests on a part picks it up without choosing it first", async ({ page }) => {
    await openStool(page);
    await setOut(page);
    const client = await page.context().newCDPSession(page);
    const at = await middleOf(parts(page).first());
    await touch(client, "touchStart", at);
    await expect(page.locator(".held > *")).toHaveCount(1);
    await touch(client, "touchEnd");
    await expect(page.locator(".held > *")).toHaveCount(0);
  });

  test("a blank is pulled up from the trestle by a finger", async ({ page }) => {
    await openStool(page);
    await goTo(page, "setting_out");
    const client = await page.context().newCDPSession(page);
    const from = await middleOf(page.locator(".blank").first());
    const to = await middleOf(page.locator(".world [data-board]").first());
    await touch(client, "touchStart", from);
    for (let step = 1; step <= 10; step += 1) {
      await touch(client, "touchMove", { x: from.x + ((to.x - from.x) * step) / 10, y: from.y + ((to.y - from.y) * step) / 10 });
    }
    await touch(client, "touchEnd");
    await expect(parts(page)).toHaveCount(1);
  });
});
