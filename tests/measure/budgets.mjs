// The budgets of the README in Chromium, printed beside the native figures.
// Run by `cargo xtask bench`: node budgets.mjs PAGE CORE JOBS NATIVE

import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { coreScript, started } from "./chromium.mjs";

const [pageFile, coreFile, jobsFolder, nativeFile] = process.argv.slice(2);
const browser = await started("--enable-precise-memory-info");

const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];
const chrome = new Map();

/** How long the page takes from being opened to being ready, in a fresh window each time. */
async function opening() {
  const times = [];
  for (let i = 0; i < 7; i += 1) {
    const context = await browser.newContext();
    const page = await context.newPage();
    await page.addInitScript(() => {
      const look = () => {
        if (document.querySelector('#page[data-ready="yes"]')) window.readyAfter = performance.now();
        else requestAnimationFrame(look);
      };
      look();
    });
    await page.goto(pathToFileURL(pageFile).href);
    await page.waitForFunction(() => window.readyAfter !== undefined);
    times.push(await page.evaluate(() => window.readyAfter));
    await context.close();
  }
  chrome.set("interactive after opening from disk", median(times));
}

async function corePage() {
  const page = await (await browser.newContext()).newPage();
  await page.goto("about:blank");
  await page.addScriptTag({ content: await coreScript() });
  await page.evaluate((base64) => {
    const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
    window.memory = window.core.initSync({ module: bytes }).memory;
  }, readFileSync(coreFile).toString("base64"));
  return page;
}

/** First plans and further steps, on the jobs that were measured natively. */
async function searching(page) {
  // As many steps as natively: enough of them that the browser has compiled what it runs.
  const jobs = [
    ["straight", "straight", 40000, "straight parts"],
    ["sawn", "sawn", 2000, "sawn parts"],
    ["panels", "straight", 1500, "straight parts and three panels"],
  ];
  for (const [files, way, count, parts] of jobs) {
    const first = [];
    const further = [];
    for (const name of readdirSync(jobsFolder).filter((n) => n.startsWith(`${files}-`)).sort()) {
      const job = readFileSync(join(jobsFolder, name), "utf8");
      const [plan, steps] = await page.evaluate(({ job, way, count }) => {
        const { Search, Session } = window.core;
        const session = new Session();
        session.open(job);
        const { revision } = session.begin_set_out();
        const start = performance.now();
        const search = new Search(job, { seed: 1, worker: 0, workers: 1, way });
        let finished = false;
        while (search.figures().placed === 0 && !finished) ({ finished } = search.step(1));
        session.offer(search.best(), revision);
        const planned = performance.now();
        search.step(count);
        const end = performance.now();
        search.free();
        session.free();
        return [planned - start, end - planned];
      }, { job, way, count });
      first.push(plan);
      further.push(steps);
    }
    chrome.set(`first checked plan, 12 boards x 60 ${parts}`, median(first));
    chrome.set(`${count} further steps, ${files}`, median(further));
  }
}

/** From a piece that came out short in the middle of a job to the first new plan of the rest, on the floor. */
async function theRest(page) {
  const times = [];
  for (const name of readdirSync(jobsFolder).filter((n) => n.startsWith("rest-")).sort()) {
    const job = readFileSync(join(jobsFolder, name), "utf8");
    times.push(await page.evaluate((job) => {
      const { Search, Session } = window.core;
      const session = new Session();
      session.open(job);
      const start = performance.now();
      const begun = session.begin_set_out();
      const search = new Search(begun.document, { seed: 1, worker: 0, workers: 1 });
      let status;
      do status = search.step(1);
      while (!status.improved && !status.finished);
      session.offer(search.best(), begun.revision);
      const time = performance.now() - start;
      search.free();
      session.free();
      return time;
    }, job));
  }
  chrome.set("new plan after a done cut that changed something, 12 boards x 60 parts", median(times));
}

/** One move of a part among 300: snapped, judged, told in words. */
async function dragging(page) {
  const job = readFileSync(join(jobsFolder, "drag.json"), "utf8");
  const times = await page.evaluate((job) => {
    const session = new window.core.Session();
    session.open(job);
    const times = [];
    for (const { placements } of JSON.parse(job).plan.layouts) {
      const { part, copy } = placements[0];
      const held = session.drag_begin(part, copy);
      for (const [dx, dy] of [[3, 1], [40, -20], [-15, 6]]) {
        const start = performance.now();
        session.drag(held.x + dx, held.y + dy, held.turn, held.turned_over, true);
        times.push(performance.now() - start);
      }
      session.drag_cancel();
    }
    session.free();
    return times;
  }, job);
  chrome.set("one move while dragging among 300 parts on 40 boards", median(times));
  chrome.set("the slowest of these moves", Math.max(...times));
}

/** A page with the job of 300 parts on 40 boards, in the place where they are set out. */
async function pageWithLargeJob(change = (job) => job) {
  const job = change(readFileSync(join(jobsFolder, "drag.json"), "utf8"));
  const page = await (await browser.newContext({ viewport: { width: 1280, height: 800 } })).newPage();
  await page.goto(pathToFileURL(pageFile).href);
  await page.locator('#page[data-ready="yes"]').waitFor();
  await page.getByRole("button", { name: "Understood" }).click();
  const transfer = await page.evaluateHandle((content) => {
    const data = new DataTransfer();
    data.items.add(new File([content], "drag.heartside.json", { type: "application/json" }));
    return data;
  }, job);
  await page.locator(".floor").dispatchEvent("drop", { dataTransfer: transfer });
  await page.locator('[data-place="setting_out"].place').click();
  await page.evaluate(() => {
    window.count = () => {
      window.shown = 0;
      window.began = performance.now();
      window.tasks = [];
      const run = window.began;
      const next = () => {
        if (window.began !== run) return;
        window.shown += 1;
        requestAnimationFrame(next);
      };
      requestAnimationFrame(next);
    };
    window.frameRate = () => (window.shown * 1000) / (performance.now() - window.began);
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) window.tasks?.push(entry.duration);
    }).observe({ type: "longtask" });
  });
  return page;
}

/** From a key or a button to the next picture after it, in milliseconds, as often as asked. */
async function untilShown(page, times, act) {
  const taken = [];
  for (let time = 0; time < times; time += 1) {
    await page.waitForTimeout(400);
    await page.evaluate(() => {
      window.event = undefined;
      for (const kind of ["keydown", "keyup", "pointerup", "change"]) {
        window.addEventListener(kind, () => {
          const start = performance.now();
          requestAnimationFrame(() => setTimeout(() => (window.event = performance.now() - start)));
        }, { capture: true, once: true });
      }
    });
    await act(time);
    await page.waitForFunction(() => window.event !== undefined);
    taken.push(await page.evaluate(() => window.event));
  }
  return median(taken);
}

/** Frames a second that the page shows while a part among 300 is dragged by the mouse. */
async function frames() {
  const page = await pageWithLargeJob();
  const box = await page.locator(".world [data-part]").first().boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 12, y + 6);
  await page.evaluate(() => window.count());
  for (let i = 0; i < 120; i += 1) await page.mouse.move(x + 12 + i, y + 6 + (i % 9));
  chrome.set("frames a second meanwhile", await page.evaluate(() => window.frameRate()));
  await page.mouse.up();
  await page.close();
}

/** One edit, one drop and one nudge among 300 parts on 40 boards, each until it is shown. */
async function editing() {
  const page = await pageWithLargeJob();
  const part = page.locator(".world [data-part]").first();
  chrome.set("one drop among 300 parts, shown", await untilShown(page, 5, async (time) => {
    const box = await part.boundingBox();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + (time % 2 === 0 ? 14 : -14), y + 4, { steps: 3 });
    await page.waitForTimeout(200);
    await page.mouse.up();
  }));
  await part.focus();
  await page.keyboard.press("Enter");
  chrome.set("one nudge by a held key, shown", await untilShown(page, 8, () => page.keyboard.down("ArrowRight")));
  chrome.set("letting that key go, shown", await untilShown(page, 1, () => page.keyboard.up("ArrowRight")));
  await page.locator('[data-place="piece"].place').click();
  await page.locator(".row-open").first().click();
  const field = page.locator(".sheet input").first();
  chrome.set("one edit among 300 parts, shown", await untilShown(page, 5, async (time) => {
    await field.fill(`Part of mine ${time}`);
    await page.keyboard.press("Enter");
  }));
  await page.close();
}

/** Frames a second and the longest task while 300 parts are searched for, from the first plan on. */
async function searchingShown() {
  const page = await pageWithLargeJob((job) => JSON.stringify({ ...JSON.parse(job), plan: null }));
  await page.locator('[data-action="set-out"]').first().click();
  await page.locator(".world [data-part]").first().waitFor();
  await page.evaluate(() => window.count());
  await page.waitForTimeout(10_000);
  chrome.set("frames a second while searching, 300 parts", await page.evaluate(() => window.frameRate()));
  chrome.set("the longest task meanwhile", await page.evaluate(() => Math.max(0, ...window.tasks)));
  await page.close();
}

const page = await corePage();
await opening();
await searching(page);
await theRest(page);
await dragging(page);
await frames();
await editing();
await searchingShown();
chrome.set("memory of the core after all of this", await page.evaluate(() => window.memory.buffer.byteLength / 1048576));
await browser.close();

const native = readFileSync(nativeFile, "utf8").split("\n").filter((l) => l.startsWith("{")).map((l) => JSON.parse(l));
const rows = [["page, one file on disk", "MB", undefined, statSync(pageFile).size / 1e6]];
for (const { what, unit, native: value } of native) rows.push([what, unit, value, chrome.get(what)]);
for (const [what, value] of chrome) {
  if (!native.some((n) => n.what === what)) rows.push([what, what.startsWith("memory") ? "MB" : what.startsWith("frames") ? "a second" : "ms", undefined, value]);
}
const show = (value) => (value === undefined ? "" : value.toFixed(value < 10 ? 2 : 1));
console.log("| what | unit | native | in Chromium | ratio |\n|---|---|---:|---:|---:|");
for (const [what, unit, nativeValue, chromeValue] of rows) {
  const ratio = nativeValue !== undefined && chromeValue !== undefined ? show(chromeValue / nativeValue) : "";
  console.log(`| ${what} | ${unit} | ${show(nativeValue)} | ${show(chromeValue)} | ${ratio} |`);
}
