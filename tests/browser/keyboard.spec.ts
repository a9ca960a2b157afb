// Keys: which are the page's, which are the field's, and which can be switched off.

import type { Page } from "@playwright/test";

import { action, boards, dropFile, expect, fixture, goTo, openDemo, openPage, openStool, parts, setOut, test } from "./support";

/** Notes keys that the page leaves to the browser. */
async function watchKeys(page: Page): Promise<() => Promise<string[]>> {
  await page.evaluate(() => {
    const left: string[] = [];
    Object.assign(window, { left });
    window.addEventListener("keydown", (event) => {
      if ((event.ctrlKey || event.metaKey) && event.key.length === 1) {
        setTimeout(() => !event.defaultPrevented && left.push(event.key));
      }
    });
    // Those that were stopped on their way up count as well.
    window.addEventListener(
      "keydown",
      (event) => {
        if ((event.ctrlKey || event.metaKey) && "sop".includes(event.key)) {
          setTimeout(() => !event.defaultPrevented && left.push(`${event.key} stopped`));
        }
      },
      true,
    );
  });
  return () => page.evaluate(() => (window as unknown as { left: string[] }).left);
}

/** Places where keys are typed, by how one gets there. */
const spots: Record<string, (page: Page) => Promise<void>> = {
  "a line of a form": async (page) => {
    await page.locator(".boards .row-open").first().click();
    await page.locator("[data-field=thickness]").focus();
  },
  "a choice of a form": async (page) => {
    await page.locator(".boards .row-open").first().click();
    await page.locator(".form select").first().focus();
  },
  "a note of a form": async (page) => {
    await goTo(page, "piece");
    await page.locator(".parts .row-open").first().click();
    await page.locator(".form textarea, .form input[type=text]").last().focus();
  },
  "a value in a list": async (page) => page.locator("[data-quick=thickness]").first().click(),
  "the job's name": async (page) => page.locator(".job-title").click(),
  "a box to tick": async (page) => {
    await goTo(page, "piece");
    await page.locator(".parts .row-open").first().click();
    await page.locator("input[type=checkbox]").first().focus();
  },
  "the floor": async (page) => page.locator('.world [tabindex="0"]').focus(),
  "the menu": async (page) => page.keyboard.press("m"),
  "the list of keys": async (page) => page.keyboard.press("?"),
  "the list for pasting": async (page) => page.keyboard.press("Shift+V"),
  "the workshop": async (page) => {
    await page.keyboard.press("w");
    await page.locator("dialog input[type=text]").first().focus();
  },
  "the window for printing": async (page) => page.keyboard.press("Control+p"),
  "the kept jobs": async (page) => page.keyboard.press("Shift+J"),
};

for (const [where, go] of Object.entries(spots)) {
  test(`Ctrl S, O and P are the page's in ${where}`, async ({ page }) => {
    await openDemo(page);
    const left = await watchKeys(page);
    await go(page);
    const [download] = await Promise.all([page.waitForEvent("download"), page.keyboard.press("Control+s")]);
    expect(download.suggestedFilename()).toMatch(/\.json$/);
    const [chooser] = await Promise.all([page.waitForEvent("filechooser"), page.keyboard.press("Control+o")]);
    expect(chooser.isMultiple()).toBe(false);
    await page.keyboard.press("Control+p");
    await expect(page.locator("dialog")).toHaveCount(1);
    await expect(page.locator("dialog h2")).toHaveText("Print");
    await page.waitForTimeout(50);
    expect(await left()).toEqual([]);
  });
}

test("an empty job has its own word for Ctrl P", async ({ page }) => {
  await openDemo(page);
  await page.keyboard.press("Shift+N");
  await expect(boards(page)).toHaveCount(0);
  await page.keyboard.press("Control+p");
  await expect(page.locator("dialog")).toContainText("nothing to print");
});

test("undo and redo within a field are the field's own", async ({ page }) => {
  await openDemo(page);
  await action(page, "add-board").click();
  await page.locator("[data-field=name]").focus();
  await page.keyboard.type("abc");
  await page.keyboard.press("Control+z");
  await expect(boards(page)).toHaveCount(10);
  await expect(page.locator("[data-field=name]")).not.toHaveValue("abc");
  // How many letters one step takes back is the browser's affair; the rest is given up.
  await page.keyboard.press("Escape");
  // In a choice and on a button they undo the job's last change.
  await page.locator(".form select").first().focus();
  await page.keyboard.press("Control+z");
  await expect(boards(page)).toHaveCount(9);
});

test("keys go by their place where the keyboard writes other letters", async ({ page }) => {
  await openDemo(page);
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.evaluate(() =>
      window.dispatchEvent(new KeyboardEvent("keydown", { key: "ы", code: "KeyS", ctrlKey: true, cancelable: true })),
    ),
  ]);
  expect(download.suggestedFilename()).toMatch(/\.json$/);
});

test("single letters are switched off for good, and others stay", async ({ page }) => {
  await openDemo(page);
  await page.keyboard.press("?");
  await page.locator("[data-letter-keys]").uncheck();
  await page.keyboard.press("Escape");
  const still = async (): Promise<void> => {
    for (const key of ["b", "n", "2", "Shift+N", "s", "w", "?", "Shift+D", "m"]) await page.keyboard.press(key);
    await expect(boards(page)).toHaveCount(9);
    await expect(page.locator("dialog")).toHaveCount(0);
    await expect(page.locator("[data-place=timber].place")).toHaveAttribute("aria-current", "page");
  };
  await still();
  await page.reload();
  await expect(page.locator("#page")).toHaveAttribute("data-ready", "yes");
  await still();
  expect(await page.locator('[data-place=timber].place, [data-action="menu"], [data-action="add-board"]').evaluateAll((all) =>
    all.map((each) => each.getAttribute("title")).filter((title) => title !== null && /\([A-Z0-9]\)/.test(title)),
  )).toEqual([]);
  await page.keyboard.press("Control+p");
  await expect(page.locator("dialog h2")).toHaveText("Print");
  await page.keyboard.press("Escape");
  await action(page, "menu").click();
  await page.locator('dialog [data-action="keys"]').click();
  await page.locator("[data-letter-keys]").check();
  await page.keyboard.press("Escape");
  await page.keyboard.press("b");
  await expect(boards(page)).toHaveCount(10);
});

test("a part is laid on the board that was chosen, and not while choosing", async ({ page }) => {
  await openStool(page);
  await goTo(page, "setting_out");
  await page.locator(".blank").first().focus();
  await page.keyboard.press("Enter");
  const choice = page.locator(".lay-on select");
  await choice.focus();
  for (let turn = 0; turn < 2; turn += 1) await page.keyboard.press("ArrowDown");
  await expect(parts(page)).toHaveCount(0);
  const wished = await choice.inputValue();
  await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  await expect(parts(page)).toHaveCount(1);
  const [board] = JSON.parse(wished) as [string];
  await expect(parts(page).first()).toHaveAttribute("data-on-board", new RegExp(`^${board}#`));
  await page.keyboard.press("Control+z");
  await expect(parts(page)).toHaveCount(0);
});

test("Tab comes first to links that pass over the header, and each region has few stops", async ({ page }) => {
  await openPage(page);
  await page.keyboard.press("Tab");
  await expect(page.locator(":focus")).toHaveText("To the floor");
  await expect(page.locator(":focus")).toBeInViewport();
  await page.keyboard.press("Tab");
  await expect(page.locator(":focus")).toHaveText("To the sheet");
  await page.keyboard.press("Enter");
  await expect(page.locator(".sheet-body h2:focus, .sheet-body h3:focus")).toHaveCount(1);
  await page.keyboard.press("Shift+Tab");
  await page.locator(".skip a").first().focus();
  await page.keyboard.press("Enter");
  await expect(page.locator(".world :focus")).toHaveCount(1);

  // The header: the job's name, the places, the tools.
  await page.locator(".skip a").last().focus();
  const stops: string[] = [];
  for (;;) {
    await page.keyboard.press("Tab");
    const inHeader = await page.evaluate(() => document.activeElement?.closest(".top") !== null);
    if (!inHeader) break;
    stops.push(await page.evaluate(() => document.activeElement?.textContent ?? ""));
  }
  expect(stops).toHaveLength(3);
  await page.locator(".place[aria-current]").focus();
  await page.keyboard.press("ArrowRight");
  await expect(page.locator(".place[data-place=piece]")).toBeFocused();
  await page.keyboard.press("Enter");
  await expect(page.locator(".place[data-place=piece]")).toHaveAttribute("aria-current", "page");
  await page.keyboard.press("End");
  await expect(page.locator(".place[data-place=bench]")).toBeFocused();
  await page.locator('.tools [tabindex="0"]').focus();
  await page.keyboard.press("End");
  await expect(action(page, "menu")).toBeFocused();
});

test("the trestle is one stop, and arrows walk along it", async ({ page }) => {
  await openStool(page);
  await goTo(page, "setting_out");
  const stops = page.locator('.blank:not([tabindex="-1"])');
  await expect(stops).toHaveCount(1);
  const count = await page.locator(".blank").count();
  await stops.focus();
  await page.keyboard.press("End");
  await expect(page.locator(".blank").nth(count - 1)).toBeFocused();
  await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("Enter");
  await expect(page.locator(".blank").nth(count - 2)).toHaveClass(/is-chosen/);
  await expect(stops).toHaveCount(1);
  // Laid on a board, it leaves the row with one stop still.
  const waits = page.locator(".trestle-name small");
  const waiting = Number.parseInt(await waits.innerText(), 10);
  await page.locator("[data-lay-on]").focus();
  await page.keyboard.press("Enter");
  await expect(waits).toHaveText(`${waiting - 1} wait`);
  await expect(stops).toHaveCount(1);
});

test("what buttons show is part of what they are called", async ({ page }) => {
  await openStool(page);
  await setOut(page);
  const wrong = async (): Promise<string[]> =>
    page.evaluate(() => {
      const plain = (words: string): string => words.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, " ").trim();
      const shownOf = (element: Element): string =>
        [...element.childNodes]
          .map((node) => {
            if (node.nodeType === Node.TEXT_NODE) return node.textContent ?? "";
            if (!(node instanceof HTMLElement) || node.matches("kbd, [aria-hidden=true], .narrow-hidden-text")) return "";
            return node.getClientRects().length === 0 ? "" : ` ${shownOf(node)} `;
          })
          .join("");
      return [...document.querySelectorAll<HTMLElement>("button[aria-label], a[aria-label], summary[aria-label]")]
        .filter((each) => each.getClientRects().length > 0)
        .filter((each) => !plain(each.getAttribute("aria-label") ?? "").includes(plain(shownOf(each))))
        .map((each) => each.outerHTML.slice(0, 160));
    });
  for (const place of ["timber", "piece", "setting_out", "bench"] as const) {
    await goTo(page, place);
    expect(await wrong(), place).toEqual([]);
    if (place === "timber" || place === "piece") {
      await page.locator(".row-open").first().click();
      expect(await wrong(), `a form of ${place}`).toEqual([]);
    }
  }
  await dropFile(page, "writing-desk.heartside.json", fixture("writing-desk"));
  await expect(page.locator(".job-title")).toHaveText("Writing desk in oak");
  for (const key of ["m", "?", "Shift+J", "w"]) {
    await page.keyboard.press(key);
    await expect(page.locator("dialog")).toHaveCount(1);
    expect(await wrong(), key).toEqual([]);
    await page.keyboard.press("Escape");
  }
});
