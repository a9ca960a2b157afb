import { compileCore, readBuiltIn, startWorker } from "./built-in";
import { initSync, version } from "./protocol/generated";

// A placeholder that proves the way from the core to the page and its worker.
async function start(): Promise<void> {
  const builtIn = readBuiltIn();
  const core = await compileCore();
  initSync({ module: core });
  const page = document.getElementById("page");
  if (page === null) return;
  page.dataset["core"] = version();
  const worker = startWorker(builtIn);
  worker.onmessage = (event: MessageEvent<{ version: string }>) => {
    page.dataset["worker"] = event.data.version;
    page.textContent = `Heartside ${version()}, with a worker ${event.data.version}.`;
  };
  worker.postMessage({ core });
}

void start();
