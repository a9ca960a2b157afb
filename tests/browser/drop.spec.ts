// What a drop leaves behind: a part carried away and let go near its place lies there again.

import type { Page } from "@playwright/test";

import { action, expect, goTo, openDemo, openStool, parts, savedText, setOut, test } from "./support";

interface Placed {
  readonly part: string;
  readonly copy: number;
  readonly at: unknown;
}

const plan = async (page: Page): Promise<unknown> => {
  const saved = JSON.parse(await savedText(page)) as { plan: { layouts: { placements: Placed[] }[] } };
  return saved.plan.layouts;
};

test("parts carried far off and dropped near their places leave the plan as it was", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  const before = await plan(page);
  const undo = await action(page, "undo").getAttribute("aria-label");
  const count = await parts(page).count();
  for (let index = 0; index < Math.min(count, 7); index += 1) {
    const box = await parts(page).nth(index).boundingBox();
    if (box === null) throw new Error("a part that is not to be seen");
    const x = box.x + box.width / 2;
    const y = box.y + box.height / 2;
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 140, y + 90, { steps: 4 });
    await page.mouse.move(x + (index % 2 === 0 ? 4 : -4), y + (index % 3) - 3, { steps: 4 });
    await page.mouse.up();
    await expect(page.locator(".held > *")).toHaveCount(0);
    await expect(page.locator(".notice-problem")).toHaveCount(0);
    expect(await plan(page)).toEqual(before);
  }
  await expect(action(page, "undo")).toHaveAttribute("aria-label", undo ?? "");
});

test("a part put on the trestle and dragged back lies where it lay", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  const before = await plan(page);
  const box = await parts(page).first().boundingBox();
  if (box === null) throw new Error("a part that is not to be seen");
  await parts(page).first().click();
  await page.keyboard.press("t");
  const blank = await page.locator(".blank").first().boundingBox();
  if (blank === null) throw new Error("a blank that is not to be seen");
  await page.mouse.move(blank.x + blank.width / 2, blank.y + blank.height / 2);
  await page.mouse.down();
  await page.mouse.move(blank.x + 30, blank.y - 60, { steps: 3 });
  await page.mouse.move(box.x + box.width / 2 + 3, box.y + box.height / 2 - 2, { steps: 6 });
  await expect(page.locator(".near-fits")).toBeVisible();
  await page.mouse.up();
  await expect(page.locator(".blank")).toHaveCount(0);
  const after = (await plan(page)) as { placements: Placed[] }[];
  const sorted = (layouts: { placements: Placed[] }[]): unknown =>
    layouts.map((l) => l.placements.map((p) => JSON.stringify([p.part, p.copy, p.at])).sort());
  expect(sorted(after)).toEqual(sorted(before as { placements: Placed[] }[]));
});

test("a part dragged off the trestle is seen in the hand at once, over the trestle and the sheet too", async ({ page }) => {
  await openDemo(page);
  await goTo(page, "setting_out");
  const blank = await page.locator(".blank").first().boundingBox();
  const sheet = await page.locator(".sheet").boundingBox();
  if (blank === null || sheet === null) throw new Error("nothing to drag");
  const held = page.locator(".held > *");
  const at = { x: blank.x + 20, y: blank.y + blank.height / 2 };
  const seen = async (x: number, y: number): Promise<void> => {
    await expect(held).toHaveCount(1);
    await expect(held).toBeVisible();
    await expect
      .poll(async () => {
        const box = await held.boundingBox();
        return box !== null && Math.abs(box.x + box.width / 2 - x) < 40 && Math.abs(box.y + box.height / 2 - y) < 40;
      })
      .toBe(true);
    // It lies over whatever is there, and nothing cuts it off.
    const clipped = await held.evaluate((element) => element.closest(".floor") !== null);
    expect(clipped).toBe(false);
  };
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  await page.mouse.move(at.x + 6, at.y - 2);
  await seen(at.x + 6, at.y - 2);
  const overSheet = { x: sheet.x + sheet.width / 2, y: sheet.y + sheet.height / 2 };
  await page.mouse.move(overSheet.x, overSheet.y, { steps: 5 });
  await seen(overSheet.x, overSheet.y);
  await page.keyboard.press("Escape");
  await page.mouse.up();
  await expect(held).toHaveCount(0);
});
