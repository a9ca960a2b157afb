// Timber: boards by tape, their zones, and what is wrong with them.

import { action, boards, dropFile, expect, fixture, openDemo, test } from "./support";

test("a board is added, measured by tape, copied and removed; all of it can be undone", async ({ page }) => {
  await openDemo(page);
  await expect(boards(page)).toHaveCount(9);
  await action(page, "add-board").click();
  await expect(boards(page)).toHaveCount(10);
  const form = page.locator(".form");
  const rows = form.locator(".cells tbody tr");
  const before = await rows.count();
  await form.getByRole("button", { name: /^Add a (width|station)/ }).click();
  await expect(rows).toHaveCount(before + 1);
  const shape = await page.locator(".world [data-board]").last().innerHTML();
  const cell = rows.last().locator("input").nth(1);
  await cell.fill("5 1/2\"");
  await cell.press("Enter");
  await expect.poll(() => page.locator(".world [data-board]").last().innerHTML()).not.toBe(shape);
  await page.getByRole("button", { name: /^Add another like/ }).click();
  await expect(boards(page)).toHaveCount(11);
  await page.getByRole("button", { name: /^Remove / }).first().click();
  await expect(boards(page)).toHaveCount(10);
  for (let step = 0; step < 5; step += 1) {
    if ((await action(page, "undo").getAttribute("aria-disabled")) === "true") break;
    await page.keyboard.press("Control+z");
  }
  await expect(boards(page)).toHaveCount(9);
  await page.keyboard.press("Control+y");
  await expect(boards(page)).toHaveCount(10);
});

test("a zone is added to a board and drawn at once", async ({ page }) => {
  await openDemo(page);
  await page.locator(".boards .row-open").first().click();
  const world = () => page.locator(".world").innerHTML();
  const bare = await world();
  await page.locator(".form").getByRole("button", { name: "Mark an area" }).click();
  await expect.poll(world).not.toBe(bare);
  const marked = await world();
  const along = page.locator('.form input.measure').first();
  await along.fill("700");
  await along.press("Enter");
  await expect.poll(world).not.toBe(marked);
});

test("the thickness of a board is typed over in its row", async ({ page }) => {
  await openDemo(page);
  await page.locator(".boards [data-quick=thickness]").first().click();
  await expect(page.locator(".quick-editing input")).toBeFocused();
  await page.keyboard.type("1 1/4\"");
  await page.keyboard.press("Enter");
  await expect(page.locator(".boards [data-quick=thickness]").first()).toHaveText(/31\.75|31\.8|32/);
  await expect(page.locator(".world [data-board]").first()).toContainText(/31\.75|31\.8/);
});

test("what cannot be read stays as typed, says why, and a press leads to the field", async ({ page }) => {
  await openDemo(page);
  await page.locator(".boards .row-open").first().click();
  const field = page.locator("[data-field=thickness]");
  await field.fill("about an inch");
  await field.press("Enter");
  await expect(field).toHaveValue("about an inch");
  await expect(field).toHaveAttribute("aria-invalid", "true");
  await page.locator(".back").click();
  const problem = page.locator("button.problem-row").first();
  await expect(problem).toBeVisible();
  await problem.click();
  await expect(page.locator("[data-field=thickness]")).toBeFocused();
  await page.keyboard.press("Escape");
  await page.keyboard.press("Control+z");
  await expect(page.locator("[data-field=thickness]")).toHaveAttribute("aria-invalid", "false");
});

test("lengths change between millimetres and inches everywhere", async ({ page }) => {
  await openDemo(page);
  await expect(page.locator(".ruler text").first()).toHaveText(/^-?\d+$/);
  await page.keyboard.press("u");
  await expect(page.locator(".ruler text").first()).toHaveText(/"$/);
  await expect(page.locator(".boards")).toContainText(/\d"|\d \d+\/\d+/);
  await page.keyboard.press("Control+z");
  await expect(page.locator(".ruler text").first()).toHaveText(/^-?\d+$/);
});

test("labels with markup are shown as they are and never run", async ({ page }) => {
  await openDemo(page);
  const job = JSON.parse(fixture("step-stool")) as { title: string; boards: { id: string; name?: string }[]; parts: { name: string }[] };
  const nasty = `<img src=x onerror="window.ran=1"><script>window.ran=1</script></text><b>`;
  job.title = nasty;
  job.boards.forEach((board) => (board.name = nasty));
  job.parts.forEach((part) => (part.name = nasty));
  await dropFile(page, "nasty.heartside.json", JSON.stringify(job));
  await expect(page.locator(".job-title")).toHaveText(nasty);
  for (const name of ["timber", "piece", "setting_out", "bench"]) {
    await page.locator(`.place[data-place=${name}]`).click();
    expect(await page.locator("img").count()).toBe(0);
    expect(await page.locator(".world script, .trestle script, .sheet script").count()).toBe(0);
  }
  expect(await page.evaluate(() => (window as unknown as { ran?: number }).ran)).toBeUndefined();
});

test("the floor is moved, enlarged and fitted by mouse, wheel and keys", async ({ page }) => {
  await openDemo(page);
  const transform = () => page.locator(".world").getAttribute("transform");
  await page.keyboard.press("0");
  const first = await transform();
  await page.mouse.move(300, 400);
  await page.mouse.wheel(0, -300);
  await expect.poll(transform).not.toBe(first);
  const zoomed = await transform();
  await page.mouse.move(120, 560);
  await page.mouse.down();
  await page.mouse.move(220, 520, { steps: 4 });
  await page.mouse.up();
  await expect.poll(transform).not.toBe(zoomed);
  // Labels keep their size on the screen, so the whole floor is not quite as large each time.
  const scale = async () => Number(/scale\(([\d.]+)\)/.exec((await transform()) ?? "")?.[1]);
  const fitting = Number(/scale\(([\d.]+)\)/.exec(first ?? "")?.[1]);
  await page.keyboard.press("0");
  await expect.poll(async () => Math.abs((await scale()) / fitting - 1)).toBeLessThan(0.03);
  const fitted = await transform();
  await page.keyboard.press("+");
  await expect.poll(transform).not.toBe(fitted);
  const closer = await scale();
  await page.keyboard.press("-");
  await expect.poll(scale).toBeLessThan(closer);
});

test("a board is dragged about on the floor by its name, and undo puts it back", async ({ page }) => {
  await openDemo(page);
  const name = page.locator(".world [data-board] .hs-name").first();
  const before = await name.boundingBox();
  if (before === null) throw new Error("the board has no name");
  await expect(action(page, "undo")).toHaveAttribute("aria-disabled", "true");
  await page.mouse.move(before.x + before.width / 2, before.y + before.height / 2);
  await page.mouse.down();
  await page.mouse.move(before.x + 60, before.y + 80, { steps: 5 });
  await page.mouse.up();
  await expect(action(page, "undo")).toHaveAttribute("aria-disabled", "false");
  const down = async (): Promise<number> => ((await name.boundingBox())?.y ?? 0) - before.y;
  await expect.poll(down).toBeGreaterThan(30);
  await page.keyboard.press("Control+z");
  await expect(action(page, "undo")).toHaveAttribute("aria-disabled", "true");
  await expect.poll(async () => Math.abs(await down())).toBeLessThan(1);
});
