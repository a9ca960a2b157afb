// Bench: cuts in order, picked out on the floor, made and taken back.

import { action, dropFile, expect, goTo, openDemo, openStool, savedText, setOut, test } from "./support";

const made = (count: number): string => (count === 1 ? "1 cut made" : `${count} cuts made`);

test("cuts are listed with measurements, made by one tap, and picked out on the floor", async ({ page }) => {
  await openStool(page);
  await goTo(page, "bench");
  await expect(page.getByRole("heading", { name: "No cuts yet" })).toBeVisible();
  await setOut(page);
  await goTo(page, "bench");
  const steps = page.locator(".step");
  const count = await steps.count();
  expect(count).toBeGreaterThan(1);
  await expect(steps.first()).toContainText(/\d/);
  await page.locator(".step-words").first().click();
  await expect(page.locator('[data-fragment="chosen-cut"]')).not.toHaveCount(0);
  await page.locator(".step-words").first().click();
  await expect(page.locator('[data-fragment="chosen-cut"]')).toHaveCount(0);
  await expect(page.locator(".sheet")).toContainText("The machine's manual");
  await action(page, "cut-done").click();
  await expect(steps).toHaveCount(count - 1);
  await expect(page.locator(".done-cuts > summary")).toHaveText(made(1));
  await goTo(page, "timber");
  await goTo(page, "bench");
  await expect(steps).toHaveCount(count - 1);
  await action(page, "undo").click();
  await expect(steps).toHaveCount(count);
  await expect(page.locator(".done-cuts")).toHaveCount(0);
});

test("the next cut stands at the top with its piece alone, and one press brings the one after it", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await goTo(page, "bench");
  const next = page.locator(".next-cut");
  const listed = page.locator(".step").first();
  await expect(next.locator("h2")).toContainText((await listed.locator(".step-line b").textContent()) ?? "?");
  await expect(next.locator(".at-machine svg > g")).toHaveCount(1);
  await expect(next.locator(".next-lies")).toContainText("is kept");
  await next.locator(".at-machine").click();
  await expect(page.locator('[data-fragment="chosen-cut"]')).not.toHaveCount(0);
  const picture = await next.locator(".at-machine svg").innerHTML();
  await action(page, "cut-done").click();
  await expect(next.locator(".at-machine svg")).not.toHaveJSProperty("innerHTML", picture);
  await expect(page.locator(".last-cut h3")).toContainText("into");
  // What is heard: what was done, what came free, what is next.
  await expect(page.locator("[data-spoken]")).toContainText("Next: ");
});

test("two presses of one tremble are one cut, and a key that is held makes one", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await goTo(page, "bench");
  await page.evaluate(() => {
    const button = document.querySelector<HTMLElement>('.next-cut [data-action="cut-done"]');
    button?.click();
    document.querySelector<HTMLElement>('.next-cut [data-action="cut-done"]')?.click();
  });
  await expect(page.locator(".done-cuts > summary")).toHaveText(made(1));
  await page.waitForTimeout(400);
  await page.keyboard.down("x");
  for (let held = 0; held < 4; held += 1) {
    await page.waitForTimeout(200);
    await page.keyboard.down("x");
  }
  await page.keyboard.up("x");
  await expect(page.locator(".done-cuts > summary")).toHaveText(made(2));
});

test("a box pressed too early says which cut comes first, and nothing is lost", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await goTo(page, "bench");
  const count = await page.locator(".step").count();
  const later = page.locator(".tick.is-later").first();
  await later.click();
  await expect(page.locator(".notice-problem")).toContainText(/^first cut \d+:/i);
  await expect(page.locator(".step")).toHaveCount(count);
  await expect(page.locator(".done-cuts")).toHaveCount(0);
});

test("not cut after all: while nothing was cut from its pieces, and else it says what comes first", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await goTo(page, "bench");
  const before = JSON.parse(await savedText(page)) as { boards: unknown; plan: { layouts: unknown } };
  for (let cut = 1; cut <= 4; cut += 1) {
    await action(page, "cut-done").click();
    await expect(page.locator(".done-cuts > summary")).toHaveText(made(cut));
    await page.waitForTimeout(400);
  }
  await page.locator(".done-cuts > summary").click();
  const rows = page.locator(".done-cuts ol > li");
  await expect(rows).toHaveCount(4);
  for (let at = 0; at < 4; at += 1) {
    const row = rows.nth(at);
    expect((await row.locator("[data-not-cut]").count()) + (await row.locator(".stays").count())).toBe(1);
  }
  for (let left = 3; left >= 0; left -= 1) {
    await page.locator(".last-cut [data-not-cut]").click();
    await (left === 0 ? expect(page.locator(".done-cuts")).toHaveCount(0) : expect(page.locator(".done-cuts > summary")).toHaveText(made(left)));
  }
  const after = JSON.parse(await savedText(page)) as typeof before;
  expect(after.boards).toEqual(before.boards);
  expect(after.plan.layouts).toEqual(before.plan.layouts);
});

test("the list goes by board or by set-up, says what that saves, and arrows walk along it", async ({ page }) => {
  await openDemo(page);
  await setOut(page);
  await goTo(page, "bench");
  const count = await page.locator(".step").count();
  const order = page.locator(".cut-order");
  if ((await order.count()) > 0) {
    await expect(order.locator(".hint")).toContainText("set-ups");
    await order.getByRole("button", { name: "By board" }).click();
    await expect(order.getByRole("button", { name: "By board" })).toHaveAttribute("aria-pressed", "true");
    await expect(page.locator(".set-up-board").first()).toBeVisible();
    await expect(page.locator(".step")).toHaveCount(count);
    await page.keyboard.press("o");
    await expect(page.locator(".set-up-board")).toHaveCount(0);
  }
  await page.locator(".step-words").first().focus();
  await page.keyboard.press("ArrowDown");
  await expect(page.locator(".step-words").nth(1)).toBeFocused();
  await page.keyboard.press("End");
  await expect(page.locator(".step-words").last()).toBeFocused();
  await page.keyboard.press("Home");
  await page.keyboard.press("ArrowUp");
  await expect(page.locator(".step-words").first()).toBeFocused();
  // A box that is pressed gives the keyboard on to the one that has moved up.
  await page.locator(".tick").first().focus();
  await page.keyboard.press("Enter");
  await expect(page.locator(".step")).toHaveCount(count - 1);
  await expect(page.locator(".tick").first()).toBeFocused();
});

test("the screen is kept on at the bench and nowhere else, unless that is switched off", async ({ page }) => {
  await page.addInitScript(() => {
    const asked: string[] = [];
    const lock = { released: false, release: async () => void asked.push("release") };
    Object.defineProperty(navigator, "wakeLock", { configurable: true, value: { request: async (kind: string) => (asked.push(kind), lock) } });
    Object.assign(window, { asked });
  });
  const asked = (): Promise<string[]> => page.evaluate(() => (window as unknown as { asked: string[] }).asked);
  await openDemo(page);
  expect(await asked()).toEqual([]);
  await goTo(page, "bench");
  await expect.poll(asked).toEqual(["screen"]);
  await goTo(page, "timber");
  await expect.poll(asked).toEqual(["screen", "release"]);
  await goTo(page, "bench");
  await expect.poll(asked).toEqual(["screen", "release", "screen"]);
  await page.locator("[data-awake]").uncheck();
  await expect.poll(asked).toEqual(["screen", "release", "screen", "release"]);
  await page.reload();
  await expect(page.locator("#page")).toHaveAttribute("data-ready", "yes");
  await goTo(page, "bench");
  await expect(page.locator("[data-awake]")).not.toBeChecked();
  expect(await asked()).toEqual([]);
});

test("a browser that refuses to keep the screen on is no fault", async ({ page, complaints }) => {
  await page.addInitScript(() => {
    Object.defineProperty(navigator, "wakeLock", { configurable: true, value: { request: () => Promise.reject(new DOMException("refused", "NotAllowedError")) } });
  });
  await openDemo(page);
  await goTo(page, "bench");
  await goTo(page, "timber");
  await goTo(page, "bench");
  await page.waitForTimeout(200);
  expect(complaints).toEqual([]);
});

test("at the end the offcuts are the boards of another job, and the first one stays", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await goTo(page, "bench");
  await page.keyboard.press("Shift+O");
  await expect(page.locator(".notice")).toContainText("nothing is cut yet");
  for (let cut = 1; (await page.locator(".next-cut").count()) > 0; cut += 1) {
    await page.keyboard.press("x");
    await expect(page.locator(".done-cuts > summary")).toHaveText(made(cut));
    await page.waitForTimeout(400);
  }
  await expect(page.getByRole("heading", { name: "Every cut is made" })).toBeVisible();
  await action(page, "offcuts-home").click();
  await expect(page.locator(".job-title")).toHaveText("Offcuts of Step stool");
  const job = JSON.parse(await savedText(page)) as { boards: { note: string }[]; parts?: unknown[] };
  expect(job.boards.length).toBeGreaterThan(0);
  expect(job.parts ?? []).toEqual([]);
  await page.keyboard.press("Shift+J");
  await expect(page.locator("dialog")).toContainText("Step stool");
  await page.keyboard.press("Escape");
  // Undo brings the job back whose offcuts they are.
  await action(page, "undo").click();
  await expect(page.locator(".job-title")).toHaveText("Step stool");
});

test("a file with pieces that come from nowhere is told of, and the job on the floor stays usable", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await goTo(page, "bench");
  await action(page, "cut-done").click();
  await expect(page.locator(".done-cuts > summary")).toHaveText(made(1));
  const job = JSON.parse(await savedText(page)) as { boards: { from?: { done: number } }[] };
  for (const board of job.boards) if (board.from !== undefined) board.from.done = 4711;
  await dropFile(page, "nowhere.heartside.json", JSON.stringify(job));
  await goTo(page, "timber");
  await expect(page.locator(".sheet")).toContainText(/to mend/i);
});

const doors = JSON.stringify({
  format: "heartside-job",
  version: 3,
  title: "Cupboard",
  workshop: {
    tools: [
      { name: "Guided saw", does: ["rip", "crosscut"], kerf: 3, guide: "along", work_moves: false, can_skim: true },
      { name: "Band saw", does: ["sawn", "resaw"], kerf: 2, max_depth: 200 },
    ],
  },
  boards: [{ id: "A", thickness: 30, warp: {}, cuts: "straight", outline: { form: "tape", length: 1200, stations: [{ at: 0, left: 100, right: 100 }] } }],
  parts: [{ id: "door", name: "Door", count: 2, thickness: 10, shape: { form: "rectangle", length: 500, width: 140 } }],
  matches: [{ kind: "book", parts: [{ part: "door", copy: 1 }, { part: "door", copy: 2 }] }],
});

test("a thick blank is resawn by a step of its own, which is ticked and taken back", async ({ page }) => {
  await openDemo(page);
  await dropFile(page, "cupboard.heartside.json", doors);
  await expect(page.locator(".job-title")).toHaveText("Cupboard");
  await setOut(page);
  await goTo(page, "bench");
  const steps = page.locator(".step");
  const count = await steps.count();
  const resaw = steps.filter({ hasText: "Resaw Door 1 and 2" });
  await expect(resaw).toHaveCount(1);
  await expect(resaw).toContainText("tall on a narrow edge");
  await expect(page.locator(".set-up", { hasText: "Band saw, high fence at" })).toHaveCount(1);
  for (let left = count; left > 1; left -= 1) {
    await expect(page.locator(".next-cut h2")).not.toContainText("Resaw");
    await action(page, "cut-done").click();
    await expect(steps).toHaveCount(left - 1);
    // Two presses of one tremble are one cut.
    await page.waitForTimeout(500);
  }
  const next = page.locator(".next-cut");
  await expect(next.locator("h2")).toContainText("Resaw Door 1 and 2");
  await expect(next.locator(".at-machine svg")).toContainText("high fence");
  await expect(next.locator(".next-lies")).toContainText("up face against a high fence");
  await action(page, "cut-done").click();
  await expect(page.locator(".last-cut h3")).toContainText("Door 1 and Door 2 resawn");
  await expect(page.locator(".copy-in_hand")).toHaveCount(2);
  await action(page, "undo").click();
  await expect(next.locator("h2")).toContainText("Resaw Door 1 and 2");
});
