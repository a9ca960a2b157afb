// Faces with their wood: both sides, live while the wood is pushed, and large.

import { createHash } from "node:crypto";

import type { Page } from "@playwright/test";

import { dropFile, expect, goTo, middleOf, openDemo, test } from "./support";

/** A board of 2,000 x 300 mm as a picture of its own at a pixel of 4 mm, its grain dark at one edge. */
async function picture(page: Page, hue: number): Promise<Buffer> {
  const address = await page.evaluate((angle) => {
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [500, 75];
    const context = canvas.getContext("2d")!;
    for (let x = 0; x < 500; x += 5) {
      context.fillStyle = `hsl(${angle} 45% ${40 + 25 * Math.abs(Math.sin(x / 40))}%)`;
      context.fillRect(x, 0, 5, 75);
    }
    return canvas.toDataURL("image/png");
  }, hue);
  return Buffer.from(address.split(",")[1] ?? "", "base64");
}

/** Puts files where the page keeps photographs, as if they had been taken in. */
async function keepPhotos(page: Page, files: readonly Buffer[]): Promise<void> {
  const kept = files.map((file) => [hashOf(file), file.toString("base64")] as const);
  await page.evaluate(async (all) => {
    const store = await new Promise<IDBDatabase>((done, failed) => {
      const asked = indexedDB.open("heartside-photos");
      asked.onupgradeneeded = () => asked.result.createObjectStore("photos");
      asked.onsuccess = () => done(asked.result);
      asked.onerror = () => failed(asked.error);
    });
    const writing = store.transaction("photos", "readwrite");
    for (const [hash, text] of all) {
      const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
      writing.objectStore("photos").put(new Blob([bytes], { type: "image/png" }), hash);
    }
    await new Promise((done) => (writing.oncomplete = done));
    store.close();
  }, kept);
}

const hashOf = (file: Buffer): string => createHash("sha256").update(file).digest("hex");

test("wood is seen in its panel from both sides, pushed under a stave in one step, and shown large", async ({ page }) => {
  await openDemo(page);
  const [up, down] = [await picture(page, 30), await picture(page, 20)];
  const photo = (file: Buffer, face: string): object => ({ hash: hashOf(file), board: "A", face, pixel: 4, origin: [0, -150], size: [500, 75] });
  const lies = (number: number, y: number): object => ({ part: `top..1.${number}`, x: 300, y });
  const job = {
    format: "heartside-job",
    version: 3,
    title: "Wooden top",
    units: { length: "mm" },
    boards: [{ id: "A", thickness: 30, outline: { form: "tape", length: 2000, stations: [{ at: 0, left: 150, right: 150 }] } }],
    parts: [{ id: "top", name: "Top", thickness: 20, shape: { form: "rectangle", length: 800, width: 200 } }],
    panels: [{ part: "top", max_width: 100 }],
    photos: [photo(up, "up"), photo(down, "down")],
    plan: {
      panels: [{ part: "top", copy: 1, staves: [1, 2].map((number) => ({ number, width: 100 })) }],
      layouts: [{ board: "A", copy: 1, way: "straight", placements: [lies(1, -120), lies(2, 10)] }],
    },
  };
  await keepPhotos(page, [up, down]);
  await dropFile(page, "top.heartside.json", JSON.stringify(job));
  await expect(page.locator(".job-title")).toHaveText("Wooden top");
  await goTo(page, "setting_out");
  const panel = page.locator("section.panel");
  const first = panel.locator('[data-figure="top..1.1#1"]');
  const shown = (): Promise<string | null> => first.locator("image").first().getAttribute("href");
  await expect(first.locator("image")).toHaveCount(1);
  const front = await shown();
  expect(front).toMatch(/^blob:/);
  await panel.getByRole("button", { name: "Back", exact: true }).click();
  await expect.poll(shown).not.toBe(front);
  await panel.getByRole("button", { name: "Front", exact: true }).click();
  await expect.poll(shown).toBe(front);

  // The wood is pushed by the pointer: it follows at once, and lies so in one step.
  const matrix = async (): Promise<number[]> => ((await first.getAttribute("transform")) ?? "").replace(/[a-z()]/g, "").trim().split(/\s+/).map(Number);
  const was = await matrix();
  await panel.getByRole("button", { name: "Slide the wood" }).click();
  const stave = panel.locator('[data-stave="1"] .hs-wood');
  await stave.scrollIntoViewIfNeeded();
  const { x, y } = await middleOf(stave);
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 12, y);
  await page.mouse.move(x + 24, y);
  await expect.poll(async () => (await matrix())[4]! - was[4]!).toBeGreaterThan(20);
  const live = await matrix();
  await page.mouse.up();
  await expect.poll(async () => Math.abs((await matrix())[4]! - live[4]!)).toBeLessThan(0.01);
  // By keys: what is chosen, on the picture.
  const again = await middleOf(stave);
  await page.mouse.click(again.x, again.y);
  await expect(panel.locator(".staves .is-chosen")).toContainText("Stave 1");
  await panel.locator(".panel-picture").focus();
  await page.keyboard.press("Shift+ArrowLeft");
  await expect.poll(async () => Math.round((await matrix())[4]! - live[4]!)).toBe(-10);
  await page.keyboard.press("Control+z");
  await page.keyboard.press("Control+z");
  await expect.poll(async () => Math.abs((await matrix())[4]! - was[4]!)).toBeLessThan(0.01);

  await panel.getByRole("button", { name: "Show it large" }).click();
  await expect(page.locator("dialog.face-large image").first()).toBeVisible();
  await page.keyboard.press("Escape");
  await expect(page.locator("dialog.face-large")).toHaveCount(0);
});
