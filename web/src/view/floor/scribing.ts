// The line of a cut, drawn over a board: the core says where it runs and what it jumps to, and the
// question that is open gets it once the hand lets go.

import type { Signal } from "@preact/signals";

import type { HeldLine } from "../../protocol/generated";
import type { FloorPoint, ScreenPoint } from "../../gestures/points";
import { toFloor } from "../../gestures/viewport";
import type { AtBench } from "../../state/at-bench";
import type { Desk } from "../../state/desk";
import type { InHand } from "./in-hand";
import type { Looking } from "./looking";
import type { FloorPainter } from "./painter";

export interface Scribing {
  begin(at: ScreenPoint): void;
  /** `free`: without jumping to marks. */
  draw(at: ScreenPoint, free: boolean): void;
  end(): void;
  giveUp(): void;
  /** Another picture was painted: a line stays on its board wherever that lies now. */
  painted(): void;
}

interface Drawing {
  readonly from: FloorPoint;
  /** The line that was there before. */
  readonly before: HeldLine | null;
  at: ScreenPoint | null;
  free: boolean;
}

export function makeScribing(
  desk: Desk,
  bench: AtBench,
  painter: () => FloorPainter | null,
  { view }: Looking,
  inHand: Signal<InHand | null>,
): Scribing {
  let drawing: Drawing | null = null;
  let frame = 0;
  /** Where the board under the line lay when it was drawn. */
  let lay: { readonly x: number; readonly y: number } | null = null;

  function hold(): void {
    frame = 0;
    const now = drawing;
    if (now?.at == null) return;
    const to = toFloor(view.value, now.at);
    const line = { x1: now.from.x, y1: now.from.y, x2: to.x, y2: to.y };
    const held = desk.ask((session) => session.hold_line(line, !now.free));
    if (held === null) return giveUp();
    bench.draw(held);
    inHand.value = { at: now.at, words: held.sentence, fits: held.fits };
  }

  function putDown(): void {
    cancelAnimationFrame(frame);
    frame = 0;
    drawing = null;
    inHand.value = null;
  }

  function giveUp(): void {
    bench.draw(drawing?.before ?? null);
    putDown();
  }

  return {
    begin(at) {
      drawing = { from: toFloor(view.value, at), before: bench.line.peek(), at: null, free: false };
      desk.notice.value = null;
    },
    draw(at, free) {
      if (drawing === null) return;
      drawing.at = at;
      drawing.free = free;
      // Pointers move oftener than pictures are shown: one call a frame is enough.
      if (frame === 0) frame = requestAnimationFrame(hold);
    },
    end() {
      if (frame !== 0) hold();
      putDown();
      const board = bench.line.peek()?.board;
      lay = board == null ? null : (painter()?.boardBox(board) ?? null);
      bench.drawn();
    },
    giveUp,
    painted() {
      const board = bench.line.peek()?.board;
      const box = board == null || drawing !== null ? null : (painter()?.boardBox(board) ?? null);
      if (box === null || lay === null) return;
      const [dx, dy] = [box.x - lay.x, box.y - lay.y];
      if (dx === 0 && dy === 0) return;
      lay = box;
      bench.moveLine(dx, dy);
    },
  };
}
