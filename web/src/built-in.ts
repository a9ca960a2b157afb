// What the build put into the page beside its own script: see `crates/xtask/src/html.rs`.

/** Everything the page carries and reads at start. */
export interface BuiltIn {
  /** Text of the worker's script, to be started from a Blob address. */
  readonly worker: string;
  /** Job files by name, such as `writing-desk.heartside.json`. */
  readonly fixtures: Readonly<Record<string, string>>;
}

declare global {
  interface Window {
    /** Left by `unpacker.ts`: what is built in, and the core, which workers take as the same module by message. */
    heartside: { readonly builtIn: BuiltIn; readonly core: Promise<WebAssembly.Module> };
  }
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
