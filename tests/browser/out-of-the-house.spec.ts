// What leaves a plan: all of it in one ZIP file, and labels and templates on paper.

import { readFileSync } from "node:fs";
import { inflateRawSync } from "node:zlib";

import type { Page } from "@playwright/test";

import { dropFile, expect, fixture, fromMenu, goTo, openPage, test } from "./support";

/** A job with a plan by hand: nothing is searched for. */
function planned(title: string): string {
  const job = JSON.parse(fixture("step-stool")) as Record<string, unknown>;
  return JSON.stringify({
    ...job,
    title,
    workshop: { tools: [] },
    dimensions: [],
    boards: [{ id: "A", species: "oak", thickness: 27, outline: { form: "tape", length: 1800, stations: [{ at: 0, left: 280, right: 0 }] } }],
    parts: [
      { id: "p", name: "=cmd|'/c calc'!A1", count: 3, thickness: 20, shape: { form: "rectangle", length: 300, width: 80 } },
      { id: "gusset", name: "Gusset", thickness: 20, cut: "sawn", shape: { form: "polygon", points: [[0, 0], [320, 0], [0, 160]] } },
    ],
    plan: {
      layouts: [
        {
          board: "A",
          copy: 1,
          way: "sawn",
          placements: [1, 2, 3].map((copy) => ({ part: "p", copy, x: 20 + 330 * (copy - 1), y: 20 })).concat([{ part: "gusset", copy: 1, x: 1100, y: 40 }]),
        },
      ],
      unplaced: [],
    },
  });
}

/** Names and texts of a ZIP file, by its directory. */
function unzipped(bytes: Buffer): Map<string, string> {
  const files = new Map<string, string>();
  const end = bytes.lastIndexOf("PK\x05\x06", undefined, "latin1");
  let at = bytes.readUInt32LE(end + 16);
  for (let left = bytes.readUInt16LE(end + 10); left > 0; left -= 1) {
    const [method, size, name, extra, comment, header] = [bytes.readUInt16LE(at + 10), bytes.readUInt32LE(at + 20), bytes.readUInt16LE(at + 28), bytes.readUInt16LE(at + 30), bytes.readUInt16LE(at + 32), bytes.readUInt32LE(at + 42)];
    const from = header + 30 + bytes.readUInt16LE(header + 26) + bytes.readUInt16LE(header + 28);
    const packed = bytes.subarray(from, from + size);
    files.set(bytes.toString("utf8", at + 46, at + 46 + name), (method === 8 ? inflateRawSync(packed) : packed).toString("utf8"));
    at += 46 + name + extra + comment;
  }
  return files;
}

async function open(page: Page, title: string): Promise<void> {
  await openPage(page);
  await dropFile(page, "planned.heartside.json", planned(title));
  await goTo(page, "setting_out");
  await expect(page.locator(".world [data-part]").first()).toBeVisible();
  await fromMenu(page, "files-out");
}

async function saved(page: Page): Promise<{ name: string; files: Map<string, string> }> {
  const [download] = await Promise.all([page.waitForEvent("download"), page.locator("[data-save-files]").click()]);
  return { name: download.suggestedFilename(), files: unzipped(readFileSync(await download.path())) };
}

test("all that leaves a plan is in one file, under safe names", async ({ page }) => {
  await open(page, "../\u202e<svg>\" CON");
  const { name, files } = await saved(page);
  expect(name).toMatch(/^[\w-]+-files\.zip$/);
  const names = [...files.keys()];
  expect(names.filter((each) => !/^[\w.-]+$/.test(each))).toEqual([]);
  // As the command calls them.
  for (const each of ["board-A.dxf", "part-cmd-c-calc-A1.dxf", "part-Gusset.dxf", "list-parts.csv", "board-A.svg", "all-boards.svg", "sheet-all.svg", "label-sheet-1.svg", "template-part-gusset-A1.svg"]) expect(names).toContain(each);
  expect(files.get("list-parts.csv")).toMatch(/^\ufeffpart,copy,board,/);
  expect(files.get("list-parts.csv")).toContain("'=cmd");
  expect(files.get("board-A.dxf")).toMatch(/EOF\r?\n$/);
  for (const [each, text] of files) if (each.endsWith(".svg")) expect(text.includes("<script") || !text.includes("<svg")).toBe(false);
});

test("what was chosen and typed counts, and is there the next time", async ({ page }) => {
  await open(page, "Stool");
  for (const kind of ["pages", "templates", "dxf", "svg"]) await page.locator(`[data-kind=${kind}] input[type=checkbox]`).uncheck();
  await page.getByLabel("semicolons").check();
  const first = page.getByLabel("Begin at label");
  await first.fill("50");
  await page.locator("[data-save-files]").click();
  // Nothing is saved; the field says why.
  await expect(first).toBeFocused();
  await expect(first).toHaveAccessibleDescription(/from 1 to 12/);
  await first.fill("5");
  await first.press("Tab");
  const { files } = await saved(page);
  expect([...files.keys()].filter((name) => !name.startsWith("list-"))).toEqual(["label-sheet-1.svg"]);
  expect(files.get("list-parts.csv")).toMatch(/^\ufeffpart;copy;board;/);
  // Four labels are gone: the first stands in the third row.
  const words = [...(files.get("label-sheet-1.svg") ?? "").matchAll(/<text[^>]* y="([\d.]+)"/g)].map(([, y]) => Number(y));
  expect(Math.min(...words)).toBeGreaterThan(13.5 + 2 * 45);
  await page.reload();
  await goTo(page, "setting_out");
  await expect(page.locator(".world [data-part]").first()).toBeVisible();
  await fromMenu(page, "files-out");
  await expect(page.getByLabel("semicolons")).toBeChecked();
  await expect(page.locator("[data-kind=pages] input[type=checkbox]")).not.toBeChecked();
  await expect(page.getByLabel("Begin at label")).toHaveValue("");
});

test("printed, labels stand and templates have the paper that was chosen", async ({ page }) => {
  await open(page, "Stool");
  await page.evaluate(() => (window.print = () => undefined));
  for (const [kind, paper, sizes] of [
    ["labels", "Letter", [[216, 279]]],
    ["templates", "A3", [[420, 297], [297, 420]]],
  ] as const) {
    await page.getByLabel(paper, { exact: true }).check();
    await page.locator(`[data-kind=${kind}]`).getByRole("button").click();
    await expect(page.locator(".sheets > svg")).not.toHaveCount(0);
    // Nothing of the page's own look comes along.
    expect(await page.locator(".sheets text").first().evaluate((words) => getComputedStyle(words).fontStyle)).toBe("normal");
    const count = await page.locator(".sheets > svg").count();
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString("latin1");
    const boxes = [...pdf.matchAll(/\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]/g)].map(([, width, height]) => [width, height].map((points) => Math.round((Number(points) / 72) * 25.4)));
    expect(boxes).toHaveLength(count);
    for (const box of boxes) expect(sizes).toContainEqual(box);
  }
});
