// What is said of a part on its way, beside the hand that moves it.

import type { ReadonlySignal } from "@preact/signals";

import type { InHand } from "./in-hand";
import type { Size } from "./looking";
import { RULER_HEIGHT } from "./measures";

export function NearWords({ now, size, touch }: { now: InHand | null; size: ReadonlySignal<Size>; touch: boolean }) {
  if (now === null || now.words === "") return null;
  return (
    <p class={`near ${now.fits ? "near-fits" : "near-wrong"}`} style={besideHand(now.at, size.value, touch)}>
      {now.words}
    </p>
  );
}

/** Widest that the words beside the hand may be, and the height of two lines of them. */
const NEAR = { width: 300, height: 58 };

/** Where the words about what is in the hand stand: right below a mouse, above a finger or beside it, never under. */
function besideHand(
  at: { x: number; y: number },
  floor: Size,
  touch: boolean,
): { left: string; top: string; maxWidth: string } {
  const width = Math.min(NEAR.width, floor.width - 24);
  const within = (value: number, most: number): number => Math.max(12, Math.min(value, most));
  const highest = RULER_HEIGHT + 6;
  let left = touch ? within(at.x - width / 2, floor.width - width - 12) : within(at.x + 22, floor.width - width - 12);
  let top = touch ? at.y - NEAR.height - 48 : Math.min(at.y + 26, floor.height - NEAR.height - 16);
  if (touch && top < highest) left = at.x > floor.width / 2 ? within(at.x - width - 56, floor.width) : within(at.x + 56, floor.width - 90);
  top = Math.max(highest, top);
  return { left: `${left}px`, top: `${top}px`, maxWidth: `${Math.min(width, floor.width - left - 12)}px` };
}
