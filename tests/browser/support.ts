// What the browser tests share: opening the page as its users do, and the steps that most
// of them begin with.

import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";

import {
  expect,
  test as base,
  type BrowserContextOptions,
  type Locator,
  type Page,
  type PlaywrightWorkerArgs,
  type TestInfo,
} from "@playwright/test";

import { pageAddress } from "./page";

export const fixture = (name: string): string =>
  readFileSync(join(__dirname, "../../fixtures", `${name}.heartside.json`), "utf8");

/** A test in which nothing may be complained about: no page error, nothing red in the console. */
export const test = base.extend<{ complaints: string[] }>({
  page: async ({ page }, use) => {
    // Playwright begins to catch choosers when somebody first listens, and a key pressed at the
    // same moment can come before it.
    page.on("filechooser", () => undefined);
    await use(page);
  },
  complaints: [
    async ({ context }, use) => {
      const complaints: string[] = [];
      context.on("weberror", (error) => complaints.push(error.error().message));
      context.on("console", (message) => {
        if (message.type() === "error") complaints.push(message.text());
      });
      await use(complaints);
      expect(complaints).toEqual([]);
    },
    { auto: true },
  ],
});

export { expect };

export async function openPage(page: Page): Promise<void> {
  await page.goto(pageAddress);
  await expect(page.locator("#page")).toHaveAttribute("data-ready", "yes", { timeout: 15_000 });
}

/** Opens the page and puts away the first steps, which would lie over the floor. */
export async function openDemo(page: Page): Promise<void> {
  await openPage(page);
  await page.getByRole("button", { name: "Understood" }).click();
  await atRest(page);
}

/** Waits until the floor has come to rest: labels are sized anew a moment after the picture was fitted. */
async function atRest(page: Page): Promise<void> {
  await page.evaluate(
    () =>
      new Promise<void>((resolve) => {
        const world = document.querySelector(".world");
        if (world === null) return resolve();
        let timer = setTimeout(resolve, 250);
        const watch = new MutationObserver(() => {
          clearTimeout(timer);
          timer = setTimeout(resolve, 250);
        });
        watch.observe(world, { attributes: true, childList: true });
      }),
  );
}

export const place = (page: Page, name: "timber" | "piece" | "setting_out" | "bench"): Locator =>
  page.locator(`[data-place=${name}].place`);

export async function goTo(page: Page, name: "timber" | "piece" | "setting_out" | "bench"): Promise<void> {
  await place(page, name).click();
  await expect(place(page, name)).toHaveAttribute("aria-current", "page");
  await atRest(page);
}

export const action = (page: Page, id: string): Locator => page.locator(`[data-action="${id}"]`).filter({ visible: true }).first();

export async function fromMenu(page: Page, id: string): Promise<void> {
  await action(page, "menu").click();
  await page.locator(`dialog [data-action="${id}"]`).click();
}

/** Puts a job on the floor by dropping its file, which is quicker than choosing one. */
export async function dropFile(page: Page, name: string, content: string): Promise<void> {
  const transfer = await page.evaluateHandle(
    ({ name, content }) => {
      const data = new DataTransfer();
      data.items.add(new File([content], name, { type: "application/json" }));
      return data;
    },
    { name, content },
  );
  await page.locator(".floor").dispatchEvent("dragover", { dataTransfer: transfer });
  await page.locator(".floor").dispatchEvent("drop", { dataTransfer: transfer });
}

/** The step stool is planned in a moment; most tests of planning use it. */
export async function openStool(page: Page): Promise<void> {
  await openDemo(page);
  await dropFile(page, "step-stool.heartside.json", fixture("step-stool"));
  await expect(page.locator(".job-title")).toHaveText("Step stool");
  await atRest(page);
}

/** Sets out until every part is placed, and stops. */
export async function setOut(page: Page): Promise<void> {
  await goTo(page, "setting_out");
  await action(page, "set-out").click();
  await expect(page.locator(".sheet h2").first()).toHaveText(/^All \d+ parts/, { timeout: 60_000 });
  const stop = page.getByRole("button", { name: "Stop" });
  if (await stop.isVisible()) await stop.click();
  await expect(page.locator(".working")).toBeHidden({ timeout: 30_000 });
  await atRest(page);
}

export const parts = (page: Page): Locator => page.locator(".world [data-part]");
export const boards = (page: Page): Locator => page.locator(".world [data-board]");

/** Adds a board from Timber's table; the form of a board added before is left first. */
export async function addBoard(page: Page): Promise<void> {
  const back = page.locator(".back");
  if (await back.isVisible()) await back.click();
  await action(page, "add-board").click();
}

export async function middleOf(locator: Locator): Promise<{ x: number; y: number }> {
  const box = await locator.boundingBox();
  if (box === null) throw new Error("it has no place on the screen");
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

/** The job's file as it would be saved. */
export async function savedText(page: Page): Promise<string> {
  const [download] = await Promise.all([page.waitForEvent("download"), page.keyboard.press("Control+s")]);
  const path = await download.path();
  return readFileSync(path, "utf8");
}

/** Kills every process that was started with a folder as an argument; says how many. */
function killAllOf(folder: string): number {
  const pids = readdirSync("/proc").filter((name) => /^\d+$/.test(name));
  let killed = 0;
  for (const pid of pids) {
    try {
      if (!readFileSync(join("/proc", pid, "cmdline"), "utf8").includes(folder)) continue;
      process.kill(Number(pid), "SIGKILL");
      killed += 1;
    } catch {
      // It ended by itself in the meantime.
    }
  }
  return killed;
}

/** A browser that is killed and started again with what it had kept. */
export interface Killable {
  start(): Promise<Page>;
  /** No handler runs, nothing is closed or written in good order. */
  kill(): Promise<void>;
  close(): Promise<void>;
}

export function killable(playwright: PlaywrightWorkerArgs["playwright"], info: TestInfo, more: BrowserContextOptions = {}): Killable {
  test.skip(process.platform !== "linux", "processes are found through /proc, which only Linux has");
  const folder = info.outputPath("profile");
  const launch = () => playwright.chromium.launchPersistentContext(folder, { ...info.project.use.launchOptions, ...more });
  let context: Awaited<ReturnType<typeof launch>> | null = null;
  return {
    async start() {
      context = await launch();
      return context.newPage();
    },
    async kill() {
      const before = context;
      expect(killAllOf(folder)).toBeGreaterThan(0);
      await expect.poll(() => before?.pages().length ?? 0).toBe(0);
    },
    async close() {
      await context?.close();
    },
  };
}
