// The core gives the same plans in Chromium as natively: the jobs of the record of plans
// (crates/cli/tests/same_plans), both engines, the best plan and the generators' state
// compared every few hundred steps.

import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

import { expect, test } from "@playwright/test";

import { loadCore, type Core } from "./core";
import { fixture } from "./support";

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
      const { Search } = (window as unknown as { core: Core }).core;
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

test("two workers in rounds come to the same plan in Chromium as by the command, however often one looks", async ({ page }) => {
  test.setTimeout(600_000);
  const folder = mkdtempSync(join(tmpdir(), "heartside-rounds-"));
  await loadCore(page);
  // With an example, or other features of some crates are wanted and all of them are compiled again.
  execFileSync("cargo", ["build", "--quiet", "--workspace", "--bins", "--example", "trace"], { cwd: root, stdio: "inherit" });
  const command = join(process.env["CARGO_TARGET_DIR"] ?? join(root, "target"), "debug/heartside");
  for (const [name, rounds] of [
    ["step-stool", 3],
    ["writing-desk", 2],
  ] as const) {
    const output = join(folder, name);
    const limit = ["--workers", "2", "--steps", String(500 * rounds)];
    // It tells by its exit code whether all was placed, which is not asked here.
    try {
      execFileSync(command, ["set-out", join(root, "fixtures", `${name}.heartside.json`), "--output", output, ...limit]);
    } catch (error) {
      expect((error as { status: number }).status).toBe(1);
    }
    const native = JSON.parse(readFileSync(join(output, "plan.heartside.json"), "utf8")) as { plan: { layouts: unknown } };
    const found = await page.evaluate(
      ({ job, rounds }) => {
        const { Rounds, Search, Session } = (window as unknown as { core: Core }).core;
        const judge = new Session();
        judge.open(job);
        const better = (first: string, second: string): boolean => judge.better(first, second);
        const round = Search.steps_per_round();
        const machine = new Rounds(2, round, undefined);
        const searches = [0, 1].map((worker) => new Search(job, { seed: 1, worker, workers: 2, way: "as_job" }));
        let made = 0;
        for (let look = 0; made < rounds * round; look += 1) {
          const steps = machine.next(look % 3 < 2);
          if (steps === undefined) break;
          const adopt = machine.adopt();
          for (const [worker, search] of searches.entries()) {
            if (adopt !== undefined) search.adopt(adopt);
            const { improved, finished } = search.step(steps);
            machine.made(worker, improved || finished || look === 0 ? search.best() : undefined, search.figures().placed > 0, finished);
          }
          machine.look(better);
          made += steps;
        }
        return machine.best() ?? "";
      },
      { job: fixture(name), rounds },
    );
    expect((JSON.parse(found) as { layouts: unknown }).layouts, name).toEqual(native.plan.layouts);
  }
  rmSync(folder, { recursive: true });
});
