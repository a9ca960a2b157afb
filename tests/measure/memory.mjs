// The memory of a worker's core over a long search in Chromium.
// Run by `cargo xtask bench --memory`: node memory.mjs CORE JOBS SECONDS

import { readFileSync } from "node:fs";
import { join } from "node:path";
import { coreScript, started } from "./chromium.mjs";

const [coreFile, jobsFolder, seconds] = process.argv.slice(2);
const browser = await started();
const script = await coreScript();

/** Megabytes of the core after each tenth of the time, and the steps made until then. */
async function watch(way) {
  const page = await (await browser.newContext()).newPage();
  await page.goto("about:blank");
  await page.addScriptTag({ content: script });
  await page.evaluate(({ base64, job, way }) => {
    const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
    const { core } = window;
    window.memory = core.initSync({ module: bytes }).memory;
    window.search = new core.Search(job, { seed: 1, worker: 0, workers: 1, way });
    window.steps = 0;
  }, { base64: readFileSync(coreFile).toString("base64"), job: readFileSync(join(jobsFolder, `${way}.json`), "utf8"), way });
  const rows = [];
  for (let tenth = 1; tenth <= 10; tenth += 1) {
    rows.push(await page.evaluate((time) => {
      const { search, memory } = window;
      const end = performance.now() + time;
      while (performance.now() < end) {
        // As a worker does at most: a few steps, and the best plan as text after them.
        window.steps = search.step(500).steps;
        search.best();
      }
      return [window.steps, memory.buffer.byteLength / 1048576];
    }, Number(seconds) * 100));
  }
  await page.close();
  return rows;
}

console.log("| search in Chromium | steps | memory of the core, MB |\n|---|---:|---:|");
for (const way of ["straight", "sawn"]) {
  for (const [steps, megabytes] of await watch(way)) console.log(`| ${way} | ${steps} | ${megabytes.toFixed(1)} |`);
}
await browser.close();
