// A search in a worker: makes as many steps as it is told and posts what they have bettered; or values of one
// size looked at, one after the other; or better faces, see `faces.ts`; or a photograph, see `photo.ts`. No page code.

import { initSync, last_panic, Search, SizeAsked } from "../protocol/generated";
import { PROTOCOL, type AskFace, type AskSize, type FromWorker, type OfSize, type ToPhoto, type ToWorker } from "../protocol/messages";
import { workerOfAnother } from "../text/start";
import { lookForFaces } from "./faces";
import { photoSays } from "./photo";

let search: Search | null = null;
let hasAnswered = false;

function answer(message: FromWorker): void {
  self.postMessage(message);
}

function make(steps: number, run: number): void {
  if (search === null) return;
  const { improved, finished } = search.step(steps);
  const isNews = improved || finished || !hasAnswered;
  hasAnswered = true;
  const better = isNews ? (search.best() ?? null) : null;
  answer({ say: "made", run, better, placed: search.figures().placed, finished });
}

function begin(message: ToWorker & { say: "begin" }): void {
  if (message.protocol !== PROTOCOL) {
    answer({ say: "failed", run: message.run, message: workerOfAnother, refused: true });
    return;
  }
  answer({ say: "here", run: message.run });
  initSync({ module: message.core });
  search = new Search(message.document, message.settings);
  const problem = search.problem();
  if (problem !== undefined) {
    answer({ say: "failed", run: message.run, message: problem, refused: true });
    return;
  }
  if (message.from !== null) search.adopt(message.from);
  make(message.steps, message.run);
}

/** Looks at all values without listening: to stop it is to end the worker. */
function lookAt(message: AskSize): void {
  const tell = (answer: OfSize): void => self.postMessage(answer);
  if (message.protocol !== PROTOCOL) return tell({ say: "failed" });
  try {
    initSync({ module: message.core });
    const asked = new SizeAsked(message.document, message.row);
    let index: number | undefined;
    do {
      tell({ say: "seen", seen: asked.seen(), index: index ?? 0, plan: index === undefined ? null : (asked.plan(index) ?? null) });
      index = asked.look();
    } while (index !== undefined);
  } catch {
    tell({ say: "failed" });
  }
}

self.onmessage = (event: MessageEvent<ToWorker | AskSize | AskFace | ToPhoto>) => {
  const message = event.data;
  if (message.say === "ask_size") return lookAt(message);
  if (message.say === "ask_face") return lookForFaces(message);
  if (message.say !== "begin" && message.say !== "go_on") return void photoSays(message);
  try {
    switch (message.say) {
      case "begin":
        begin(message);
        break;
      case "go_on":
        if (message.adopt !== null) search?.adopt(message.adopt);
        make(message.steps, message.run);
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
