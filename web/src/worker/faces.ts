// Better faces, looked for without listening: to stop it is to end the worker. No page code.

import { FaceAsked, initSync } from "../protocol/generated";
import { PROTOCOL, type AskFace, type OfFace } from "../protocol/messages";

/** So many milliseconds pass between two answers that bring no new card. */
const BETWEEN = 250;

export function lookForFaces(message: AskFace): void {
  const tell = (answer: OfFace): void => self.postMessage(answer);
  if (message.protocol !== PROTOCOL) return tell({ say: "failed" });
  try {
    initSync({ module: message.core });
    const asked = new FaceAsked(message.document, message.key, message.like ?? undefined);
    let told = 0;
    let last = -BETWEEN;
    let more = true;
    while (more) {
      const known = asked.known();
      if (known > told || performance.now() - last >= BETWEEN) {
        answer(asked, told, tell);
        told = known;
        last = performance.now();
      }
      more = asked.step();
    }
    answer(asked, told, tell);
  } catch {
    tell({ say: "failed" });
  }
}

function answer(asked: FaceAsked, from: number, tell: (answer: OfFace) => void): void {
  const plans: [number, string][] = [];
  for (let at = from; at < asked.known(); at += 1) {
    const plan = asked.plan(at);
    if (plan !== undefined) plans.push([at, plan]);
  }
  tell({ say: "found", found: asked.found(), plans });
}
