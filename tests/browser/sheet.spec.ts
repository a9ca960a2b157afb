// The sheet: forms, lists, the paste window, new and kept jobs, kept plans.

import { action, boards, dropFile, expect, fixture, fromMenu, goTo, middleOf, openDemo, openPage, openStool, setOut, test } from "./support";

const SIZES = [
  { width: 390, height: 844 },
  { width: 820, height: 1180 },
  { width: 1280, height: 720 },
];

for (const size of SIZES) {
  test(`Set out stands above the fold at ${size.width} x ${size.height}, before and after a plan`, async ({ page }) => {
    await page.setViewportSize(size);
    await openStool(page);
    await goTo(page, "setting_out");
    const button = page.locator('.go [data-action="set-out"]');
    await expect(button).toBeInViewport({ ratio: 1 });
    await setOut(page);
    await expect(button).toBeInViewport({ ratio: 1 });
    // With a part chosen there is more to say above it.
    await page.locator(".world [data-part]").first().click();
    await expect(button).toBeInViewport({ ratio: 1 });
  });
}

test("the grip of the sheet is as large as a finger", async ({ page }) => {
  await page.setViewportSize({ width: 390, height: 844 });
  await openDemo(page);
  const box = await page.locator(".sheet-grip").boundingBox();
  expect(box?.height).toBeGreaterThanOrEqual(44);
});

test("a mark given twice is refused in words and both boards stay", async ({ page }) => {
  await openDemo(page);
  await page.locator(".boards .row-open").nth(1).click();
  const field = page.locator('.form [data-field="id"]');
  const before = await field.inputValue();
  await field.fill("A");
  await field.press("Enter");
  await expect(page.locator(".floor")).toContainText(`there is a board marked “A” already`);
  await expect(field).toHaveValue(before);
  await expect(boards(page)).toHaveCount(9);
});

test("widths that are added never take the board away", async ({ page }) => {
  await openPage(page);
  await action(page, "add-board").click();
  for (let count = 1; count < 7; count += 1) {
    await page.getByRole("button", { name: "Add a width" }).click();
    await expect(page.locator(".cells tbody tr")).toHaveCount(count + 1);
    await expect(boards(page)).toHaveCount(10);
  }
  await expect(page.locator(".form .problem")).toHaveCount(0);
  const places = await page.locator('[data-field$=".at"]').evaluateAll((all) => all.map((each) => (each as HTMLInputElement).value));
  expect(new Set(places).size).toBe(7);
});

test("a new job says its own three things to do and begins with three saws", async ({ page }) => {
  await openDemo(page);
  await fromMenu(page, "new-job");
  const steps = page.locator(".sheet .first-steps li");
  await expect(steps).toHaveCount(3);
  await expect(steps.first()).toContainText("Add your boards");
  const saws = page.locator(".simple-rows", { hasText: "Saws" });
  await expect(saws.locator("li")).toHaveCount(3);
  await expect(saws).toContainText("common practice");
  await saws.locator(".row-open").first().click();
  await expect(page.locator('.form [data-field="kerf"]')).toHaveValue("2.2");
  await page.locator(".back").click();
  await expect(saws.locator(".row-open").first()).toBeFocused();
});

test("a list is typed into the page, and what is not understood is asked about", async ({ page }) => {
  await openStool(page);
  await goTo(page, "piece");
  const rows = page.locator(".parts tbody tr");
  const before = await rows.count();
  await action(page, "paste-parts").click();
  const list = page.getByRole("textbox", { name: "The list" });
  await expect(list).toBeFocused();
  await page.keyboard.type("Rail 2 560 84 22 tenons 30\nShelf 700 240 wobbly");
  const read = page.locator(".understood");
  await expect(read).toContainText("620 × 84 × 22");
  await expect(read).toContainText("Line 2");
  await expect(read).toContainText("“wobbly” is not understood");
  await list.fill("Piece;How thick;Len;Breadth;Pcs;Colour\nRail;22;560;84;2;red");
  await expect(page.getByLabel("What is the column “Colour”?")).toHaveValue("note");
  await page.getByLabel("What is the column “Colour”?").selectOption({ label: "nothing: leave it out" });
  await page.getByLabel("What is the column “How thick”?").selectOption({ label: "the thickness" });
  await expect(read).toContainText("560 × 84 × 22");
  await expect(read.locator(".problem")).toHaveCount(0);
  await list.press("Control+Enter");
  await expect(rows).toHaveCount(before + 1);
});

test("an expression begins with nothing, and names may hold spaces", async ({ page }) => {
  await openStool(page);
  await goTo(page, "piece");
  await page.getByRole("button", { name: "Add a dimension" }).click();
  await page.locator('.form [data-field="name"]').fill("table height");
  await page.locator('.form [data-field="preferred"]').fill("740");
  await page.locator(".back").click();
  await page.locator(".parts .row-open").first().click();
  const length = page.locator('.form [data-field="shape.length"]');
  for (const typed of ["table height - 22", "=table height - 22"]) {
    await length.fill(typed);
    await length.blur();
    await expect(length).toHaveValue("table height - 22");
    await expect(page.locator(".form")).toContainText("718");
    await expect(length).toHaveAttribute("aria-invalid", "false");
  }
  // A dimension that is taken away leaves what it came to.
  await page.locator(".back").click();
  await page.getByRole("button", { name: "Remove table height" }).click();
  await page.locator(".parts .row-open").first().click();
  await expect(length).toHaveValue("718");
});

test("kept jobs are told apart by their pieces and a small picture", async ({ page }) => {
  await openDemo(page);
  await dropFile(page, "step-stool.heartside.json", fixture("step-stool"));
  await expect(page.locator(".job-title")).toHaveText("Step stool");
  await fromMenu(page, "kept-jobs");
  const rows = page.locator("dialog .rows li");
  await expect(rows).toHaveCount(2);
  for (const row of [rows.first(), rows.last()]) {
    await expect(row).toContainText(/\d+ boards?, \d+ parts?/);
    const image = row.locator("img");
    await expect(image).toHaveJSProperty("complete", true);
    expect(await image.evaluate((each: HTMLImageElement) => each.naturalWidth)).toBeGreaterThan(0);
  }
});

test("two kept plans are compared as pictures side by side", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await action(page, "keep-plan").click();
  await page.getByRole("button", { name: "Keep it" }).click();
  await page.keyboard.press("Shift+t");
  await action(page, "compare").click();
  const pictures = page.locator("dialog .plan-picture");
  await expect(pictures).toHaveCount(2);
  const widths = await pictures.evaluateAll((all) => all.map((each) => (each as HTMLImageElement).getBoundingClientRect().width));
  expect(Math.min(...widths)).toBeGreaterThan(150);
});

test("a word as long as a line breaks, and every form shows all of itself in large type", async ({ page }) => {
  await openDemo(page);
  await page.locator(".boards .row-open").first().click();
  await page.locator(".details summary").click();
  const name = page.locator('.form [data-field="name"]');
  await name.fill("Overlongwordthatnobodywouldwritebutsomebodywill".repeat(2));
  await name.press("Enter");
  for (const width of [390, 1280]) {
    await page.setViewportSize({ width, height: 844 });
    await page.evaluate(() => (document.documentElement.style.fontSize = "200%"));
    const over = await page.locator(".sheet-body").evaluate((body) => body.scrollWidth - body.clientWidth);
    expect(over).toBeLessThanOrEqual(1);
    await page.evaluate(() => (document.documentElement.style.fontSize = ""));
  }
});

test("a mark is dragged on the picture of its board, and undo puts it back", async ({ page }) => {
  await openDemo(page);
  await page.locator(".boards .row-open").first().click();
  await page.getByRole("button", { name: "Mark an area" }).click();
  const begins = page.locator('.form [data-field="shape.begins"]');
  const near = page.locator('.form [data-field="shape.near"]');
  const before = [Number(await begins.inputValue()), Number(await near.inputValue())];
  const frame = page.locator(".mark-handle .mark-frame");
  const from = await middleOf(frame);
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(from.x + 40, from.y - 6, { steps: 4 });
  await page.mouse.up();
  await expect.poll(async () => Number(await begins.inputValue())).toBeGreaterThan((before[0] ?? 0) + 20);
  expect(Number(await near.inputValue())).toBeGreaterThan((before[1] ?? 0) + 2);
  const now = await middleOf(frame);
  expect(Math.abs(now.x - from.x - 40)).toBeLessThan(3);
  expect(Math.abs(now.y - from.y + 6)).toBeLessThan(3);
  await action(page, "undo").click();
  await expect(begins).toHaveValue(String(before[0]));
  await expect(near).toHaveValue(String(before[1]));
});
