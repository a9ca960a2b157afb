// Files: saved and opened, dropped, refused; drawings and sheets.

import { readFileSync } from "node:fs";
import { writeFileSync } from "node:fs";

import { action, boards, dropFile, expect, fixture, fromMenu, goTo, openDemo, openStool, savedText, setOut, test } from "./support";

test("a saved file opens again as the same job", async ({ page }, info) => {
  await openStool(page);
  await setOut(page);
  const content = await savedText(page);
  const job = JSON.parse(content) as { title: string; revision: number; plan?: { revision: number } };
  expect(job.title).toBe("Step stool");
  expect(job.plan).toBeTruthy();
  const path = info.outputPath("again.heartside.json");
  writeFileSync(path, content);
  await fromMenu(page, "new-job");
  await expect(boards(page)).toHaveCount(0);
  const [chooser] = await Promise.all([page.waitForEvent("filechooser"), page.keyboard.press("Control+o")]);
  await chooser.setFiles(path);
  await expect(page.locator(".job-title")).toHaveText("Step stool");
  const again = JSON.parse(await savedText(page)) as typeof job;
  // No revision is given out twice: the opened job and its plan go on counting together.
  expect(again.plan?.revision).toBe(again.revision);
  for (const each of [job, again]) {
    each.revision = 0;
    if (each.plan !== undefined) each.plan.revision = 0;
  }
  expect(again).toEqual(job);
});

test("a file dropped anywhere is opened", async ({ page }) => {
  await openDemo(page);
  await dropFile(page, "stool.heartside.json", fixture("step-stool"));
  await expect(page.locator(".job-title")).toHaveText("Step stool");
  await expect(boards(page)).toHaveCount(2);
});

const bad: readonly [name: string, content: string, says: RegExp][] = [
  ["broken", '{"format":"heartside-job","version":1,"boards":[', /not opened/i],
  ["another format", '{"format":"shopping-list","version":1}', /not opened/i],
  ["a later version", '{"format":"heartside-job","version":999}', /version/i],
  ["no text at all", "", /not opened/i],
];

for (const [name, content, says] of bad) {
  test(`a bad file (${name}) is refused with words and the job stays`, async ({ page }) => {
    await openDemo(page);
    await dropFile(page, "bad.heartside.json", content);
    await expect(page.locator(".notice-problem")).toContainText(says);
    await expect(boards(page)).toHaveCount(9);
    await expect(page.locator(".job-title")).toHaveText("Writing desk in oak");
  });
}

test("a file with faults opens, the sound rest is usable, and each fault is named", async ({ page }) => {
  await openDemo(page);
  const job = JSON.parse(fixture("step-stool")) as {
    boards: { id: string; thickness: unknown; outline?: unknown }[];
    parts: { id: string; thickness: unknown }[];
    wonder?: string;
  };
  const first = job.boards[0];
  if (first === undefined) throw new Error("the stool has no boards");
  first.thickness = -5;
  const other = job.parts[0];
  if (other !== undefined) other.thickness = "NaN";
  job.wonder = "kept";
  await dropFile(page, "faults.heartside.json", JSON.stringify(job));
  await expect(page.locator(".problems li").first()).toBeVisible();
  expect(await page.locator(".problems li").count()).toBeGreaterThanOrEqual(2);
  await goTo(page, "piece");
  await expect(page.locator(".parts tbody tr")).toHaveCount(3);
  expect(JSON.parse(await savedText(page))).toMatchObject({ wonder: "kept" });
});

test("an id that looks like a path never leaves the folder", async ({ page }) => {
  await openDemo(page);
  const job = JSON.parse(fixture("step-stool")) as { boards: { id: string }[] };
  const first = job.boards[0];
  if (first !== undefined) first.id = "../../x";
  await dropFile(page, "path.heartside.json", JSON.stringify(job));
  await page.locator(".boards .row-open").first().click();
  // Such an id has to be mended before its board is drawn; nothing is saved under it.
  const saved: string[] = [];
  page.on("download", (download) => saved.push(download.suggestedFilename()));
  await page.keyboard.press("Shift+B");
  await expect(page.locator(".notice")).toContainText("nothing was saved");
  expect(saved).toEqual([]);
  // The file of the whole job has a name of its own.
  const [download] = await Promise.all([page.waitForEvent("download"), page.keyboard.press("Control+s")]);
  expect(download.suggestedFilename()).toMatch(/^[\w.-]+\.json$/);
  expect(download.suggestedFilename()).not.toContain("..");
});

test("the drawing of one board and of all are true SVG files", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await goTo(page, "timber");
  await page.locator(".boards .row-open").first().click();
  for (const id of ["svg-board", "svg-all"]) {
    const [download] = await Promise.all([page.waitForEvent("download"), fromMenu(page, id)]);
    expect(download.suggestedFilename()).toMatch(/\.svg$/);
    const svg = readFileSync(await download.path(), "utf8");
    const shape = await page.evaluate((text) => {
      const parsed = new DOMParser().parseFromString(text, "image/svg+xml");
      const root = parsed.documentElement;
      return {
        error: parsed.querySelector("parsererror")?.textContent ?? null,
        name: root.localName,
        width: root.getAttribute("width") ?? "",
        titles: root.querySelectorAll("title").length,
        scripts: root.querySelectorAll("script, foreignObject").length,
        words: root.textContent ?? "",
      };
    }, svg);
    expect(shape.error).toBeNull();
    expect(shape.name).toBe("svg");
    expect(shape.width).toMatch(/mm$/);
    expect(shape.titles).toBeGreaterThan(2);
    expect(shape.scripts).toBe(0);
    expect(shape.words).toContain(new Date().getFullYear().toString());
  }
});

test("printing lays one sheet a board, on the paper that was chosen", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  await page.evaluate(() => {
    window.print = () => {
      const sheets = document.querySelector(".sheets");
      (window as unknown as { printed: unknown }).printed = {
        paper: sheets?.getAttribute("data-paper"),
        sheets: sheets?.querySelectorAll(":scope > svg").length,
        size: sheets?.querySelector("style")?.textContent,
        words: sheets?.textContent?.length,
      };
    };
  });
  for (const paper of ["A4", "Letter"]) {
    await page.keyboard.press("Control+p");
    await page.getByLabel(paper).check();
    await page.getByRole("button", { name: "Print", exact: true }).last().click();
    const printed = await page.evaluate(() => (window as unknown as { printed: { paper: string; sheets: number; size: string; words: number } }).printed);
    expect(printed.paper).toBe(paper.toLowerCase());
    expect(printed.sheets).toBeGreaterThanOrEqual(1);
    expect(printed.size).toMatch(new RegExp(`size:${paper}`, "i"));
    expect(printed.words).toBeGreaterThan(100);
    const [wide, high] = paper === "A4" ? [297, 210] : [279.4, 215.9];
    await page.emulateMedia({ media: "print" });
    await expect(page.locator("#page")).toBeHidden();
    const first = page.locator(".sheets > svg").first();
    await expect(first).toBeVisible();
    const shown = await first.boundingBox();
    expect(Math.abs(((shown?.width ?? 0) / 96) * 25.4 - wide)).toBeLessThan(1);
    const ground = await first.locator(".hs-paper").first().evaluate((each) => getComputedStyle(each).fill);
    expect(ground).toBe("rgb(255, 255, 255)");
    await page.emulateMedia({ media: null });
    // What Chromium would send to a printer: as many pages as sheets, lying, none shrunk. That
    // done, the sheets are gone.
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString("latin1");
    const boxes = [...pdf.matchAll(/\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]/g)];
    expect(boxes).toHaveLength(printed.sheets);
    for (const [, width, height] of boxes) {
      expect(Math.abs((Number(width) / 72) * 25.4 - wide)).toBeLessThan(1);
      expect(Math.abs((Number(height) / 72) * 25.4 - high)).toBeLessThan(1);
    }
  }
});

test("the job is renamed in the header", async ({ page }) => {
  await openDemo(page);
  await page.locator(".job-title").click();
  await page.keyboard.type("Desk for the window");
  await page.keyboard.press("Enter");
  await expect(page.locator(".job-title")).toHaveText("Desk for the window");
  await expect(page).toHaveTitle(/Desk for the window/);
  await action(page, "undo").click();
  await expect(page.locator(".job-title")).toHaveText("Writing desk in oak");
});
