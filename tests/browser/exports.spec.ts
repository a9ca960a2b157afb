// Drawings that leave the page: named well, never empty, read the same by other programs.

import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";

import type { Page } from "@playwright/test";

import { boards, expect, fromMenu, openDemo, openStool, setOut, test } from "./support";

async function drawing(page: Page, id: "svg-board" | "svg-all"): Promise<{ name: string; svg: string }> {
  const [download] = await Promise.all([page.waitForEvent("download"), fromMenu(page, id)]);
  return { name: download.suggestedFilename(), svg: readFileSync(await download.path(), "utf8") };
}

/** All drawings of the job on the floor: of each board and of all. */
async function drawings(page: Page): Promise<{ name: string; svg: string }[]> {
  const found = [await drawing(page, "svg-all")];
  const count = Math.min(await boards(page).count(), 7);
  for (let at = 0; at < count; at += 1) {
    await boards(page).nth(at).focus();
    await page.keyboard.press("Enter");
    found.push(await drawing(page, "svg-board"));
  }
  return found;
}

interface Measured {
  /** Pairs of texts that lie on each other. */
  over: string[];
  /** Texts under the bubble of another number. */
  covered: string[];
  texts: number;
}

function measure(page: Page, svg: string): Promise<Measured> {
  return page.evaluate((svg) => {
    const holder = document.createElement("div");
    holder.style.cssText = "position:absolute;left:0;top:0;width:1600px";
    holder.innerHTML = svg.slice(Math.max(0, svg.indexOf("<svg")));
    document.body.append(holder);
    const texts = [...holder.querySelectorAll("text")].map((text) => {
      const box = text.getBoundingClientRect();
      const turned = text.hasAttribute("transform");
      // The box of a line is taller than its letters.
      const [x, y] = turned ? [box.width * 0.16, 0] : [0, box.height * 0.16];
      return { own: text, words: text.textContent ?? "", left: box.left + x, right: box.right - x, top: box.top + y, bottom: box.bottom - y };
    });
    type Box = { left: number; right: number; top: number; bottom: number };
    const meets = (a: Box, b: Box): boolean => a.left < b.right - 0.3 && b.left < a.right - 0.3 && a.top < b.bottom - 0.3 && b.top < a.bottom - 0.3;
    const over: string[] = [];
    texts.forEach((a, k) => {
      for (const b of texts.slice(0, k)) if (meets(a, b)) over.push(`${a.words} / ${b.words}`);
    });
    const covered: string[] = [];
    for (const bubble of holder.querySelectorAll("[data-cut] .hs-bubble")) {
      const box = bubble.getBoundingClientRect();
      const own = bubble.parentElement?.querySelector("text");
      for (const text of texts) if (text.own !== own && meets(text, box)) covered.push(`${text.words} under ${own?.textContent ?? ""}`);
    }
    holder.remove();
    return { over, covered, texts: texts.length };
  }, svg);
}

for (const [title, open] of [
  ["the step stool", openStool],
  ["the writing desk", openDemo],
] as const) {
  test(`drawings of ${title}: no text on another, no number on a word, nothing held apart by blanks`, async ({ page }) => {
    await open(page);
    await setOut(page);
    for (const { name, svg } of await drawings(page)) {
      expect(name).toMatch(/^[a-z][\w-]*\.svg$/i);
      const found = await measure(page, svg);
      expect(found.texts, name).toBeGreaterThan(8);
      expect(found.over, name).toEqual([]);
      expect(found.covered, name).toEqual([]);
      // What stands apart does so by its place: no run begins with blanks or counts on two of them.
      expect(svg).not.toContain("<tspan");
      for (const [, words = ""] of svg.matchAll(/<text [^>]*>([^<]*)<\/text>/g)) {
        expect(words, name).toBe(words.trim());
        expect(words, name).not.toMatch(/[\u00a0 ]{2}|\u00a0/);
      }
    }
  });
}

test("librsvg draws what Chromium draws: ink stands where the text boxes are", async ({ page }, info) => {
  await openStool(page);
  await setOut(page);
  const [all] = await drawings(page);
  const svg = all?.svg ?? "";
  // Black on white in texts alone, in both programs, at one size.
  const bare = svg.replace(/<style>[^<]*<\/style>/, "<style>path,rect,circle,line{display:none}text{fill:#000;font-family:serif}</style>");
  const source = info.outputPath("bare.svg");
  const target = info.outputPath("bare.png");
  writeFileSync(source, bare);
  execFileSync("rsvg-convert", ["-w", "1400", "-b", "white", source, "-o", target]);
  const inked = await page.evaluate(
    async ({ png, svg }) => {
      const image = new Image();
      image.src = `data:image/png;base64,${png}`;
      await image.decode();
      const canvas = document.createElement("canvas");
      canvas.width = image.width;
      canvas.height = image.height;
      const pen = canvas.getContext("2d");
      if (pen === null) throw new Error("no canvas");
      pen.drawImage(image, 0, 0);
      const holder = document.createElement("div");
      holder.style.cssText = `position:absolute;left:0;top:0;width:${image.width}px`;
      holder.innerHTML = svg.slice(Math.max(0, svg.indexOf("<svg")));
      const root = holder.querySelector("svg");
      root?.setAttribute("width", `${image.width}`);
      root?.setAttribute("height", `${image.height}`);
      document.body.append(holder);
      const frame = holder.getBoundingClientRect();
      const found: { words: string; dark: number }[] = [];
      for (const text of holder.querySelectorAll("text")) {
        const box = text.getBoundingClientRect();
        const [x, y] = [Math.round(box.left - frame.left), Math.round(box.top - frame.top)];
        const [w, h] = [Math.max(1, Math.round(box.width)), Math.max(1, Math.round(box.height))];
        const { data } = pen.getImageData(x, y, w, h);
        let dark = 0;
        for (let k = 0; k < data.length; k += 4) if ((data[k] ?? 255) < 160) dark += 1;
        found.push({ words: text.textContent ?? "", dark: dark / (w * h) });
      }
      holder.remove();
      return found;
    },
    { png: readFileSync(target).toString("base64"), svg: bare },
  );
  expect(inked.length).toBeGreaterThan(8);
  for (const { words, dark } of inked) expect(dark, words).toBeGreaterThan(0.01);
});
