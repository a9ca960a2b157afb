// What the page says while it sets out: what it looks at, the first plan, the end, and what stands in the way.

import type { Page } from "@playwright/test";

import { action, expect, goTo, openDemo, openStool, setOut, test } from "./support";

/** Everything that was read out, in order. */
async function listen(page: Page): Promise<() => Promise<string[]>> {
  await page.evaluate(() => {
    const kept = window as unknown as { spoken: string[] };
    kept.spoken = [];
    const region = document.querySelector("[data-spoken]");
    if (region === null) return;
    new MutationObserver(() => kept.spoken.push((region.textContent ?? "").trim())).observe(region, {
      subtree: true,
      childList: true,
      characterData: true,
    });
  });
  return () => page.evaluate(() => (window as unknown as { spoken: string[] }).spoken);
}

/** Workers never begin: as on a job so large that preparing it takes minutes. */
async function workersThatNeverAnswer(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const here = window as unknown as { Worker: unknown; stopped: number };
    here.stopped = 0;
    here.Worker = class {
      onmessage: ((event: unknown) => void) | null = null;
      postMessage(message: { run: number }): void {
        setTimeout(() => this.onmessage?.({ data: { say: "here", run: message.run } }));
      }
      terminate(): void {
        here.stopped += 1;
      }
    };
  });
}

test("a search whose workers cannot be made says so and ends", async ({ page }) => {
  await page.addInitScript(() => {
    (window as unknown as { Worker: unknown }).Worker = class {
      constructor() {
        throw new DOMException("no workers here", "SecurityError");
      }
    };
  });
  await openDemo(page);
  const spoken = await listen(page);
  await goTo(page, "setting_out");
  await action(page, "set-out").click();
  await expect(page.locator(".notice")).toContainText("The search could not begin");
  await expect(action(page, "set-out")).toHaveText("Set out");
  await expect(page.locator(".working")).toHaveCount(0);
  expect((await spoken()).at(-1)).toContain("The search could not begin");
});

test("it says what it looks at from the first moment, and Stop ends it at once with a word", async ({ page }) => {
  await workersThatNeverAnswer(page);
  await openStool(page);
  const spoken = await listen(page);
  await goTo(page, "setting_out");
  await action(page, "set-out").click();
  await expect(page.locator(".working")).toHaveText(/^\s*Looking at \d+ boards? and \d+ parts? for a first plan…$/);
  await expect.poll(spoken).toContainEqual(expect.stringMatching(/^Looking at \d+ boards? and \d+ parts?/));
  await page.getByRole("button", { name: "Stop" }).click();
  await expect(action(page, "set-out")).toHaveText("Set out");
  await expect(page.locator(".notice")).toContainText("nothing was placed");
  await expect(page.locator(".working")).toHaveCount(0);
  expect((await spoken()).at(-1)).toContain("nothing was placed");
  expect(await page.evaluate(() => (window as unknown as { stopped: number }).stopped)).toBe(2);
});

test("the first plan and the end are read out, and better plans not oftener than every few seconds", async ({ page }) => {
  await openStool(page);
  const spoken = await listen(page);
  await setOut(page);
  const said = await spoken();
  expect(said[0]).toMatch(/^Looking at /);
  expect(said.filter((each) => each.startsWith("First plan: "))).toHaveLength(1);
  // It is over within seconds, so at most one better plan is told.
  expect(said.filter((each) => each.startsWith("Better plan: ")).length).toBeLessThanOrEqual(1);
  expect(said.at(-1)).toMatch(/^(Stopped\.|No better plan)/);
});

test("a job changed by hand while it is searched: nothing is claimed of the plan that lies there", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await action(page, "set-out").click();
  await goTo(page, "timber");
  await action(page, "add-board").click();
  const notice = page.locator(".notice");
  await expect(notice).toContainText("The job was changed, so the search stopped");
  await expect(notice).not.toContainText("fitted");
});

test("how to repeat a plan stands under details, with a starting number", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  const made = page.locator(".made");
  await expect(made.locator("p")).toBeHidden();
  await made.locator("summary").click();
  await expect(made.locator("p")).toHaveText(/^starting number 1, [\d,]+ steps, 2 workers$/);
  await expect(page.locator(".sheet")).not.toContainText(/seed/i);
});

test("the way to a plan is told in words, and is gone once the plan is changed by hand", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  const words = page.locator(".progress figcaption");
  await expect(words).toHaveText(/^(The first plan costs|\d+ plans, each better than the one before)/);
  await expect(page.locator(".progress svg")).toHaveAttribute("aria-label", (await words.textContent()) ?? "");
  await page.locator(".world [data-part]").first().click();
  await page.keyboard.press("ArrowRight");
  await expect(words).toHaveCount(0);
});
