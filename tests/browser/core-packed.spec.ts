// The core that the page puts together from its lists is the one that was built, byte for byte.

import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";

import { expect, openPage, test } from "./support";

test("the page's core is the one that was built", async ({ page }) => {
  const core = process.env["HEARTSIDE_CORE"];
  if (core === undefined) throw new Error("HEARTSIDE_CORE must name the core's file: run by cargo xtask");
  await page.addInitScript(() => {
    const compile = WebAssembly.compile;
    WebAssembly.compile = async (bytes) => {
      const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes as Uint8Array<ArrayBuffer>));
      Object.assign(window, { coreHash: Array.from(hash, (byte) => byte.toString(16).padStart(2, "0")).join("") });
      return compile(bytes);
    };
  });
  await openPage(page);
  const hash = await page.evaluate(() => (window as unknown as { coreHash: string }).coreHash);
  expect(hash).toBe(createHash("sha256").update(readFileSync(core)).digest("hex"));
});
