// The browser's store does not answer: the page says so at once and goes on, and offers the kept
// job once it is heard.

import type { Page } from "@playwright/test";

import { pageAddress } from "./page";
import { action, boards, expect, openDemo, openPage, test } from "./support";
import { keptJobs } from "./kept-jobs";

/** From now on opening the store is put off until `answer` is called in the page. */
async function silence(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const open = IDBFactory.prototype.open;
    const waiting: (() => void)[] = [];
    const said = { open: 0, isSilent: true };
    Object.assign(window, {
      said,
      answer() {
        said.isSilent = false;
        for (const each of waiting.splice(0)) each();
      },
    });
    IDBFactory.prototype.open = function (this: IDBFactory, ...of: [string, number?]) {
      said.open += 1;
      if (!said.isSilent) return open.apply(this, of);
      // What idb needs of a request: handlers to be called later.
      const pretended = {} as IDBOpenDBRequest;
      waiting.push(() => {
        const real = open.apply(this, of);
        for (const name of ["onupgradeneeded", "onsuccess", "onerror"] as const) {
          real.addEventListener(name.slice(2), (event) => {
            Object.assign(pretended, { result: name === "onerror" ? undefined : real.result, error: real.error });
            (pretended as unknown as Record<string, ((event: Event) => void) | undefined>)[name]?.(event);
          });
        }
      });
      return pretended;
    };
  });
}

const answer = (page: Page): Promise<void> => page.evaluate(() => (window as unknown as { answer(): void }).answer());

test("a silent store holds nobody up, and the kept job is offered when it answers", async ({ page }) => {
  await openDemo(page);
  await action(page, "add-board").click();
  await expect(page.locator("[data-keeping=kept]")).toBeVisible();
  const [before] = await keptJobs(page);
  await silence(page);
  await page.clock.install();
  await page.reload();
  // The time of the page stands still until here: it waits for the store no longer than half a second.
  await expect.poll(() => page.evaluate(() => (window as unknown as { said: { open: number } }).said.open)).toBeGreaterThan(0);
  await page.clock.runFor(500);
  await expect(page.locator("#page")).toHaveAttribute("data-ready", "yes");
  await page.clock.resume();
  await expect(page.locator(".notice")).toContainText("does not answer");
  await expect(page.locator("[data-keeping=off]")).toBeVisible();
  await expect(boards(page)).toHaveCount(9);
  // Somebody begins to look about: nothing is taken from under their hands.
  await page.locator(".place[data-place=piece]").click();
  await answer(page);
  await expect(page.locator(".notice")).toContainText("holds Writing desk in oak");
  await expect(boards(page)).toHaveCount(9);
  await expect.poll(() => keptJobs(page)).toEqual([before]);
  await page.locator(".notice").getByRole("button", { name: "Open it" }).click();
  await expect(boards(page)).toHaveCount(10);
  await expect(page.locator("[data-keeping=kept]")).toBeVisible();
});

test("what was done meanwhile is kept beside the kept job", async ({ page }) => {
  await openDemo(page);
  await action(page, "add-board").click();
  await expect(page.locator("[data-keeping=kept]")).toBeVisible();
  const [before] = await keptJobs(page);
  await silence(page);
  await page.reload();
  await expect(page.locator("#page")).toHaveAttribute("data-ready", "yes");
  await action(page, "add-board").click();
  await answer(page);
  await expect(page.locator("[data-keeping=kept]")).toBeVisible();
  await expect.poll(async () => (await keptJobs(page)).length).toBe(2);
  expect(await keptJobs(page)).toContainEqual(before);
});

test("an untouched page puts the kept job on its floor when the store answers", async ({ page }) => {
  await openDemo(page);
  await action(page, "add-board").click();
  await expect(page.locator("[data-keeping=kept]")).toBeVisible();
  await silence(page);
  await page.reload();
  await expect(page.locator("#page")).toHaveAttribute("data-ready", "yes");
  await expect(boards(page)).toHaveCount(9);
  await answer(page);
  await expect(boards(page)).toHaveCount(10);
  await expect(page.locator("[data-keeping=kept]")).toBeVisible();
});

test("a first opening with a store that answers late is like any first opening", async ({ page }) => {
  await silence(page);
  await openPage(page);
  await expect(page.locator(".first-steps")).toHaveCount(0);
  await answer(page);
  await expect(page.locator(".first-steps")).toBeVisible();
  await expect(page.locator("[data-keeping=kept]")).toBeVisible();
});

test("a new job is begun while the store is silent, after a question where work would be lost", async ({ page }) => {
  await silence(page);
  await openPage(page);
  await page.locator("body").press("Shift+N");
  await expect(boards(page)).toHaveCount(0);
  await action(page, "add-board").click();
  await page.locator(".back").click();
  await page.locator("body").press("Shift+N");
  await expect(page.locator("dialog")).toContainText("not kept");
  await page.locator("[data-leaving=go]").click();
  await expect(boards(page)).toHaveCount(0);
});

test("while the page opens it says so", async ({ page }) => {
  // The core is never compiled: what stands on the screen meanwhile is looked at.
  await page.addInitScript(() => {
    for (const way of ["compile", "compileStreaming"] as const) WebAssembly[way] = () => new Promise(() => undefined);
  });
  await page.goto(pageAddress);
  await expect(page.locator("#page")).toHaveText("Opening…");
});
