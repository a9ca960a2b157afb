// Times between pictures in Chromium while a blank is dragged whose panel of eight staves, each with a photograph of
// its own board, is shown beside the floor; and while the wood is pushed under a stave in that picture.
// `node tests/measure/faces.mjs PAGE [SHOTS]`: the built page, and a folder for pictures of what was measured.

import { createHash } from "node:crypto";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { started } from "./chromium.mjs";

const [pageFile, shots] = process.argv.slice(2);
const LETTERS = [..."ABCDEFGH"];

const browser = await started();
const page = await (await browser.newContext({ viewport: { width: 1440, height: 900 }, colorScheme: process.env.SCHEME ?? "light" })).newPage();
await page.goto(pathToFileURL(pageFile).href);
await page.locator('#page[data-ready="yes"]').waitFor();
await page.getByRole("button", { name: "Understood" }).click();

/** Boards of 2,000 x 150 mm with rings and a knot, two pixels to a millimetre. */
const files = await page.evaluate((count) => {
  const files = [];
  for (let board = 0; board < count; board += 1) {
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [4000, 300];
    const context = canvas.getContext("2d");
    context.fillStyle = `hsl(${28 + 2 * board} 42% 62%)`;
    context.fillRect(0, 0, 4000, 300);
    for (let ring = 0; ring < 46; ring += 1) {
      context.strokeStyle = `hsla(${22 + board} 50% ${28 + (ring * 37) % 20}% / 0.5)`;
      context.lineWidth = 1 + (ring % 3);
      context.beginPath();
      for (let x = 0; x <= 4000; x += 40) {
        const y = ring * 9 - 60 + 40 * Math.sin(x / 900 + board) + (3600 * Math.exp(-(((x - 1500 - 150 * board) / 160) ** 2)) * (ring - 20)) / 2600;
        context.lineTo(x, y);
      }
      context.stroke();
    }
    files.push(canvas.toDataURL("image/jpeg", 0.85).split(",")[1]);
  }
  return files;
}, LETTERS.length);
const hashes = files.map((text) => createHash("sha256").update(Buffer.from(text, "base64")).digest("hex"));
await page.evaluate(async (kept) => {
  const store = await new Promise((done) => {
    const asked = indexedDB.open("heartside-photos");
    asked.onupgradeneeded = () => asked.result.createObjectStore("photos");
    asked.onsuccess = () => done(asked.result);
  });
  const writing = store.transaction("photos", "readwrite");
  for (const [hash, text] of kept) writing.objectStore("photos").put(new Blob([Uint8Array.from(atob(text), (c) => c.charCodeAt(0))], { type: "image/jpeg" }), hash);
  await new Promise((done) => (writing.oncomplete = done));
  store.close();
}, hashes.map((hash, at) => [hash, files[at]]));

const board = (id) => ({ id, thickness: 30, outline: { form: "tape", length: 2000, stations: [{ at: 0, left: 75, right: 75 }] } });
const job = {
  format: "heartside-job",
  version: 3,
  title: "Eight staves",
  units: { length: "mm" },
  boards: LETTERS.map(board),
  parts: [
    { id: "top", name: "Top", thickness: 20, shape: { form: "rectangle", length: 1200, width: 800 } },
    { id: "door", name: "Door", count: 2, thickness: 20, shape: { form: "rectangle", length: 500, width: 100 } },
  ],
  panels: [{ part: "top", max_width: 100 }],
  matches: [{ kind: "balanced", parts: [{ part: "door", copy: 1 }, { part: "door", copy: 2 }] }],
  photos: LETTERS.map((id, at) => ({ hash: hashes[at], board: id, face: "up", pixel: 0.5, origin: [0, -75], size: [4000, 300] })),
  plan: {
    panels: [{ part: "top", copy: 1, staves: LETTERS.map((_, at) => ({ number: at + 1, width: 100 })) }],
    layouts: LETTERS.map((id, at) => ({
      board: id,
      copy: 1,
      way: "straight",
      placements: [{ part: `top..1.${at + 1}`, x: 150 + 30 * at, y: -50 }, ...(at < 2 ? [{ part: "door", copy: at + 1, x: 1450, y: -50 }] : [])],
    })),
  },
};
const transfer = await page.evaluateHandle((content) => {
  const data = new DataTransfer();
  data.items.add(new File([content], "eight.heartside.json", { type: "application/json" }));
  return data;
}, JSON.stringify(job));
await page.locator(".floor").dispatchEvent("drop", { dataTransfer: transfer });
await page.locator('[data-place="setting_out"].place').click();
await page.locator(".panel-picture image").nth(7).waitFor();
await page.waitForTimeout(1500);
if (shots !== undefined) await page.screenshot({ path: join(shots, "eight.png") });

async function measured(name, drag) {
  await page.evaluate(() => {
    window.gaps = [];
    let last = performance.now();
    window.isOn = true;
    const next = (now) => {
      window.gaps.push(now - last);
      last = now;
      if (window.isOn) requestAnimationFrame(next);
    };
    requestAnimationFrame(next);
  });
  await drag();
  const gaps = (await page.evaluate(() => ((window.isOn = false), window.gaps))).slice(2).sort((a, b) => a - b);
  const at = (share) => gaps[Math.min(gaps.length - 1, Math.floor(share * gaps.length))].toFixed(1);
  const under = (100 * gaps.filter((gap) => gap < 25).length) / gaps.length;
  console.log(`${name}: ${gaps.length} pictures, median ${at(0.5)} ms, 95 % within ${at(0.95)} ms, ${under.toFixed(1)} % under 25 ms`);
}

const middle = async (locator) => {
  const box = await locator.boundingBox();
  return [box.x + box.width / 2, box.y + box.height / 2];
};
async function dragged(locator, name) {
  const [x, y] = await middle(locator);
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 6, y + 1);
  await measured(name, async () => {
    for (let i = 0; i < 240; i += 1) {
      await page.mouse.move(x + 6 + (i % 60), y + (i % 5));
      await page.waitForTimeout(8);
    }
  });
  if (shots !== undefined) await page.screenshot({ path: join(shots, `${name.replaceAll(" ", "-")}.png`) });
  await page.mouse.up();
}
await dragged(page.locator('.world [data-part="top..1.3"]').first(), "a blank dragged on its board");
const panel = page.locator("section.panel").first();
await panel.getByRole("button", { name: "Slide the wood" }).click();
const stave = panel.locator('[data-stave="4"] .hs-wood').first();
await stave.scrollIntoViewIfNeeded();
await dragged(stave, "wood pushed in the view");
if (shots !== undefined) {
  await panel.getByRole("button", { name: "Show it large" }).click();
  await page.waitForTimeout(300);
  await page.screenshot({ path: join(shots, "large.png") });
  await page.keyboard.press("Escape");
  await page.locator("section.panel").nth(1).scrollIntoViewIfNeeded();
  await page.screenshot({ path: join(shots, "together.png") });
}
await browser.close();
