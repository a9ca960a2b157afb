// A maker's first job about figure, from photographs of boards to a balanced top and its cut list, choosing no more than a picture of how it is to look.

import type { Page } from "@playwright/test";

import { coreHere } from "./core";
import { action, expect, fromMenu, goTo, openDemo, setOut, test } from "./support";

/** Pixels in a row of a photograph and rows; each of so many millimetres; where its lower left corner lies on the board. */
const SIZE = [1200, 240] as const;
const PIXEL = 2;
const CORNER = [-50, -240] as const;
const LENGTH = SIZE[0] * PIXEL + 2 * CORNER[0];

interface Photo {
  readonly name: string;
  readonly mimeType: string;
  readonly buffer: Buffer;
  /** The four corners of the board as shares of its sides, and the widths of its ends. */
  readonly corners: readonly (readonly [number, number])[];
  readonly widths: readonly [number, number];
}

/** Photographs of wide boards: the two faces that one cut of a log parted, and a board of another log. */
async function photographs(page: Page): Promise<Photo[]> {
  const core = await coreHere();
  const [width, height] = SIZE;
  const taken: Photo[] = [];
  for (const [log, board, isDown] of [[3, 0, false], [3, 1, true], [2, 1, false]] as const) {
    const rgba = core.Photograph.rendered(log, board, isDown, new Uint32Array(SIZE), PIXEL, new Float64Array(CORNER)).pixels();
    // Wood is brown, the floor is grey.
    const isWood = (column: number, row: number): boolean => rgba[4 * (row * width + column)]! > rgba[4 * (row * width + column) + 2]! + 18;
    const end = (column: number): readonly [number, number] => {
      const rows = Array.from({ length: height }, (_, row) => row).filter((row) => isWood(column, row));
      return [Math.max(...rows) + 1, Math.min(...rows)];
    };
    const [left, right] = [-CORNER[0] / PIXEL, width + CORNER[0] / PIXEL];
    const [from, to] = [end(left + 1), end(right - 2)];
    const data = await page.evaluate(
      ([width, height, text]) => {
        const canvas = document.createElement("canvas");
        [canvas.width, canvas.height] = [width, height];
        const pixels = Uint8ClampedArray.from(atob(text), (letter) => letter.charCodeAt(0));
        canvas.getContext("2d")!.putImageData(new ImageData(pixels, width, height), 0, 0);
        return canvas.toDataURL("image/jpeg", 0.9).split(",")[1] ?? "";
      },
      [width, height, Buffer.from(rgba).toString("base64")] as const,
    );
    taken.push({
      name: `board-${taken.length + 1}.jpg`,
      mimeType: "image/jpeg",
      buffer: Buffer.from(data, "base64"),
      corners: [[left, from[0]], [right, to[0]], [right, to[1]], [left, from[1]]].map(([x, y]) => [x! / width, y! / height] as const),
      widths: [(from[0] - from[1]) * PIXEL, (to[0] - to[1]) * PIXEL],
    });
  }
  return taken;
}

test("from three photographs to a balanced top with its cut list", async ({ page }) => {
  test.setTimeout(120_000);
  await openDemo(page);
  await fromMenu(page, "new-job");
  const photos = await photographs(page);
  await page.getByRole("button", { name: "A board from a photograph" }).filter({ visible: true }).first().click();
  const dialog = page.locator("dialog[open]");
  const [chooser] = await Promise.all([page.waitForEvent("filechooser"), dialog.getByRole("button", { name: "Choose photos" }).click()]);
  await chooser.setFiles(photos.map(({ name, mimeType, buffer }) => ({ name, mimeType, buffer })));
  for (const { corners, widths } of photos) {
    await expect(dialog.getByText("Tap the corners of the board: 4 more")).toBeVisible({ timeout: 30_000 });
    for (const [x, y] of corners) {
      const box = (await dialog.locator(".photo-inner").boundingBox())!;
      await page.mouse.click(box.x + x * box.width, box.y + y * box.height);
    }
    await dialog.getByLabel("Length", { exact: true }).fill(String(LENGTH));
    await dialog.getByRole("textbox", { name: "Width, left end" }).fill(String(widths[0]));
    await dialog.getByRole("textbox", { name: "Width, right end" }).fill(String(widths[1]));
    await dialog.getByRole("button", { name: "Straighten" }).click();
    // What is seen first is the outline.
    await dialog.locator("button", { hasText: /^Accept$/ }).first().click({ timeout: 30_000 });
    const thickness = dialog.getByRole("textbox", { name: "Thickness" });
    if ((await thickness.inputValue()) === "") await thickness.fill("40");
    await dialog.getByRole("button", { name: "Take it", exact: true }).click();
  }
  await expect(dialog).toHaveCount(0);
  await goTo(page, "piece");
  await action(page, "paste-parts").click();
  await page.keyboard.type("Top 1460 430 30");
  await page.getByRole("button", { name: /^Add these parts/ }).click();
  await page.locator(".parts .row-open", { hasText: "Top" }).click();
  await page.locator("[data-field=panel]").selectOption("staves");
  await page.getByText("halves mirrored").click();
  await setOut(page);
  const figure = page.getByRole("region", { name: "Figure of Top" });
  await figure.getByRole("button", { name: "Look for a better face" }).click();
  const first = figure.getByRole("region", { name: "Face 1", exact: true });
  await expect(first).toBeVisible({ timeout: 30_000 });
  await expect(figure.getByRole("button", { name: "Stop" })).toHaveCount(0, { timeout: 60_000 });
  const mirrored = first.locator(".measure", { hasText: "Halves answer each other" });
  expect(Number(/[01](\.\d+)?/.exec(await mirrored.innerText())?.[0])).toBeGreaterThan(0.6);
  await first.getByRole("button", { name: "Take face 1" }).click();
  await expect(page.locator(".verdict-checked")).toBeVisible();
  await goTo(page, "bench");
  await expect(page.locator(".sheet")).toContainText(/Top, stave 1/);
});
