// A better face of a panel is looked for, looked at and taken, and its cuts are listed.

import { action, dropFile, expect, goTo, openDemo, savedText, test } from "./support";

/** A top of two staves, from three boards whose figure is known: waves of light, another one on each. */
function job(): string {
  const ids = ["A", "B", "C"];
  const [columns, rows] = [500, 80];
  const light = (board: number): number[] =>
    Array.from({ length: columns * rows }, (_, at) => {
      const [x, y] = [at % columns, Math.floor(at / columns)];
      return Math.round(128 + 45 * Math.sin(x / (17 + 5 * board) + board) + 45 * Math.sin(y / 9 + x / 60));
    });
  const hash = (board: number): string => String(board + 1).repeat(64);
  return JSON.stringify({
    format: "heartside-job",
    version: 3,
    title: "Bench top",
    workshop: { tools: [{ name: "circular saw", does: ["rip", "crosscut"], kerf: 3 }] },
    boards: ids.map((id) => ({
      id,
      name: id,
      thickness: 34,
      price: { amount: 40, per: "piece" },
      outline: { form: "tape", length: 2000, stations: [{ at: 0, left: 140, right: 150 }, { at: 1000, left: 150, right: 145 }] },
    })),
    parts: [{ id: "top", name: "Top", thickness: 20, shape: { form: "rectangle", length: 900, width: 360 } }],
    panels: [{ part: "top" }],
    photos: ids.map((board, at) => ({ hash: hash(at), board, pixel: 1, origin: [0, -160], size: [2000, 320] })),
    figure_maps: ids.map((_, at) => ({ photo: hash(at), cell: 4, origin: [0, -160], columns, layers: { light: light(at) } })),
  });
}

test("a better face is looked for and taken, and its cuts are listed", async ({ page }) => {
  await openDemo(page);
  await dropFile(page, "bench-top.heartside.json", job());
  await goTo(page, "setting_out");
  const before = await savedText(page);
  const figure = page.getByRole("region", { name: "Figure of Top" });
  await figure.getByRole("button", { name: "Look for a better face" }).click();
  const first = figure.getByRole("region", { name: "Face 1", exact: true });
  await expect(first).toBeVisible();
  await expect(figure.getByRole("button", { name: "Stop" })).toHaveCount(0, { timeout: 30_000 });
  await expect(first.locator("svg").first()).toBeVisible();
  await expect(first.locator(".measure")).not.toHaveCount(0);
  await first.getByRole("button", { name: "Take face 1" }).click();
  await expect(page.locator(".verdict-checked")).toBeVisible();
  const saved = JSON.parse(await savedText(page)) as { pins: unknown[] };
  expect(saved.pins.length).toBeGreaterThan(1);
  await figure.locator(".measure").first().hover();
  await goTo(page, "bench");
  await expect(page.locator(".steps li, .cuts li").first()).toBeVisible();
  await action(page, "undo").click();
  expect(await savedText(page)).toBe(before);
});
