// The browser tests open the built page from disk, as its users do. Run them by
// `cargo xtask test`, or alone after `cargo xtask page` with
// `web/node_modules/.bin/playwright test --config web/playwright.config.ts`.
import { existsSync } from "node:fs";
import { defineConfig } from "@playwright/test";

// The one without windows does half the work for a page that is opened, and draws alike.
const installed = ["/usr/bin/chromium-headless-shell", "/usr/bin/chromium"].find((path) => existsSync(path));

export default defineConfig({
  testDir: "../tests/browser",
  outputDir: "../tests/results/browser",
  // A search keeps one core busy, but most tests wait a good part of their time: with one page more than
  // a two-core machine has cores, the cores are busy.
  workers: 3,
  fullyParallel: true,
  // What is tested is whether it comes right; how fast is measured elsewhere.
  timeout: 120_000,
  expect: { timeout: 15_000 },
  forbidOnly: process.env["CI"] !== undefined,
  reporter: [["line"], ["json", { outputFile: "../tests/results/browser.json" }]],
  use: {
    browserName: "chromium",
    launchOptions: {
      // Elsewhere Playwright looks for a browser of its own.
      ...(installed === undefined ? {} : { executablePath: installed }),
      args: [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
      ],
    },
  },
});
