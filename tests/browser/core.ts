// The WebAssembly core alone on an empty page, for comparing and measuring it.

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

import type { Page } from "@playwright/test";

export type Core = typeof import("../../web/src/protocol/generated");

/** The core's glue as a script that makes a global `core`, and the bytes of its module. */
async function built(): Promise<{ script: string; bytes: Uint8Array }> {
  const web = join(__dirname, "../../web");
  const { build } = createRequire(join(web, "package.json"))("esbuild") as {
    build: (options: object) => Promise<{ outputFiles: { text: string }[] }>;
  };
  const bundled = await build({
    entryPoints: [join(web, "src/protocol/generated.js")],
    bundle: true,
    format: "iife",
    globalName: "core",
    target: "es2022",
    write: false,
    // The glue can also fetch its module, which is never done here.
    define: { "import.meta.url": '"about:blank"' },
  });
  const core = process.env["HEARTSIDE_CORE"];
  if (core === undefined) throw new Error("HEARTSIDE_CORE must name the core's file: run by cargo xtask");
  return { script: bundled.outputFiles[0]?.text ?? "", bytes: readFileSync(core) };
}

/** Makes `window.core` hold everything that the core exports. */
export async function loadCore(page: Page): Promise<void> {
  const { script, bytes } = await built();
  await page.goto("about:blank");
  await page.addScriptTag({ content: `${script};window.core = core;` });
  await page.evaluate((base64) => {
    const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
    (window as unknown as { core: Core }).core.initSync({ module: bytes });
  }, Buffer.from(bytes).toString("base64"));
}

/** The core without a page. */
export async function coreHere(): Promise<Core> {
  const { script, bytes } = await built();
  const core = new Function(`${script};return core;`)() as Core;
  core.initSync({ module: bytes });
  return core;
}
