// The demo job whose photographs are rendered when it is opened, from the numbers of two invented logs.

import { readFileSync } from "node:fs";
import { join } from "node:path";

import { action, expect, openDemo, savedText, test } from "./support";

interface Saved {
  readonly photos: readonly { readonly hash: string; readonly board: string; readonly face?: string }[];
  readonly figure_maps: readonly { readonly photo: string; readonly layers: Readonly<Record<string, string>> }[];
}

/** A number that tells texts apart (FNV-1a, 32 bits). */
const hash = (text: string): number => [...text].reduce((hash, letter) => Math.imul(hash ^ letter.charCodeAt(0), 0x01000193), 0x811c9dc5) >>> 0;

test("the wide boards of the demo job are rendered, and their figure is told as the command tells it", async ({ page }) => {
  await openDemo(page);
  await action(page, "menu").click();
  await page.locator('[data-demo="sideboard.heartside.json"]').click();
  await expect(page.locator('.world image[href^="blob:"]')).toHaveCount(3, { timeout: 30_000 });
  await expect.poll(async () => (JSON.parse(await savedText(page)) as Saved).photos.filter((photo) => photo.hash !== "").length, { timeout: 30_000 }).toBe(6);
  const { photos, figure_maps } = JSON.parse(await savedText(page)) as Saved;
  const [first] = photos;
  const rows = figure_maps.filter((row) => row.photo === first?.hash);
  const levels = rows.flatMap(({ layers }) => Object.keys(layers).sort().map((name) => layers[name]));
  const told = readFileSync(join(__dirname, "../../fixtures/sideboard-map.txt"), "utf8");
  expect(hash(levels.join(""))).toBe(Number(told));
  // It is kept with them, and undone as a whole.
  await page.keyboard.press("Control+z");
  await expect(page.locator(".job-title")).toHaveText(/desk/i);
});
