// The first opening, an empty job, and that the page speaks to nobody.

import { test as plain } from "@playwright/test";

import { pageAddress } from "./page";
import { action, boards, expect, fromMenu, goTo, openDemo, openPage, test } from "./support";

test("the first opening shows the demo job and three things to do, once", async ({ page }) => {
  await openPage(page);
  await expect(page).toHaveTitle(/Writing desk in oak/);
  await expect(boards(page)).toHaveCount(9);
  const steps = page.locator(".first-steps li");
  await expect(steps).toHaveCount(3);
  await page.getByRole("button", { name: "Understood" }).click();
  await expect(steps).toHaveCount(0);
  await expect(page.locator("[data-keeping=kept]")).toBeVisible();
  await page.reload();
  await expect(boards(page)).toHaveCount(9);
  await expect(steps).toHaveCount(0);
});

test("the first steps go away once somebody sets out", async ({ page }) => {
  await openPage(page);
  const steps = page.locator(".first-steps");
  await expect(steps).toBeVisible();
  await goTo(page, "setting_out");
  await action(page, "set-out").click();
  await expect(steps).toHaveCount(0);
  await page.getByRole("button", { name: "Stop" }).click();
});

test("the first steps cover no board", async ({ page }) => {
  await openPage(page);
  const card = await page.locator(".first-steps").boundingBox();
  const floor = await page.locator(".floor").boundingBox();
  if (card === null || floor === null) throw new Error("both have a place on the screen");
  const beside = card.x >= floor.x + floor.width || card.y >= floor.y + floor.height;
  expect(beside).toBe(true);
});

test("an empty job invites to add the first board", async ({ page }) => {
  await openDemo(page);
  await fromMenu(page, "new-job");
  await expect(boards(page)).toHaveCount(0);
  await page.getByRole("button", { name: "Add your first board" }).click();
  await expect(boards(page)).toHaveCount(1);
  await expect(page.locator(".form")).toBeVisible();
  await action(page, "undo").click();
  await expect(boards(page)).toHaveCount(0);
});

test("every demo job can be opened from the menu", async ({ page }) => {
  await openDemo(page);
  await action(page, "menu").click();
  const titles = await page.locator("[data-demo]").allTextContents();
  expect(titles.length).toBeGreaterThanOrEqual(4);
  await page.keyboard.press("Escape");
  for (const title of titles) {
    await action(page, "menu").click();
    await page.locator("[data-demo]", { hasText: title }).first().click();
    await expect(page.locator(".job-title")).toHaveText(title);
    await expect(boards(page).first()).toBeVisible();
  }
});

plain("no connection is possible from the page", async ({ page }) => {
  const asked: string[] = [];
  page.on("requestfinished", (request) => {
    if (/^(https?|wss?):/.test(request.url())) asked.push(request.url());
  });
  await openPage(page);
  const refused = await page.evaluate(async () => {
    const outcome: Record<string, boolean> = {};
    outcome["fetch"] = await fetch("http://127.0.0.1:9/x").then(() => false, () => true);
    outcome["image"] = await new Promise<boolean>((done) => {
      const image = new Image();
      image.onload = () => done(false);
      image.onerror = () => done(true);
      image.src = "http://127.0.0.1:9/x.png";
    });
    outcome["socket"] = await new Promise<boolean>((done) => {
      try {
        const socket = new WebSocket("ws://127.0.0.1:9/");
        socket.onopen = () => done(false);
        socket.onerror = () => done(true);
      } catch {
        done(true);
      }
    });
    // Nobody listens there, so only the policy's own word tells a refusal from a failure.
    const named = new Set<string>();
    document.addEventListener("securitypolicyviolation", (event) => named.add(event.blockedURI));
    void fetch("http://127.0.0.1:9/asked").catch(() => undefined);
    navigator.sendBeacon("http://127.0.0.1:9/beacon", "x");
    for (let turn = 0; turn < 50 && named.size < 2; turn += 1) await new Promise((done) => setTimeout(done, 40));
    for (const what of ["asked", "beacon"]) outcome[`${what}, by the policy`] = named.has(`http://127.0.0.1:9/${what}`);
    return outcome;
  });
  expect(Object.values(refused).every(Boolean), JSON.stringify(refused)).toBe(true);
  expect(asked).toEqual([]);
});

plain("no connection is possible from a worker of the page", async ({ page }) => {
  await openPage(page);
  const refused = await page.evaluate(
    () =>
      new Promise<{ fetch: boolean; socket: boolean; violations: number }>((done) => {
        const code = `
          let violations = 0;
          self.addEventListener("securitypolicyviolation", () => { violations += 1; });
          const socket = () => new Promise((done) => {
            try { const s = new WebSocket("ws://127.0.0.1:9/"); s.onopen = () => done(false); s.onerror = () => done(true); }
            catch { done(true); }
          });
          (async () => {
            const refused = await fetch("http://127.0.0.1:9/x").then(() => false, () => true);
            const closed = await socket();
            setTimeout(() => self.postMessage({ fetch: refused, socket: closed, violations }), 200);
          })();`;
        const worker = new Worker(URL.createObjectURL(new Blob([code], { type: "text/javascript" })));
        worker.onmessage = (event) => done(event.data);
      }),
  );
  expect(refused.fetch).toBe(true);
  expect(refused.socket).toBe(true);
  expect(refused.violations).toBeGreaterThan(0);
});

test("the page opens from disk and asks for nothing else", async ({ page }) => {
  const asked: string[] = [];
  page.on("requestfinished", (request) => asked.push(request.url()));
  await openPage(page);
  expect(asked.filter((url) => !url.startsWith("blob:") && !url.startsWith("data:"))).toEqual([pageAddress]);
});

test("what is said of the demo job goes with it", async ({ page }) => {
  await openPage(page);
  await expect(page.locator(".first-steps")).toContainText("made-up writing desk");
  await fromMenu(page, "new-job");
  await expect(page.locator(".welcome")).toBeVisible();
  await expect(page.locator(".sheet")).not.toContainText("made-up writing desk");
  await expect(page.locator(".first-steps")).toHaveCount(1);
});
