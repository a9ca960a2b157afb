// The floor's own doings, for the trestle (whose blanks are dragged here), for keys and for actions.

import type { CopyOf } from "../../protocol/generated";
import type { Target } from "../../gestures/pointer";
import type { FloorControls } from "../../state/app";
import type { Hand } from "./hand";
import type { HeldKeys } from "./held-keys";
import type { Looking } from "./looking";
import type { FloorPainter } from "./painter";
import type { Pointing } from "./pointing";

export interface FloorLink {
  readonly controls: FloorControls;
  /** Feeds a pointer of the trestle, in screen coordinates of the window. */
  pointer(input: PointerFromOutside): void;
  busy(): boolean;
  /** Arrow keys hold a part. */
  holding(): boolean;
  cancel(): void;
  turnHeld(degrees: number): boolean;
  turnHeldOver(): boolean;
}

export type PointerFromOutside =
  | { readonly type: "press"; readonly event: PointerEvent; readonly target: Target }
  | { readonly type: "move" | "release" | "cancel"; readonly event: PointerEvent };

/** Where the link is found once the floor is there. */
export interface LinkHolder {
  current: FloorLink | null;
}

/** Brings a part that went to the trestle into sight there. */
function showOnTrestle(part: CopyOf): void {
  const blank = document.querySelector(`[data-trestle-part="${CSS.escape(part.id)}"]`);
  blank?.scrollIntoView({ block: "nearest", inline: "nearest" });
}

export function makeLink(paint: FloorPainter, looking: Looking, pointing: Pointing, hand: Hand, keys: HeldKeys): FloorLink {
  const reveal = (fragment: string): void => looking.reveal(paint.element(fragment));
  return {
    controls: {
      fit: looking.fit,
      zoom: looking.zoom,
      nudge: keys.nudge,
      reveal,
      revealChanged() {
        const { parts, boards, gone } = paint.changed();
        const first = parts[0] ?? boards[0];
        if (first !== undefined) reveal(first);
        else if (gone !== null) showOnTrestle(gone);
      },
      focus: (fragment) => paint.element(fragment)?.focus({ preventScroll: true }),
    },
    pointer(input) {
      if (input.type === "press") pointing.press(input.event, input.target);
      else if (input.type === "move") pointing.move(input.event);
      else if (input.type === "release") pointing.release(input.event);
      else pointing.cancel();
    },
    busy: pointing.isBusy,
    holding: keys.holding,
    cancel: pointing.cancel,
    turnHeld: hand.turnHeld,
    turnHeldOver: hand.turnHeldOver,
  };
}
