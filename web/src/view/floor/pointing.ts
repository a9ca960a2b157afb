// Pointers on the floor and those that come from the trestle: what they do goes through the gesture
// machine, and what it wants is done by the hand.

import { idle, isBusy, step, type GestureState, type Intent } from "../../gestures/floor-gesture";
import { HOLD_MS, type PointerInput, type Target, type Tool } from "../../gestures/pointer";
import type { ScreenPoint } from "../../gestures/points";
import type { Looking } from "./looking";

export interface Pointing {
  press(event: PointerEvent, target: Target): void;
  move(event: PointerEvent): void;
  release(event: PointerEvent): void;
  cancel(): void;
  isIdle(): boolean;
  /** Something hangs on the pointer. */
  isBusy(): boolean;
  /** Whether it was a finger that pressed last. */
  isTouch(): boolean;
  /** Shows on the floor's frame what is under way, and hears the space bar; call what comes back to stop. */
  attach(frame: HTMLElement): () => void;
}

const toolOf = (event: PointerEvent): Tool =>
  event.pointerType === "touch" || event.pointerType === "pen" ? event.pointerType : "mouse";

function isOverTrestle(event: PointerEvent): boolean {
  const under = document.elementFromPoint(event.clientX, event.clientY);
  return under?.closest("[data-trestle]") != null;
}

/** `draws`: a drag from here is the line of a cut, or draws on a board. */
export function makePointing(looking: Looking, follow: (intents: readonly Intent[]) => void, draws: (at: ScreenPoint, tool: Tool) => boolean): Pointing {
  let gesture: GestureState = idle;
  let holding: ReturnType<typeof setTimeout> | undefined;
  let isSpaceHeld = false;
  let isTouch = false;
  let frame: HTMLElement | null = null;

  function feed(input: PointerInput): void {
    const [next, intents] = step(gesture, input);
    if (input.type === "press" || next.name !== "pressed") clearTimeout(holding);
    gesture = next;
    if (intents.some((intent) => intent.do === "pan" || intent.do === "zoom")) looking.byHand();
    frame?.classList.toggle("is-panning", next.name === "panning" || next.name === "pinching");
    document.body.classList.toggle("is-carrying", isBusy(next));
    follow(intents);
  }

  /** While the space bar is held, the picture moves whatever is pressed. */
  function space(event: KeyboardEvent): void {
    const typing = event.target instanceof HTMLElement && event.target.closest("input, textarea, select, button, summary");
    if (event.key !== " " || typing) return;
    isSpaceHeld = event.type === "keydown";
    frame?.classList.toggle("may-pan", isSpaceHeld);
    if (event.target === document.body || frame?.contains(event.target as Node) === true) event.preventDefault();
  }

  return {
    press(event, target) {
      const middleButton = event.pointerType === "mouse" && event.button === 1;
      if (event.pointerType === "mouse" && event.button !== 0 && !middleButton) return;
      if (middleButton) event.preventDefault();
      isTouch = event.pointerType === "touch";
      const pointer = event.pointerId;
      const line = target.kind !== "trestle" && draws(looking.pointAt(event), toolOf(event));
      feed({ type: "press", pointer, tool: toolOf(event), at: looking.pointAt(event), target, pan: middleButton || isSpaceHeld, line });
      if (isTouch && gesture.name === "pressed") holding = setTimeout(() => feed({ type: "hold", pointer }), HOLD_MS);
    },
    move(event) {
      if (gesture.name === "idle") return;
      feed({ type: "move", pointer: event.pointerId, at: looking.pointAt(event), free: event.altKey });
    },
    release(event) {
      feed({ type: "release", pointer: event.pointerId, at: looking.pointAt(event), overTrestle: isOverTrestle(event) });
    },
    cancel: () => feed({ type: "cancel" }),
    isIdle: () => gesture.name === "idle",
    isBusy: () => isBusy(gesture),
    isTouch: () => isTouch,
    attach(element) {
      frame = element;
      window.addEventListener("keydown", space);
      window.addEventListener("keyup", space);
      return () => {
        window.removeEventListener("keydown", space);
        window.removeEventListener("keyup", space);
        frame = null;
      };
    },
  };
}
