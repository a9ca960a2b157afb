// The core gives the same plans in Chromium as natively: the jobs of the record of plans
// (crates/cli/tests/same_plans), both engines, the best plan and the generators' state
// compared every few hundred steps.

import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

import { expect, test } from "@playwright/test";

import { loadCore } from "./core";

interface Look {
  steps: number;
  state: string;
  plan: string;
}

interface Trace {
  way: "as_job" | "straight" | "sawn";
  seed: number;
  every: number;
  job: string;
  looks: Look[];
}

const root = join(__dirname, "../..");

test("fixtures, generated jobs and published instances give the same plans in Chromium as natively", async ({ page }) => {
  test.setTimeout(600_000);
  const folder = mkdtempSync(join(tmpdir(), "heartside-trace-"));
  await loadCore(page);
  // Built as the Rust tests build it, so that nothing is compiled twice.
  const cargo = ["build", "--quiet", "--workspace", "--example", "trace"];
  execFileSync("cargo", cargo, { cwd: root, stdio: "inherit" });
  const target = process.env["CARGO_TARGET_DIR"] ?? join(root, "target");
  execFileSync(join(target, "debug/examples/trace"), [folder], { stdio: "inherit" });
  const names = readdirSync(folder).sort();
  expect(names.length).toBeGreaterThanOrEqual(39);
  for (const name of names) {
    const trace = JSON.parse(readFileSync(join(folder, name), "utf8")) as Trace;
    const looks = await page.evaluate(({ way, seed, every, job, looks }) => {
      const { Search } = (window as unknown as { core: typeof import("../../web/src/protocol/generated") }).core;
      const search = new Search(job, { seed, worker: 0, workers: 1, way });
      return looks.map(() => {
        const { steps } = search.step(every);
        return { steps, state: search.fingerprint(), plan: search.best() ?? "" };
      });
    }, trace);
    expect(looks, `${name}, ${trace.way}`).toEqual(trace.looks);
  }
  rmSync(folder, { recursive: true });
});
