// When something goes wrong inside: said in words, started again, nothing lost.

import { action, addBoard, boards, expect, openDemo, openStool, parts, goTo } from "./support";
import { test as plain } from "@playwright/test";

plain("a core that fails is started again with the last text", async ({ page }) => {
  await openDemo(page);
  await action(page, "add-board").click();
  await expect(boards(page)).toHaveCount(10);
  await page.locator(".back").click();
  // The next call into the core traps, as it would after a panic: words come back by this way.
  // Pressed in the same breath, or another call might meet the trap first.
  await action(page, "add-board").evaluate((button: HTMLElement) => {
    const original = TextDecoder.prototype.decode;
    TextDecoder.prototype.decode = function () {
      TextDecoder.prototype.decode = original;
      throw new WebAssembly.RuntimeError("unreachable executed");
    };
    button.click();
  });
  await expect(page.locator("dialog")).toContainText("Something went wrong inside");
  await page.getByRole("button", { name: "Go on" }).click();
  await expect(boards(page)).toHaveCount(10);
  await addBoard(page);
  await expect(boards(page)).toHaveCount(11);
  await expect(page.locator("[data-keeping=kept]")).toBeVisible();
  await page.reload();
  await expect(boards(page)).toHaveCount(11);
});

plain("a worker that crashes is started again and the search goes on", async ({ page }) => {
  await page.addInitScript(() => {
    const Real = window.Worker;
    let crashes = 1;
    window.Worker = class extends Real {
      constructor(url: string | URL) {
        super(url);
        if (crashes > 0) {
          crashes -= 1;
          setTimeout(() => this.dispatchEvent(new ErrorEvent("error", { message: "crashed", cancelable: true })), 5);
        }
      }
    };
  });
  await openStool(page);
  await goTo(page, "setting_out");
  await action(page, "set-out").click();
  await expect(parts(page).first()).toBeVisible({ timeout: 60_000 });
});
