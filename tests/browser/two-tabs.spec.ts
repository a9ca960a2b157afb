// Nothing is lost without a word: jobs that make room for each other, tabs that close, and two
// tabs with the same job in any order of edits, reloads and closings.

import type { BrowserContext, Dialog, Page } from "@playwright/test";

import { keptJobs } from "./kept-jobs";
import { action, boards, dropFile, expect, fixture, fromMenu, goTo, openDemo, openPage, savedText, setOut, test } from "./support";

const kept = (page: Page) => expect(page.locator("[data-keeping=kept]")).toBeVisible();

test("a job that makes room for another stays kept as it was", async ({ page }) => {
  await openDemo(page);
  await kept(page);
  const titles = async () => (await keptJobs(page)).map(({ title, boards }) => `${title}: ${boards}`).sort();
  expect(await titles()).toEqual(["Writing desk in oak: 8"]);
  await fromMenu(page, "new-job");
  await expect(boards(page)).toHaveCount(0);
  await kept(page);
  expect(await titles()).toEqual([": 0", "Writing desk in oak: 8"]);
  await dropFile(page, "step-stool.heartside.json", fixture("step-stool"));
  await expect(page.locator(".job-title")).toHaveText("Step stool");
  await kept(page);
  await expect.poll(async () => (await titles()).length).toBe(3);
  expect(await titles()).toContain("Writing desk in oak: 8");
  expect(await titles()).toContain(": 0");
});

test("an edit made the moment before another job is opened goes with its own job", async ({ page }) => {
  await openDemo(page);
  await kept(page);
  await action(page, "add-board").click();
  await dropFile(page, "step-stool.heartside.json", fixture("step-stool"));
  await expect(page.locator(".job-title")).toHaveText("Step stool");
  await kept(page);
  const found = await keptJobs(page);
  expect(found.find(({ title }) => title === "Writing desk in oak")?.boards).toBe(9);
  expect(found).toHaveLength(2);
});

test("undo over the opening of a job goes back to the job before, under its own name", async ({ page }) => {
  await openDemo(page);
  await action(page, "add-board").click();
  await kept(page);
  await dropFile(page, "step-stool.heartside.json", fixture("step-stool"));
  await expect(page.locator(".job-title")).toHaveText("Step stool");
  await kept(page);
  const before = (await keptJobs(page)).map(({ id, title, boards }) => ({ id, title, boards }));
  const now = async () => (await keptJobs(page)).map(({ id, title, boards }) => ({ id, title, boards }));
  expect(before).toHaveLength(2);
  // An edit, and everything back over the opening.
  await action(page, "add-board").click();
  await action(page, "undo").click();
  await action(page, "undo").click();
  await expect(page.locator(".job-title")).toHaveText("Writing desk in oak");
  await expect(boards(page)).toHaveCount(10);
  await kept(page);
  expect(await now()).toEqual(before);
  // And one more: an edit of the desk.
  await action(page, "undo").click();
  await expect(boards(page)).toHaveCount(9);
  await action(page, "redo").click();
  await action(page, "redo").click();
  await expect(page.locator(".job-title")).toHaveText("Step stool");
  await kept(page);
  expect(await now()).toEqual(before);
  await page.reload();
  await expect(page.locator(".job-title")).toHaveText("Step stool");
});

test("undo over a new job, begun by mistake, has the whole job back after a reload", async ({ page }) => {
  await openDemo(page);
  await kept(page);
  await page.keyboard.press("Shift+N");
  await expect(boards(page)).toHaveCount(0);
  await page.keyboard.press("Control+z");
  await expect(boards(page)).toHaveCount(9);
  await action(page, "add-board").click();
  await kept(page);
  await page.reload();
  await expect(boards(page)).toHaveCount(10);
  await expect(page.locator(".job-title")).toHaveText("Writing desk in oak");
});

test("a second tab keeps the job on when the first is closed", async ({ page, context }) => {
  await openDemo(page);
  await kept(page);
  const second = await context.newPage();
  await openPage(second);
  await expect(second.locator("[data-keeping=reader]")).toBeVisible();
  // Left and then closed: a page that is closed here at once may not get its last word out.
  await page.goto("about:blank");
  await page.close();
  await expect(second.locator("[data-keeping=kept]")).toBeVisible();
  await action(second, "add-board").click();
  await expect(second.locator("[data-keeping=kept]")).toBeVisible();
  await second.reload();
  await expect(boards(second)).toHaveCount(10);
});

/** Whether the browser would ask before this tab is closed. */
async function asksBeforeClosing(page: Page): Promise<boolean> {
  let asked = false;
  const hear = (dialog: Dialog): void => {
    asked = dialog.type() === "beforeunload";
    void dialog.dismiss();
  };
  page.on("dialog", hear);
  await page.close({ runBeforeUnload: true });
  await new Promise((done) => setTimeout(done, 600));
  page.off("dialog", hear);
  return asked;
}

test("a tab that keeps its job closes without a question", async ({ page, context }) => {
  const other = await context.newPage();
  await openDemo(page);
  await action(page, "add-board").click();
  await kept(page);
  expect(await asksBeforeClosing(page)).toBe(false);
  await other.close();
});

test("a second tab with edits of its own asks before it closes, and one without does not", async ({ page, context }) => {
  await openDemo(page);
  await kept(page);
  const idle = await context.newPage();
  await openPage(idle);
  await expect(idle.locator("[data-keeping=reader]")).toBeVisible();
  await idle.locator(".place[data-place=piece]").click();
  expect(await asksBeforeClosing(idle)).toBe(false);

  const second = await context.newPage();
  await openPage(second);
  await expect(second.locator("[data-keeping=reader]")).toBeVisible();
  await second.locator('[data-action="add-board"]').first().click();
  expect(await asksBeforeClosing(second)).toBe(true);
  expect(await asksBeforeClosing(second)).toBe(true);

  // What is being typed there is not kept either.
  const third = await context.newPage();
  await openPage(third);
  await expect(third.locator("[data-keeping=reader]")).toBeVisible();
  await third.locator("[data-quick=thickness]").first().click();
  await third.keyboard.type("3");
  expect(await asksBeforeClosing(third)).toBe(true);
});

test("a tab whose store refuses asks before it closes, and before another job takes the floor", async ({ page }) => {
  await page.addInitScript(() => {
    IDBFactory.prototype.open = () => {
      throw new DOMException("storage is refused", "SecurityError");
    };
  });
  await openDemo(page);
  await action(page, "add-board").click();
  await expect(page.locator("[data-keeping=off]")).toBeVisible();
  expect(await asksBeforeClosing(page)).toBe(true);
  await page.locator(".back").click();

  await fromMenu(page, "new-job");
  await expect(page.locator("dialog")).toContainText("kept neither in this browser nor in a file");
  await page.keyboard.press("Escape");
  await expect(boards(page)).toHaveCount(10);
  await fromMenu(page, "new-job");
  const [download] = await Promise.all([page.waitForEvent("download"), page.locator("[data-leaving=save]").click()]);
  expect(download.suggestedFilename()).toMatch(/\.json$/);
  await expect(boards(page)).toHaveCount(0);
});

test("a tab whose neighbour keeps a newer state asks before it closes", async ({ page }) => {
  await openDemo(page);
  await kept(page);
  const [job] = await keptJobs(page);
  // As another tab would write that this one cannot hear.
  await page.evaluate(
    (id) =>
      new Promise<void>((done) => {
        const opening = indexedDB.open("heartside");
        opening.onsuccess = () => {
          const store = opening.result.transaction("jobs", "readwrite").objectStore("jobs");
          const read = store.get(id);
          read.onsuccess = () => {
            store.put({ ...read.result, stamp: read.result.stamp + 5, writer: "another" }, id);
            store.transaction.oncomplete = () => done();
          };
        };
      }),
    job?.id ?? "",
  );
  await action(page, "add-board").click();
  await expect(page.locator("[data-keeping=clash]")).toBeVisible();
  expect(await asksBeforeClosing(page)).toBe(true);
  expect((await keptJobs(page))[0]?.boards).toBe(8);
});

/** The cuts made, as the job's file has them. */
const cutsIn = async (page: Page): Promise<unknown[]> => (JSON.parse(await savedText(page)) as { done?: unknown[] }).done ?? [];

for (const way of ["load", "both"] as const) {
  test(`two tabs tick cuts of one job, and the second goes on with ${way === "load" ? "the newer job" : "a copy"}`, async ({ page, context }) => {
    await openDemo(page);
    await setOut(page);
    await goTo(page, "bench");
    await kept(page);
    const second = await context.newPage();
    await openPage(second);
    await expect(second.locator("[data-keeping=reader]")).toBeVisible();
    await goTo(second, "bench");
    const tick = async (tab: Page, made: string): Promise<void> => {
      await tab.bringToFront();
      // As far apart as no trembling finger is.
      await tab.waitForTimeout(400);
      await tab.locator('.next-cut [data-action="cut-done"]').click();
      await expect(tab.locator(".done-cuts > summary")).toHaveText(made);
    };
    await tick(page, "1 cut made");
    await tick(second, "1 cut made");
    await tick(second, "2 cuts made");
    await kept(page);
    // The tab that does not keep the job says so, and the cuts of the one that does are on the shelf.
    const word = second.locator("[data-keeping=reader]");
    await expect(word).toHaveAttribute("title", /another tab/);
    await tick(page, "2 cuts made");
    await tick(page, "3 cuts made");
    await kept(page);
    const ofFirst = await cutsIn(page);
    const ofSecond = await cutsIn(second);
    expect([ofFirst.length, ofSecond.length]).toEqual([3, 2]);

    await second.bringToFront();
    await second.locator("[data-keeping=reader], [data-keeping=clash]").click();
    await expect(second.locator("dialog")).toContainText("Another tab");
    await second.locator(`[data-clash=${way}]`).click();
    await kept(second);
    expect(await cutsIn(second)).toEqual(way === "load" ? ofFirst : ofSecond);
    expect(await cutsIn(page)).toEqual(ofFirst);
    const jobs = await keptJobs(second);
    expect(jobs.map(({ title }) => title).sort()).toEqual(way === "load" ? ["Writing desk in oak"] : ["Writing desk in oak", "Writing desk in oak (copy)"]);
    await second.reload();
    await expect(second.locator("#page")).toHaveAttribute("data-ready", "yes");
    expect(await cutsIn(second)).toEqual(way === "load" ? ofFirst : ofSecond);
  });
}

type Step = "edit 1" | "edit 2" | "reload 1" | "reload 2" | "close 1" | "close 2" | "load 2" | "copy 2" | "open 2";

/** Orders of what two tabs with one job do. */
const orders: readonly (readonly Step[])[] = [
  ["open 2", "edit 1", "edit 2", "close 1", "edit 2"],
  ["open 2", "close 1", "edit 2", "reload 2"],
  ["open 2", "edit 1", "close 1", "edit 2"],
  ["edit 1", "open 2", "load 2", "edit 2", "edit 1", "reload 1"],
  ["open 2", "edit 2", "copy 2", "edit 1", "close 1", "reload 2"],
  ["open 2", "edit 1", "reload 1", "edit 1", "edit 2", "close 2", "reload 1"],
  ["open 2", "load 2", "edit 1", "close 2", "edit 1"],
];

for (const order of orders) {
  test(`two tabs: ${order.join(", ")}`, async ({ page, context }) => {
    test.setTimeout(90_000);
    await openDemo(page);
    await kept(page);
    await twoTabs(page, context, order);
  });
}

/**
 * Whatever was edited is in the end on the shelf, or its tab still shows it and says that it is
 * not kept, or the browser asked before it went.
 */
async function twoTabs(first: Page, context: BrowserContext, order: readonly Step[]): Promise<void> {
  const tabs: (Page | null)[] = [first, null];
  let asked = [false, false];
  const listen = (tab: Page, at: number): void => {
    tab.on("dialog", (dialog) => {
      if (dialog.type() === "beforeunload") asked[at] = true;
      void dialog.accept();
    });
  };
  listen(first, 0);
  /** What each tab shows and nobody was told is unkept. */
  const shown = async (tab: Page): Promise<number> => boards(tab).count();

  for (const step of order) {
    const [what, who] = step.split(" ") as [string, string];
    const at = Number(who) - 1;
    const tab = tabs[at] ?? null;
    if (what === "open") {
      const fresh = await context.newPage();
      listen(fresh, at);
      await openPage(fresh);
      await fresh.waitForTimeout(400);
      tabs[at] = fresh;
      continue;
    }
    if (tab === null) throw new Error(`${step}: no such tab`);
    const before = await shown(tab);
    const isKept = async (): Promise<boolean> => {
      await tab.waitForTimeout(900);
      return tab.locator("[data-keeping=kept]").isVisible();
    };
    if (what === "edit") {
      await tab.bringToFront();
      const back = tab.locator(".back");
      if (await back.isVisible()) await back.click();
      await action(tab, "add-board").click();
      await expect(boards(tab)).toHaveCount(before + 1);
      if (await isKept()) expect((await keptJobs(tab)).map((job) => job.boards + 1)).toContain(before + 1);
      else await expect(tab.locator("[data-keeping=reader], [data-keeping=clash]")).toBeVisible();
    } else if (what === "load") {
      await tab.locator("[data-keeping=reader], [data-keeping=clash]").click();
      await tab.locator("[data-clash=load]").click();
      await expect(tab.locator("[data-keeping=kept]")).toBeVisible();
    } else if (what === "copy") {
      await tab.locator("[data-keeping=reader], [data-keeping=clash]").click();
      await tab.locator("[data-clash=both]").click();
      await expect(tab.locator("[data-keeping=kept]")).toBeVisible();
    } else {
      const wasKept = await isKept();
      const edited = await tab.locator("[data-action=undo]").first().getAttribute("aria-disabled");
      asked = [false, false];
      if (what === "reload") {
        await tab.reload();
        await expect(tab.locator("#page")).toHaveAttribute("data-ready", "yes");
        await tab.waitForTimeout(400);
      } else {
        await tab.close({ runBeforeUnload: true });
        await expect.poll(() => tab.isClosed()).toBe(true);
        tabs[at] = null;
      }
      if (!wasKept && edited === "false") expect(asked[at], `${step} asks`).toBe(true);
      if (wasKept) {
        expect(asked[at], `${step} does not ask`).toBe(false);
        const alive = tabs.find((each) => each !== null);
        // The demo has one board twice, so one more is shown than is written down.
        if (alive != null) expect((await keptJobs(alive)).map((job) => job.boards + 1)).toContain(before);
      }
    }
  }
}
