// Taps on a board under Timber: an area is marked where it was tapped, or a width is added at its edge.

import type { Signal } from "@preact/signals";

import type { CopyOf, EdgeTapped, MarkKind, Outcome } from "../../protocol/generated";
import type { ScreenPoint } from "../../gestures/points";
import { toFloor } from "../../gestures/viewport";
import type { Desk } from "../../state/desk";
import type { Looking } from "./looking";

/** Pixels from an edge within which it is tapped: half a fingertip. Twice as far, most of a narrow board would be edge. */
const REACH = 14;

export interface Measuring {
  /** Marks what was chosen before; false where nothing was. */
  mark(board: CopyOf, at: ScreenPoint): boolean;
  /** Adds a width to the board whose form is open, and goes to its field; false where no edge of it was tapped. */
  atEdge(board: CopyOf | null, at: ScreenPoint): boolean;
}

export function makeMeasuring(desk: Desk, marking: Signal<MarkKind | null>, { view }: Looking): Measuring {
  return {
    mark({ id, copy }, at) {
      const what = marking.peek();
      if (what === null || desk.place.peek() !== "timber") return false;
      const { x, y } = toFloor(view.value, at);
      const outcome = desk.change((session) => session.drop_mark(id, copy, x, y, what));
      // Its frame can be dragged at once, and its sizes typed.
      if (outcome?.done && outcome.thing !== null) desk.openForm(outcome.thing);
      return true;
    },
    atEdge(board, at) {
      const thing = desk.opened.peek()?.thing;
      const opened = thing?.kind === "board" ? desk.state.peek().boards.find((each) => each.thing.row === thing.row) : undefined;
      if (thing === undefined || opened === undefined) return false;
      if (board !== null && board.id !== opened.id) return false;
      const { x, y } = toFloor(view.value, at);
      const reach = REACH / view.value.scale;
      const tapped: EdgeTapped | null = desk.ask((session) => session.tap_edge(opened.id, board?.copy ?? 1, x, y, reach));
      if (tapped === null || (tapped.field === null && tapped.outcome.problem === null)) return false;
      const outcome: Outcome = tapped.outcome;
      desk.change(() => outcome);
      if (tapped.field !== null) desk.openForm(thing, tapped.field);
      return true;
    },
  };
}
