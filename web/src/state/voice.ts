// What is read aloud by screen readers.

import { signal, type ReadonlySignal } from "@preact/signals";

export interface Voice {
  readonly spoken: ReadonlySignal<string>;
  say(sentence: string): void;
}

export function makeVoice(): Voice {
  const spoken = signal("");
  let again = false;
  let thisTurn: string[] = [];
  return {
    spoken,
    say(sentence) {
      // What is said in one turn is said together: the later must not take the place of the earlier.
      if (thisTurn.length === 0) queueMicrotask(() => (thisTurn = []));
      thisTurn.push(sentence);
      const all = thisTurn.map((each) => (/[.!?…]$/.test(each) ? each : `${each}.`)).join(" ");
      // The same sentence twice must still be a change for a live region.
      again = !again;
      spoken.value = again ? all : `${all}\u00a0`;
    },
  };
}
