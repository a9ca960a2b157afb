// What the gestures of the floor do: they move the picture, carry parts and boards, turn
// them, and commit once on release. Everything that is right or wrong about a place is
// said by the core.

import { signal, type ReadonlySignal, type Signal } from "@preact/signals";

import type { CopyOf, Held } from "../../protocol/generated";
import type { Intent } from "../../gestures/floor-gesture";
import type { Target } from "../../gestures/pointer";
import type { FloorPoint, ScreenPoint } from "../../gestures/points";
import { panned, toFloor, zoomed, type Viewport } from "../../gestures/viewport";
import type { Desk } from "../../state/desk";
import type { Ticks } from "../../state/ticks";
import { FOOT_HEIGHT, RULER_HEIGHT } from "./measures";
import type { FloorPainter } from "./painter";

/** What is shown beside the pointer while something is in the hand. */
export interface InHand {
  readonly at: ScreenPoint;
  readonly words: string;
  readonly fits: boolean;
  readonly snapped: boolean;
}

export interface Hand {
  readonly inHand: ReadonlySignal<InHand | null>;
  readonly view: Signal<Viewport>;
  follow(intents: readonly Intent[]): void;
  /** Turns or turns over what is being carried. */
  turnHeld(degrees: number): boolean;
  turnHeldOver(): boolean;
}

interface Carried {
  readonly part: CopyOf;
  /** From the pointer to the middle of the blank. */
  readonly offset: { readonly x: number; readonly y: number };
  element: SVGGElement | null;
  readonly hidden: SVGGElement | null;
  x: number;
  y: number;
  turn: number;
  turnedOver: boolean;
  at: ScreenPoint;
  free: boolean;
  /** The board under it. */
  over: CopyOf | null;
}

interface Lifted {
  readonly board: CopyOf;
  readonly from: FloorPoint;
  readonly box: { readonly x: number; readonly y: number };
  readonly moved: readonly SVGGElement[];
}

interface Turning {
  readonly middle: FloorPoint;
  readonly startTurn: number;
  readonly startAngle: number;
}

interface Size {
  readonly width: number;
  readonly height: number;
}

/** How near the edge of the floor, in pixels, the picture moves along with what is carried. */
const EDGE = 36;
/** So many frames something rests there before it does, so that nothing moves in passing. */
const REST_FRAMES = 12;
/** Pixels a frame. */
const ALONG = 9;

/** The turn handle stops at whole degrees unless it is asked to turn freely. */
const TURN_STEP = 1;

export function makeHand(desk: Desk, ticks: Ticks, painter: () => FloorPainter | null, view: Signal<Viewport>, size: () => Size): Hand {
  const inHand = signal<InHand | null>(null);
  let carried: Carried | null = null;
  let lifted: Lifted | null = null;
  let turning: Turning | null = null;
  let frame = 0;
  let along = 0;
  let resting: ScreenPoint | null = null;
  let carryAgain: () => void = () => undefined;

  function show(held: Held): void {
    if (carried === null) return;
    // It is drawn anew only when it is turned; otherwise it just moves.
    if (held.fragment !== null) carried.element = painter()?.hold(held.fragment) ?? null;
    carried.element?.setAttribute("transform", held.transform);
    carried.turn = held.turn;
    carried.turnedOver = held.turned_over;
    carried.over = held.board;
    // Over the bare floor nothing is wrong yet.
    const wrong = held.board !== null && !held.fits;
    carried.element?.classList.toggle("in-hand-wrong", wrong);
    inHand.value = {
      at: carried.at,
      words: held.sentence,
      fits: !wrong,
      snapped: held.snapped,
    };
  }

  function drag(): void {
    const now = carried;
    if (now === null) return;
    const held = desk.ask((session) => session.drag(now.x, now.y, now.turn, now.turnedOver, !now.free));
    if (held === null) return letDrop();
    show(held);
  }

  /** Pointers move oftener than pictures are shown: one call a frame is enough. */
  function dragSoon(): void {
    if (frame !== 0) return;
    frame = requestAnimationFrame(() => {
      frame = 0;
      drag();
    });
  }

  /** How the picture moves along while something is held at its edge; not past the last board. */
  function drift(at: ScreenPoint): { dx: number; dy: number } {
    const box = painter()?.bounds();
    const { width, height } = size();
    if (box === undefined) return { dx: 0, dy: 0 };
    const now = view.value;
    const foot = height - FOOT_HEIGHT;
    const left = box.x * now.scale + now.x;
    const top = box.y * now.scale + now.y;
    const isIn = at.x >= 0 && at.y >= 0 && at.x <= width && at.y <= height;
    if (!isIn) return { dx: 0, dy: 0 };
    let [dx, dy] = [0, 0];
    if (at.x < EDGE && left < EDGE) dx = ALONG;
    else if (at.x > width - EDGE && left + box.width * now.scale > width - EDGE) dx = -ALONG;
    if (at.y < RULER_HEIGHT + EDGE && top < RULER_HEIGHT + EDGE) dy = ALONG;
    else if (at.y > foot - EDGE && top + box.height * now.scale > foot - EDGE) dy = -ALONG;
    return { dx, dy };
  }

  /** Moves the picture while what is carried rests at its edge. */
  function moveAlong(at: ScreenPoint, carry: () => void): void {
    resting = at;
    carryAgain = carry;
    if (along !== 0) return;
    let rested = 0;
    const next = (): void => {
      along = 0;
      if (resting === null) return;
      const { dx, dy } = drift(resting);
      rested = dx === 0 && dy === 0 ? 0 : rested + 1;
      if (rested > REST_FRAMES) {
        view.value = panned(view.value, dx, dy);
        carryAgain();
      }
      along = requestAnimationFrame(next);
    };
    along = requestAnimationFrame(next);
  }

  function stayPut(): void {
    resting = null;
    if (along !== 0) cancelAnimationFrame(along);
    along = 0;
  }

  function letDrop(): void {
    stayPut();
    if (frame !== 0) cancelAnimationFrame(frame);
    frame = 0;
    carried?.hidden?.classList.remove("taken-up");
    carried = null;
    turning = null;
    inHand.value = null;
    painter()?.hold(null);
  }

  function pickUp(part: CopyOf, at: ScreenPoint, fromTrestle: boolean): boolean {
    // Parts lie on the boards in this place; elsewhere they would vanish on being put down.
    if (fromTrestle) desk.goTo("setting_out");
    desk.choose({ kind: "part", of: part });
    const held = desk.ask((session) => session.drag_begin(part.id, part.copy));
    if (held === null) return false;
    if (!held.held) {
      if (held.problem !== null) {
        desk.notice.value = { text: held.problem, tone: "problem", buttons: [] };
        desk.say(held.problem);
      }
      return false;
    }
    const point = toFloor(view.value, at);
    const hidden = painter()?.partElement(part) ?? null;
    hidden?.classList.add("taken-up");
    carried = {
      part,
      // A part from the trestle hangs by its middle: the strip shows it at another scale.
      offset: fromTrestle ? { x: 0, y: 0 } : { x: held.x - point.x, y: held.y - point.y },
      element: null,
      hidden,
      x: fromTrestle ? point.x : held.x,
      y: fromTrestle ? point.y : held.y,
      turn: held.turn,
      turnedOver: held.turned_over,
      at,
      free: false,
      over: null,
    };
    desk.notice.value = null;
    // The frame may have moved since the picture was last put in its place.
    painter()?.look(view.value);
    show(held);
    if (fromTrestle) drag();
    return true;
  }

  function finish(drop: boolean): void {
    const now = carried;
    if (now === null) return letDrop();
    if (drop && frame !== 0) {
      cancelAnimationFrame(frame);
      frame = 0;
      drag();
    }
    letDrop();
    const putBack = (): void => {
      desk.ask((session) => session.drag_cancel());
      desk.refresh();
    };
    if (drop) ticks.before({ part: now.part, to: now.over }, () => desk.change((session) => session.drag_end()), putBack);
    else putBack();
  }

  function putOnTrestle(): void {
    const now = carried;
    if (now === null) return letDrop();
    letDrop();
    desk.ask((session) => session.drag_cancel());
    ticks.before({ part: now.part }, () => desk.change((session) => session.to_trestle(now.part.id, now.part.copy)));
  }

  function liftBoard(board: CopyOf, at: ScreenPoint): void {
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
  }

  function boardOffset(at: ScreenPoint): { dx: number; dy: number } {
    if (lifted === null) return { dx: 0, dy: 0 };
    const now = toFloor(view.value, at);
    return { dx: now.x - lifted.from.x, dy: now.y - lifted.from.y };
  }

  function carryBoard(at: ScreenPoint): void {
    const { dx, dy } = boardOffset(at);
    for (const element of lifted?.moved ?? []) element.style.transform = `translate(${dx}px, ${dy}px)`;
  }

  function dropBoard(at: ScreenPoint | null): void {
    const now = lifted;
    stayPut();
    if (now === null) return;
    const { dx, dy } = at === null ? { dx: 0, dy: 0 } : boardOffset(at);
    for (const element of now.moved) element.style.transform = "";
    lifted = null;
    if (at !== null && (dx !== 0 || dy !== 0)) {
      desk.change((session) => session.move_board(now.board.id, now.board.copy, now.box.x + dx, now.box.y + dy));
    }
  }

  function angleAt(at: ScreenPoint, middle: FloorPoint): number {
    const point = toFloor(view.value, at);
    return (Math.atan2(middle.y - point.y, point.x - middle.x) * 180) / Math.PI;
  }

  function choose(target: Target): void {
    switch (target.kind) {
      case "floor":
        return desk.choose(null);
      case "part":
      case "trestle":
      case "turn_handle":
        return desk.choose({ kind: "part", of: { id: target.id, copy: target.copy } });
      case "board":
        return desk.choose({ kind: "board", of: { id: target.id, copy: target.copy } });
    }
  }

  function one(intent: Intent): void {
    switch (intent.do) {
      case "choose":
        return choose(intent.target);
      case "pan":
        view.value = panned(view.value, intent.dx, intent.dy);
        return;
      case "zoom":
        view.value = zoomed(view.value, intent.factor, intent.about);
        return;
      case "pick_up_part":
        pickUp(intent.item, intent.at, intent.fromTrestle);
        return;
      case "carry_part": {
        if (carried === null) return;
        const point = toFloor(view.value, intent.at);
        carried.x = point.x + carried.offset.x;
        carried.y = point.y + carried.offset.y;
        carried.at = intent.at;
        carried.free = intent.free;
        const { at } = intent;
        moveAlong(at, () => {
          if (carried === null) return;
          const here = toFloor(view.value, at);
          carried.x = here.x + carried.offset.x;
          carried.y = here.y + carried.offset.y;
          drag();
        });
        return dragSoon();
      }
      case "drop_part":
        return intent.overTrestle ? putOnTrestle() : finish(true);
      case "put_back_part":
      case "cancel_turn":
        return finish(false);
      case "pick_up_board":
        return liftBoard(intent.item, intent.at);
      case "carry_board":
        moveAlong(intent.at, () => carryBoard(intent.at));
        return carryBoard(intent.at);
      case "drop_board":
        return dropBoard(intent.at);
      case "put_back_board":
        return dropBoard(null);
      case "begin_turn": {
        if (!pickUp(intent.item, intent.at, false) || carried === null) return;
        const middle = { x: carried.x, y: carried.y } as FloorPoint;
        turning = { middle, startTurn: carried.turn, startAngle: angleAt(intent.at, middle) };
        return;
      }
      case "turn_to": {
        if (carried === null || turning === null) return;
        const turned = turning.startTurn + angleAt(intent.at, turning.middle) - turning.startAngle;
        carried.turn = intent.free ? turned : Math.round(turned / TURN_STEP) * TURN_STEP;
        carried.at = intent.at;
        carried.free = true;
        return dragSoon();
      }
      case "end_turn":
        return finish(true);
    }
  }

  return {
    inHand,
    view,
    follow(intents) {
      for (const intent of intents) one(intent);
    },
    turnHeld(degrees) {
      if (carried === null) return false;
      carried.turn += degrees;
      drag();
      return true;
    },
    turnHeldOver() {
      if (carried === null) return false;
      carried.turnedOver = !carried.turnedOver;
      drag();
      return true;
    },
  };
}
