// What is known of the figure, over the wood on the floor: shown or not, and told in words when it is.

import { signal, type ReadonlySignal } from "@preact/signals";

import { text } from "../text";
import type { Desk } from "./desk";

export interface FigureShown {
  readonly shown: ReadonlySignal<boolean>;
  toggle(): void;
  /** After the core was started again, which knows nothing of it. */
  showAgain(): void;
}

export function makeFigureShown(desk: Desk): FigureShown {
  const shown = signal(false);

  /** Whether anything is known of any face. */
  function show(): boolean {
    let known = true;
    desk.showOtherwise((session) => void (known = session.show_figure(shown.peek())));
    return known;
  }

  return {
    shown,
    toggle() {
      shown.value = !shown.peek();
      const known = show();
      const words = !shown.peek() ? text.figureShown.hidden : known ? text.figureShown.shown : text.figureShown.unknown;
      desk.notice.value = { text: words, tone: "plain", buttons: [] };
      desk.say(words);
    },
    showAgain() {
      if (shown.peek()) show();
    },
  };
}
