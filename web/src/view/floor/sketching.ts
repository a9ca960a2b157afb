// The hand that draws on a board: what a gesture is to the core, which holds the drawing.

import { toFloor } from "../../gestures/viewport";
import type { ScreenPoint } from "../../gestures/points";
import type { Tool } from "../../gestures/pointer";
import type { DrawStep } from "../../protocol/generated";
import type { DrawingOut, Presser } from "../../state/drawing";
import type { Looking } from "./looking";

/** A fingertip is less sure than a mouse. */
const presser = (tool: Tool, at: ScreenPoint): Presser => (tool === "touch" ? { reach: 20, finger: at } : { reach: 9, finger: null });

export interface Sketching {
  /** Something is drawn: gestures are its own. */
  isOn(): boolean;
  /** A drag from here draws; else it moves the picture. */
  grips(at: ScreenPoint, tool: Tool): boolean;
  step(step: DrawStep, at: ScreenPoint, free?: boolean): void;
  end(): void;
  giveUp(): void;
}

export function makeSketching(drawing: DrawingOut, { view }: Looking): Sketching {
  let tool: Tool = "mouse";
  let last: ScreenPoint | null = null;
  let isFree = false;

  function step(step: DrawStep, at: ScreenPoint, free = isFree): void {
    last = at;
    isFree = free;
    drawing.pointer(step, toFloor(view.peek(), at), presser(step === "hover" ? "mouse" : tool, at), free);
  }

  return {
    isOn: () => drawing.seen.peek() !== null,
    grips(at, pressed) {
      tool = pressed;
      isFree = false;
      return drawing.grips(toFloor(view.peek(), at), presser(tool, at));
    },
    step,
    end() {
      if (last !== null) step("release", last);
    },
    giveUp() {
      if (last !== null) step("give_up", last);
    },
  };
}
