// The WebAssembly core alone on an empty page, for comparing and measuring it.

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

import type { Page } from "@playwright/test";

/** Makes `window.core` hold everything that the core exports. */
export async function loadCore(page: Page): Promise<void> {
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
  await page.goto("about:blank");
  await page.addScriptTag({ content: `${bundled.outputFiles[0]?.text ?? ""};window.core = core;` });
  await page.evaluate((base64) => {
    const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
    const { core } = window as unknown as { core: typeof import("../../web/src/protocol/generated") };
    core.initSync({ module: bytes });
  }, readFileSync(core).toString("base64"));
}
