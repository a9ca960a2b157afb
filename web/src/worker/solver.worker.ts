// A search in a worker: steps in rounds and posts the best plan after each. No page code.

import { initSync, last_panic, Search } from "../protocol/generated";
import { PROTOCOL, type FromWorker, type ToWorker } from "../protocol/messages";

let search: Search | null = null;
let steps = 1;

function answer(message: FromWorker): void {
  self.postMessage(message);
}

function makeRound(run: number): void {
  if (search === null) return;
  const status = search.step(steps);
  answer({ say: "round", run, best: search.best() ?? null, finished: status.finished });
}

function begin(message: ToWorker & { say: "begin" }): void {
  if (message.protocol !== PROTOCOL) {
    answer({ say: "failed", run: message.run, message: "This worker belongs to another version of the page.", refused: true });
    return;
  }
  initSync({ module: message.core });
  search = new Search(message.document, message.settings);
  const problem = search.problem();
  if (problem !== undefined) {
    answer({ say: "failed", run: message.run, message: problem, refused: true });
    return;
  }
  steps = message.steps;
  if (message.from !== null) search.adopt(message.from);
  makeRound(message.run);
}

self.onmessage = (event: MessageEvent<ToWorker>) => {
  const message = event.data;
  try {
    switch (message.say) {
      case "begin":
        begin(message);
        break;
      case "round":
        if (message.adopt !== null) search?.adopt(message.adopt);
        makeRound(message.run);
        break;
    }
  } catch (error) {
    let told: string | undefined;
    try {
      told = last_panic();
    } catch {
      // The instance may be too broken to say.
    }
    answer({ say: "failed", run: message.run, message: told ?? String(error), refused: false });
  }
};
