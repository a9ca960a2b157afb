// A whole job at the bench, by touch on a phone and by keys alone: thirty cuts as planned, pieces
// measured, a dowel that came to light, a part spoiled, a cut of one's own askew, the browser
// killed twice. Nothing is lost, and what is done counts few actions.

import type { CDPSession, Locator, Page } from "@playwright/test";

import { expect, goTo, killable, openDemo, openPage, savedText, setOut, test } from "./support";

/** As long as the double press of a finger that trembles reaches, and a little. */
const BEFORE_A_CUT = 400;
const CUTS = 30;

/** What a hand does; every press, stroke and figure typed is an action. */
interface Hand {
  readonly actions: number;
  cutNext(): Promise<void>;
  /** Opens the question of the first piece that the last cut left, at its length. */
  measure(): Promise<void>;
  cameToLight(): Promise<void>;
  spoil(): Promise<void>;
  /** Lays the line of a cut of one's own; another one each time. */
  ownCut(time: number): Promise<void>;
  type(field: string, figure: string): Promise<void>;
  handOver(): Promise<void>;
  setOutRest(): Promise<void>;
}

/** The cuts that are done; a busy machine may take its time to say so. */
async function count(page: Page): Promise<number> {
  const done = page.locator(".done-cuts > summary");
  return (await done.count()) === 0 ? 0 : Number.parseInt((await done.textContent()) ?? "", 10);
}
const ask = (page: Page): Locator => page.locator(".ask");
const field = (page: Page, name: string): Locator => page.locator(`.ask [data-field="${name}"]`);

function byTouch(page: Page): Hand {
  let actions = 0;
  let session: CDPSession | null = null;
  const tap = async (what: Locator): Promise<void> => {
    await what.tap();
    actions += 1;
  };
  /** A finger drawn over the floor. */
  const draw = async (from: { x: number; y: number }, to: { x: number; y: number }): Promise<void> => {
    session ??= await page.context().newCDPSession(page);
    const touch = (type: "touchStart" | "touchMove" | "touchEnd", points: { x: number; y: number }[]): Promise<unknown> =>
      (session as CDPSession).send("Input.dispatchTouchEvent", { type, touchPoints: points });
    await touch("touchStart", [from]);
    for (let part = 1; part <= 6; part += 1) {
      await touch("touchMove", [{ x: from.x + ((to.x - from.x) * part) / 6, y: from.y + ((to.y - from.y) * part) / 6 }]);
    }
    await page.waitForTimeout(60);
    await touch("touchEnd", []);
    // A finger takes as long to its next press; one that is nearer the browser makes no click of.
    await page.waitForTimeout(BEFORE_A_CUT);
    actions += 1;
  };
  return {
    get actions() {
      return actions;
    },
    cutNext: () => tap(page.locator('.next-cut [data-action="cut-done"]')),
    measure: () => tap(page.locator(".last-cut [data-measure]").first()),
    async cameToLight() {
      await tap(page.locator('.bench-buttons [data-action="came-to-light"]'));
      await field(page, "found").selectOption("wood");
      actions += 1;
    },
    async spoil() {
      const part = page.locator(".piece-part").filter({ has: page.locator(".copy-in_hand") }).first();
      await tap(part.locator("summary"));
      await tap(part.locator("[data-spoiled]").first());
    },
    async ownCut(time) {
      if (time === 0) await tap(page.locator('.bench-buttons [data-action="own-cut"]'));
      await expect(ask(page)).toBeVisible();
      // Askew over the first board that lies in sight and may be cut.
      const floor = await page.locator(".floor").boundingBox();
      if (floor === null) throw new Error("there is no floor");
      const foot = await page.locator(".floor-foot").boundingBox();
      for (const board of await page.locator(".world [data-board]").all()) {
        const box = await board.boundingBox();
        if (box === null || box.width < 80 || box.y < floor.y + 24 || box.y + box.height > (foot?.y ?? 0) - 8) continue;
        const over = 10;
        const aside = 0.3 * (box.height + 2 * over);
        const x = box.x + box.width * (0.55 - 0.08 * time);
        await draw({ x: x - aside / 2, y: box.y - over }, { x: x + aside / 2, y: box.y + box.height + over });
        if (/^A cut (across|along)/.test((await page.locator(".ask h2").textContent()) ?? "")) break;
      }
      await expect(page.locator(".ask h2")).toHaveText(/^A cut (across|along) .* at .*°/);
      await expect(page.locator(".cut-line")).toHaveCount(1);
    },
    async type(name, figure) {
      if (!(await field(page, name).evaluate((each) => each === document.activeElement))) await tap(field(page, name));
      await page.keyboard.type(figure);
      actions += 1;
    },
    handOver: () => tap(page.locator("[data-hand-over]")),
    setOutRest: () => tap(page.locator('.rest [data-action="set-out"]')),
  };
}

function byKeys(page: Page): Hand {
  let actions = 0;
  const press = async (key: string): Promise<void> => {
    await page.keyboard.press(key);
    actions += 1;
  };
  return {
    get actions() {
      return actions;
    },
    cutNext: () => press("x"),
    measure: () => press("g"),
    async cameToLight() {
      await press("h");
      await expect(field(page, "found")).toBeFocused();
      // Nothing, a flaw, a dowel.
      await press("ArrowDown");
      await press("ArrowDown");
      await expect(field(page, "found")).toHaveValue("wood");
      await press("Tab");
    },
    async spoil() {
      await press("q");
      await expect(ask(page)).toBeVisible();
      await press("Control+Enter");
    },
    async ownCut(time) {
      if (time === 0) await press("y");
      else await field(page, "distance").focus();
      await expect(field(page, "distance")).toBeFocused();
      await page.keyboard.press("Control+A");
      await page.keyboard.type(String(150 + 70 * time));
      await press("Enter");
      await expect(field(page, "angle")).toBeFocused();
      await page.keyboard.type("12");
      await press("Enter");
      actions += 2;
      await expect(page.locator(".ask h2")).toHaveText(/^A cut across .* at 12°/);
    },
    async type(name, figure) {
      for (let stops = 0; stops < 12 && !(await field(page, name).evaluate((each) => each === document.activeElement)); stops += 1) {
        await press("Enter");
      }
      await expect(field(page, name)).toBeFocused();
      await page.keyboard.type(figure);
      actions += 1;
    },
    handOver: () => press("Control+Enter"),
    setOutRest: () => press("s"),
  };
}

interface Kept {
  readonly done: readonly { readonly id: number }[];
  readonly boards: readonly { readonly measured?: boolean }[];
}

const ways = [
  { name: "by touch on a phone", hand: byTouch, options: { viewport: { width: 390, height: 844 }, hasTouch: true } },
  { name: "by keys alone", hand: byKeys, options: { viewport: { width: 1280, height: 800 } } },
] as const;

for (const { name, hand: handOf, options } of ways) {
  test(`a whole job at the bench, ${name}`, async ({ playwright }, info) => {
    test.setTimeout(600_000);
    const browser = killable(playwright, info, options);
    let page = await browser.start();
    await openDemo(page);
    await setOut(page);
    await goTo(page, "bench");
    let hand = handOf(page);
    let ticks = 0;

    const isKept = (): Promise<void> => expect(page.locator("[data-keeping=kept]")).toBeVisible();

    /** The rest is set out again where something asks for it, as long as a person would wait. */
    async function settle(): Promise<void> {
      if ((await page.locator('.rest [data-action="set-out"]').count()) === 0) return;
      await hand.setOutRest();
      await page.waitForTimeout(2500);
      if (await page.locator(".rest .working").isVisible()) await hand.setOutRest();
      await expect(page.locator(".working")).toBeHidden({ timeout: 30_000 });
    }

    async function cut(times: number): Promise<void> {
      for (let time = 0; time < times; time += 1) {
        const before = await count(page);
        const actions = hand.actions;
        await page.waitForTimeout(BEFORE_A_CUT);
        await hand.cutNext();
        await expect.poll(() => count(page)).toBe(before + 1);
        expect(hand.actions - actions, "a tick is one action").toBe(1);
        ticks += 1;
      }
    }

    /** Cuts on until the last cut left something that lies there. */
    async function withPiece(): Promise<void> {
      while ((await page.locator(".last-cut [data-measure]").count()) === 0) await cut(1);
    }

    async function measured(shorter: number): Promise<void> {
      await withPiece();
      const actions = hand.actions;
      await hand.measure();
      await expect(ask(page)).toBeVisible();
      const planned = Number.parseFloat((await field(page, "length").getAttribute("placeholder")) ?? "");
      expect(planned).toBeGreaterThan(0);
      await hand.type("length", String(planned - shorter));
      await hand.handOver();
      await expect(ask(page)).toHaveCount(0);
      expect(hand.actions - actions, "a measured length is four actions at most").toBeLessThanOrEqual(4);
      await expect(page.locator(".rest p").first()).toBeVisible();
      await settle();
    }

    async function killed(): Promise<void> {
      await isKept();
      const before = await savedText(page);
      await browser.kill();
      page = await browser.start();
      await openPage(page);
      await goTo(page, "bench");
      expect(await savedText(page)).toBe(before);
      hand = handOf(page);
    }

    await cut(5);
    await measured(0.4);
    await cut(4);
    await measured(0.3);
    await killed();
    await expect.poll(() => count(page)).toBe(ticks);

    await cut(3);
    await withPiece();
    await hand.cameToLight();
    for (const [where, figure] of [["begins", "20"], ["ends", "28"], ["near", "4"], ["far", "12"]] as const) await hand.type(where, figure);
    await hand.handOver();
    await expect(ask(page)).toHaveCount(0);
    await settle();

    while ((await page.locator(".piece-state .copy-in_hand").count()) === 0) await cut(1);
    const inHand = await page.locator(".piece-state .copy-in_hand").count();
    await hand.spoil();
    await expect(page.locator(".piece-state .copy-in_hand")).toHaveCount(inHand - 1);
    await settle();
    await measured(0.2);

    const before = await count(page);
    // Where it runs through a part in hand it is refused in words, and drawn elsewhere.
    for (let time = 0; ; time += 1) {
      await hand.ownCut(time);
      await hand.handOver();
      await expect(page.locator(".ask .problem, .bench-buttons").first()).toBeVisible();
      if ((await ask(page).count()) === 0) break;
      expect(time, await page.locator(".ask .problem").first().innerText()).toBeLessThan(5);
    }
    await expect.poll(() => count(page)).toBe(before + 1);
    await settle();
    await measured(0.1);

    await cut(Math.max(0, CUTS - ticks));
    expect(ticks).toBeGreaterThanOrEqual(CUTS);

    // Killed while something is half measured: the cuts are there, and so is what was being typed.
    await withPiece();
    await hand.measure();
    await hand.type("length", "31");
    await page.waitForTimeout(300);
    await isKept();
    await browser.kill();
    page = await browser.start();
    await openPage(page);
    await expect(field(page, "length")).toHaveValue("31");
    await page.locator(".back").click();
    await expect(ask(page)).toHaveCount(0);
    expect(await count(page)).toBe(ticks + 1);

    const job = JSON.parse(await savedText(page)) as Kept;
    expect(job.done).toHaveLength(ticks + 1);
    expect(job.boards.filter((board) => board.measured === true).length).toBeGreaterThanOrEqual(4);
    await browser.close();
  });
}

test.describe("on a phone", () => {
  test.use({ viewport: { width: 390, height: 844 }, hasTouch: true });

  test("the next cut and its button are seen at once, large enough to be read from two metres", async ({ page }) => {
    await openDemo(page);
    await setOut(page);
    await goTo(page, "bench");
    await expect(page.locator('.next-cut [data-action="cut-done"]')).toBeInViewport({ ratio: 1 });
    const size = await page.locator(".next-cut h2").evaluate((each) => Number.parseFloat(getComputedStyle(each).fontSize));
    expect(size).toBeGreaterThanOrEqual(30);
    const button = await page.locator('.next-cut [data-action="cut-done"]').boundingBox();
    expect(button?.height).toBeGreaterThanOrEqual(56);
    expect(button?.width).toBeGreaterThanOrEqual(300);
  });

  test("a line that is given up leaves no cut, and one that misses says so", async ({ page }) => {
    await openDemo(page);
    await setOut(page);
    await goTo(page, "bench");
    await page.locator('.bench-buttons [data-action="own-cut"]').tap();
    await expect(page.locator(".ask h2")).toHaveText("A cut of your own");
    const touch = await page.context().newCDPSession(page);
    const send = (type: "touchStart" | "touchMove" | "touchEnd" | "touchCancel", touchPoints: { x: number; y: number }[]): Promise<unknown> =>
      touch.send("Input.dispatchTouchEvent", { type, touchPoints });
    const board = await page.locator(".world [data-board]").first().boundingBox();
    if (board === null) throw new Error("there is no board");
    const [x, y] = [board.x + board.width / 2, board.y];
    await send("touchStart", [{ x, y: y - 8 }]);
    await send("touchMove", [{ x: x + 1, y: y + board.height + 8 }]);
    await expect(page.locator(".near")).toContainText("across");
    await expect(page.locator(".cut-line")).toHaveCount(1);
    await send("touchCancel", []);
    await expect(page.locator(".cut-line")).toHaveCount(0);
    await expect(page.locator(".ask h2")).toHaveText("A cut of your own");
    await page.locator("[data-hand-over]").tap();
    await expect(page.locator(".ask")).toBeVisible();
    await expect(page.locator(".ask-foot .problem")).toBeVisible();
    await page.locator(".back").tap();
    await expect(page.locator(".done-cuts")).toHaveCount(0);
  });
});

test("sizes that cannot be are refused at the place, and what was typed stays", async ({ page }) => {
  await openDemo(page);
  await setOut(page);
  await goTo(page, "bench");
  await page.keyboard.press("x");
  await expect(page.locator(".done-cuts > summary")).toHaveText("1 cut made");
  await page.keyboard.press("g");
  for (const figure of ["0", "-20", "twelve", "99999"]) {
    await field(page, "length").fill(figure);
    await page.keyboard.press("Control+Enter");
    await expect(page.locator(".ask .problem").first()).toBeVisible();
    await expect(field(page, "length")).toHaveValue(figure);
  }
  await page.keyboard.press("Escape");
  await page.locator(".back").click();
  await expect(page.locator(".next-cut")).toBeVisible();
  const job = JSON.parse(await savedText(page)) as Kept;
  expect(job.boards.some((board) => board.measured === true)).toBe(false);
});
