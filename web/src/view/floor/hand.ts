// What the gestures of the floor do: they move the picture, carry parts and boards, turn
// them, and commit once on release. Everything that is right or wrong about a place is
// said by the core.

import { signal, type ReadonlySignal } from "@preact/signals";

import type { CopyOf, Held } from "../../protocol/generated";
import type { Intent } from "../../gestures/floor-gesture";
import type { Target } from "../../gestures/pointer";
import type { FloorPoint, ScreenPoint } from "../../gestures/points";
import { panned, toFloor, zoomed } from "../../gestures/viewport";
import type { App } from "../../state/app";
import { letGoOfHeld, showHeld } from "../faces-live";
import { makeDrifting } from "./drifting";
import type { InHand } from "./in-hand";
import { makeLifting } from "./lifting";
import type { Looking } from "./looking";
import { makeMeasuring } from "./measuring";
import type { FloorPainter } from "./painter";
import { makeScribing } from "./scribing";
import { makeSketching, type Sketching } from "./sketching";

export interface Hand {
  readonly inHand: ReadonlySignal<InHand | null>;
  readonly sketching: Sketching;
  follow(intents: readonly Intent[]): void;
  /** Turns or turns over what is being carried. */
  turnHeld(degrees: number): boolean;
  turnHeldOver(): boolean;
  /** Another picture was painted. */
  painted(): void;
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
}

interface Turning {
  readonly middle: FloorPoint;
  readonly startTurn: number;
  readonly startAngle: number;
}

/** The turn handle stops at whole degrees unless it is asked to turn freely. */
const TURN_STEP = 1;

export function makeHand(app: App, painter: () => FloorPainter | null, looking: Looking): Hand {
  const { desk, bench, marking, drawing } = app;
  const { view } = looking;
  const inHand = signal<InHand | null>(null);
  const drifting = makeDrifting(painter, looking);
  const lifting = makeLifting(desk, painter, looking, drifting);
  const measuring = makeMeasuring(desk, marking, looking);
  const sketching = makeSketching(drawing, looking);
  const scribing = makeScribing(desk, bench, painter, looking, inHand);
  let carried: Carried | null = null;
  let turning: Turning | null = null;
  let frame = 0;

  function show(held: Held): void {
    if (carried === null) return;
    // It is drawn anew only when it is turned; otherwise it just moves.
    if (held.fragment !== null) carried.element = painter()?.hold(held.fragment) ?? null;
    carried.element?.setAttribute("transform", held.transform);
    showHeld(app);
    carried.turn = held.turn;
    carried.turnedOver = held.turned_over;
    // Over the bare floor nothing is wrong yet.
    const wrong = held.board !== null && !held.fits;
    carried.element?.classList.toggle("in-hand-wrong", wrong);
    inHand.value = {
      at: carried.at,
      words: held.sentence,
      fits: !wrong,
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

  function letDrop(): void {
    drifting.stop();
    if (frame !== 0) cancelAnimationFrame(frame);
    frame = 0;
    carried?.hidden?.classList.remove("taken-up");
    carried = null;
    turning = null;
    inHand.value = null;
    painter()?.hold(null);
    letGoOfHeld();
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
    };
    desk.notice.value = null;
    // The frame may have moved since the picture was last put in its place.
    painter()?.look(view.value);
    show(held);
    if (fromTrestle) drag();
    return true;
  }

  function finish(drop: boolean): void {
    if (carried === null) return letDrop();
    if (drop && frame !== 0) {
      cancelAnimationFrame(frame);
      frame = 0;
      drag();
    }
    letDrop();
    if (drop) {
      desk.change((session) => session.drag_end());
      return;
    }
    desk.ask((session) => session.drag_cancel());
    desk.refresh();
  }

  function putOnTrestle(): void {
    const now = carried;
    if (now === null) return letDrop();
    letDrop();
    desk.ask((session) => session.drag_cancel());
    desk.change((session) => session.to_trestle(now.part.id, now.part.copy));
  }

  function angleAt(at: ScreenPoint, middle: FloorPoint): number {
    const point = toFloor(view.value, at);
    return (Math.atan2(middle.y - point.y, point.x - middle.x) * 180) / Math.PI;
  }

  function carryTo(now: Carried, at: ScreenPoint): void {
    const point = toFloor(view.value, at);
    now.x = point.x + now.offset.x;
    now.y = point.y + now.offset.y;
    now.at = at;
  }

  function choose(target: Target, at: ScreenPoint): void {
    if (sketching.isOn()) return sketching.step("tap", at);
    switch (target.kind) {
      case "floor":
        // The edge of a board is tapped a little beside it as often as on it.
        return measuring.atEdge(null, at) ? undefined : desk.choose(null);
      case "part":
      case "trestle":
      case "turn_handle":
        return desk.choose({ kind: "part", of: { id: target.id, copy: target.copy } });
      case "board":
        // Where a cut is asked for, the board that is pressed is the one that is cut.
        if (bench.draws.peek()) bench.answer("board", `${target.id}#${target.copy}`);
        if (measuring.mark(target, at) || measuring.atEdge(target, at)) return;
        return desk.choose({ kind: "board", of: { id: target.id, copy: target.copy } });
    }
  }

  function one(intent: Intent): void {
    switch (intent.do) {
      case "choose":
        return choose(intent.target, intent.at);
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
        const { at } = intent;
        carryTo(carried, at);
        carried.free = intent.free;
        drifting.at(at, () => {
          if (carried === null) return;
          carryTo(carried, at);
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
        return lifting.lift(intent.item, intent.at);
      case "carry_board":
        return lifting.carry(intent.at);
      case "drop_board":
        return lifting.drop(intent.at);
      case "put_back_board":
        return lifting.drop(null);
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
      case "begin_line":
        return sketching.isOn() ? sketching.step("press", intent.at) : scribing.begin(intent.at);
      case "draw_line":
        return sketching.isOn() ? sketching.step("drag", intent.at, intent.free) : scribing.draw(intent.at, intent.free);
      case "end_line":
        return sketching.isOn() ? sketching.end() : scribing.end();
      case "give_up_line":
        return sketching.isOn() ? sketching.giveUp() : scribing.giveUp();
    }
  }

  return {
    inHand,
    sketching,
    painted: scribing.painted,
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
