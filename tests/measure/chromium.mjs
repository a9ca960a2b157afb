// Chromium and the page's tools, for what is measured in it.

import { existsSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const web = join(dirname(fileURLToPath(import.meta.url)), "../../web");

const load = createRequire(join(web, "package.json"));
const { chromium } = load("@playwright/test");
const { build } = load("esbuild");

/** A browser of its own: the machine's Chromium where there is one. */
export function started(...switches) {
  const installed = ["/usr/bin/chromium", "/usr/bin/chromium-headless-shell"].find((path) => existsSync(path));
  return chromium.launch({
    ...(installed === undefined ? {} : { executablePath: installed }),
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
      "--disable-component-update", "--disable-sync", ...switches],
  });
}

/** The core's own module as a script that sets `window.core`. */
export async function coreScript() {
  const bundled = await build({
    entryPoints: [join(web, "src/protocol/generated.js")],
    bundle: true, format: "iife", globalName: "core", target: "es2022", write: false,
    define: { "import.meta.url": '"about:blank"' },
  });
  return `${bundled.outputFiles[0].text};window.core = core;`;
}
