import { initSync, version } from "../protocol/generated";

// A placeholder that proves that the core starts in a worker.
self.onmessage = (event: MessageEvent<{ core: WebAssembly.Module }>) => {
  initSync({ module: event.data.core });
  self.postMessage({ version: version() });
};
