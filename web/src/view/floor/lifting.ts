// A board that is moved about on the floor, with all that lies on it.

import type { CopyOf } from "../../protocol/generated";
import type { FloorPoint, ScreenPoint } from "../../gestures/points";
import { toFloor } from "../../gestures/viewport";
import type { Desk } from "../../state/desk";
import type { Drifting } from "./drifting";
import type { Looking } from "./looking";
import type { FloorPainter } from "./painter";

export interface Lifting {
  lift(board: CopyOf, at: ScreenPoint): void;
  carry(at: ScreenPoint): void;
  /** Lays it down there, or where it was. */
  drop(at: ScreenPoint | null): void;
}

interface Lifted {
  readonly board: CopyOf;
  readonly from: FloorPoint;
  readonly box: { readonly x: number; readonly y: number };
  readonly moved: readonly SVGGElement[];
}

export function makeLifting(desk: Desk, painter: () => FloorPainter | null, { view }: Looking, drifting: Drifting): Lifting {
  let lifted: Lifted | null = null;

  function offset(at: ScreenPoint): { dx: number; dy: number } {
    if (lifted === null) return { dx: 0, dy: 0 };
    const now = toFloor(view.value, at);
    return { dx: now.x - lifted.from.x, dy: now.y - lifted.from.y };
  }

  function move(at: ScreenPoint): void {
    const { dx, dy } = offset(at);
    for (const element of lifted?.moved ?? []) element.style.transform = `translate(${dx}px, ${dy}px)`;
  }

  return {
    lift(board, at) {
      const paint = painter();
      const box = paint?.boardBox(board);
      if (paint === null || box == null) return;
      desk.choose({ kind: "board", of: board });
      // All that lies on the board goes with it.
      const onIt = [...document.querySelectorAll<SVGGElement>(`.world > [data-on-board="${CSS.escape(`${board.id}#${board.copy}`)}"]`)];
      const own = paint.boardElement(board);
      lifted = {
        board,
        from: toFloor(view.value, at),
        box: { x: box.x, y: box.y },
        moved: own === null ? onIt : [own, ...onIt.filter((each) => each !== own)],
      };
    },
    carry(at) {
      drifting.at(at, () => move(at));
      move(at);
    },
    drop(at) {
      const now = lifted;
      drifting.stop();
      if (now === null) return;
      const { dx, dy } = at === null ? { dx: 0, dy: 0 } : offset(at);
      for (const element of now.moved) element.style.transform = "";
      lifted = null;
      if (dx !== 0 || dy !== 0) {
        desk.change((session) => session.move_board(now.board.id, now.board.copy, now.box.x + dx, now.box.y + dy));
      }
    },
  };
}
