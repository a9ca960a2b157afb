// What a gesture needs to know of a pointer, free of the browser's events.

import type { ScreenPoint } from "./points";

export type Tool = "mouse" | "touch" | "pen";

/** What lies under the pointer. */
export type Target =
  | { readonly kind: "floor" }
  | { readonly kind: "part"; readonly id: string; readonly copy: number; readonly chosen: boolean }
  | { readonly kind: "board"; readonly id: string; readonly copy: number; readonly chosen: boolean; readonly handle: boolean }
  | { readonly kind: "turn_handle"; readonly id: string; readonly copy: number }
  | { readonly kind: "trestle"; readonly id: string; readonly copy: number };

export type PointerInput =
  | {
      readonly type: "press";
      readonly pointer: number;
      readonly tool: Tool;
      readonly at: ScreenPoint;
      readonly target: Target;
      /** The middle button, or the space bar held: move the picture whatever lies there. */
      readonly pan: boolean;
      /** A cut is to be drawn: a drag is its line. */
      readonly line: boolean;
    }
  | { readonly type: "move"; readonly pointer: number; readonly at: ScreenPoint; readonly free: boolean }
  | { readonly type: "release"; readonly pointer: number; readonly at: ScreenPoint; readonly overTrestle: boolean }
  /** A press that was held still for `HOLD_MS`. */
  | { readonly type: "hold"; readonly pointer: number }
  | { readonly type: "cancel" };

/** Movement in pixels below which a press is still a press. Fingers are less steady. */
export function slop(tool: Tool): number {
  return tool === "touch" ? 9 : 4;
}

/** How long a finger rests on a part before it is picked up without being chosen first. */
export const HOLD_MS = 380;
