// Unpacks what is packed as .xz, a tenth smaller than browsers can unpack by themselves: styles, scripts, jobs and the core.

import { XzReadableStream } from "xz-decompress";

import { cannotStart } from "./cannot-start";
import type { BuiltIn } from "./built-in";
import { joined } from "./joined";
import { packed } from "./packed";
import { runScript } from "./run-script";

/** What the block `carried` holds: see `crates/xtask/src/html.rs`. */
interface Carried extends BuiltIn {
  readonly style: string;
  readonly script: string;
}

function unpack(id: string): Response {
  return new Response(new XzReadableStream(packed(id).stream()));
}

async function compileCore(): Promise<WebAssembly.Module> {
  return WebAssembly.compile(joined(new Uint8Array(await unpack("core").arrayBuffer())));
}

async function start(): Promise<void> {
  const { style, script, ...builtIn } = (await unpack("carried").json()) as Carried;
  const rules = document.createElement("style");
  rules.textContent = style;
  document.head.append(rules);
  // Who waits for the core is told where it cannot be compiled.
  const core = compileCore();
  core.catch(() => undefined);
  window.heartside = { builtIn, core };
  runScript(script);
}

start().catch(cannotStart);
