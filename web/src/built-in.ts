// What the build put into the page beside its own script: see `crates/xtask/src/html.rs`.

import { XzReadableStream } from "xz-decompress";

import { joined } from "./joined";
import { packed, unpack } from "./packed";

/** Everything the page carries and reads at start. */
export interface BuiltIn {
  /** Text of the worker's script, to be started from a Blob address. */
  readonly worker: string;
  /** Job files by name, such as `writing-desk.heartside.json`. */
  readonly fixtures: Readonly<Record<string, string>>;
}

/** Reads the worker's script and the jobs that came with the page. */
export async function readBuiltIn(): Promise<BuiltIn> {
  return (await unpack("built-in").json()) as BuiltIn;
}

/** Compiles the core. Do it once: workers take the same module by message. */
export async function compileCore(): Promise<WebAssembly.Module> {
  const sorted = new Response(new XzReadableStream(packed("core").stream()));
  return WebAssembly.compile(joined(new Uint8Array(await sorted.arrayBuffer())));
}

/** Starts a worker of the page. Only classic workers start from a page opened from disk. */
export function startWorker(builtIn: BuiltIn): Worker {
  const address = URL.createObjectURL(new Blob([builtIn.worker], { type: "text/javascript" }));
  try {
    return new Worker(address);
  } finally {
    URL.revokeObjectURL(address);
  }
}
