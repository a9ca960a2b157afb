// What the build put into the page beside its own script: see `crates/xtask/src/html.rs`.

/** Everything the page carries and reads at start. */
export interface BuiltIn {
  /** Text of the worker's script, to be started from a Blob address. */
  readonly worker: string;
  /** Job files by name, such as `writing-desk.heartside.json`. */
  readonly fixtures: Readonly<Record<string, string>>;
}

function textOf(id: string): string {
  const element = document.getElementById(id);
  if (element === null) {
    throw new Error(`This copy of the page is incomplete: "${id}" is missing. Build or fetch it again.`);
  }
  return element.textContent ?? "";
}

/** Reads the worker's script and the jobs that came with the page. */
export function readBuiltIn(): BuiltIn {
  return JSON.parse(textOf("built-in")) as BuiltIn;
}

/** Unpacks and compiles the core. Do it once: workers take the same module by message. */
export async function compileCore(): Promise<WebAssembly.Module> {
  const packed = Uint8Array.from(atob(textOf("core")), (letter) => letter.charCodeAt(0));
  const plain = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compile(await new Response(plain).arrayBuffer());
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
