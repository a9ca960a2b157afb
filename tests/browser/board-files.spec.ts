// Boards of drawings and tables: looked at before they are taken, in one step.

import { action, dropFile, expect, goTo, openDemo, savedText, test } from "./support";

const DRAWN = `<svg viewBox="0 0 80 20"><rect id="Teak" width="70" height="12"/>
  <g id="Layer_3"><circle cx="20" cy="6" r="1"/></g><rect id="Offcut" y="14" width="30" height="4"/><text>7</text></svg>`;
const TABLE = "Mark;Length;Width;Thickness;Species\nK7;2400;180;27;ash\nK8;x;160;27;ash\n";

interface SavedBoard {
  id: string;
  name?: string;
  thickness?: unknown;
  zones?: { note?: string }[];
}

test("files are chosen by keys, understood, and taken as one step", async ({ page }) => {
  await openDemo(page);
  const boards = async (): Promise<SavedBoard[]> => (JSON.parse(await savedText(page)) as { boards: SavedBoard[] }).boards;
  const before = await boards();
  const [chooser] = await Promise.all([page.waitForEvent("filechooser"), page.keyboard.press("Shift+F")]);
  await chooser.setFiles([
    { name: "drawn.svg", mimeType: "image/svg+xml", buffer: Buffer.from(DRAWN) },
    { name: "rack.csv", mimeType: "text/csv", buffer: Buffer.from(TABLE) },
  ]);
  const dialog = page.locator("dialog[open]");
  const take = dialog.locator("[data-take-files]");
  await expect(dialog).toContainText("say what drawn.svg is measured in");
  await dialog.getByLabel("What is it measured in?").selectOption("in");
  await expect(dialog).toContainText("type how thick the boards of drawn.svg are");
  await take.click({ force: true });
  expect(await boards()).toEqual(before);
  await dialog.getByLabel("How thick are its boards?").fill("1 1/4\"");
  await dialog.getByLabel("Layer_3").selectOption("knot");
  await expect(dialog).toContainText("“text” cannot be used");
  await expect(dialog).toContainText("board K8 is not taken");
  await expect(dialog.locator("img")).toHaveCount(3);
  await dialog.locator("figure", { hasText: "Offcut" }).getByRole("checkbox").uncheck();
  await take.click();
  await expect(dialog).toHaveCount(0);
  const added = (await boards()).slice(before.length);
  expect(added.map((board) => board.name ?? board.id)).toEqual(["Teak", "K7"]);
  expect(added[0]?.zones?.map((zone) => zone.note)).toEqual(["knot"]);
  await page.keyboard.press("Control+z");
  expect(await boards()).toEqual(before);
});

test("a drawing that is dropped is looked at and can be put away", async ({ page }) => {
  await openDemo(page);
  const before = await savedText(page);
  await dropFile(page, "half.dxf", "0\nSECTION\n2\nENTITIES\n0\nLINE\n10\n");
  const dialog = page.locator("dialog[open]");
  await expect(dialog).toContainText("the file ends in the middle of a group");
  await expect(dialog.locator("[data-take-files]")).toHaveAttribute("aria-disabled", "true");
  await page.keyboard.press("Escape");
  await expect(dialog).toHaveCount(0);
  expect(await savedText(page)).toBe(before);
  await goTo(page, "timber");
  await expect(action(page, "board-files")).toBeVisible();
});
