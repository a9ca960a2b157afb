// The floor's gesture machine by itself: no page, only inputs and what they lead to.

import { expect, test } from "@playwright/test";

import { idle, isBusy, step, type GestureState, type Intent } from "../../web/src/gestures/floor-gesture";
import type { PointerInput, Target } from "../../web/src/gestures/pointer";
import { onScreen, type FloorPoint, type ScreenPoint } from "../../web/src/gestures/points";
import { fitted, revealing, toFloor, zoomed, type Viewport } from "../../web/src/gestures/viewport";

/** The other way round than the page needs it. */
const toScreen = (view: Viewport, at: FloorPoint): ScreenPoint => onScreen(at.x * view.scale + view.x, at.y * view.scale + view.y);

const floor: Target = { kind: "floor" };
const part = (chosen = false): Target => ({ kind: "part", id: "leg", copy: 2, chosen });
const board = (chosen = false, handle = false): Target => ({ kind: "board", id: "A", copy: 1, chosen, handle });

function hand(tool: "mouse" | "touch" = "mouse") {
  let state: GestureState = idle;
  const intents: Intent[] = [];
  const feed = (input: PointerInput): void => {
    const [next, more] = step(state, input);
    state = next;
    intents.push(...more);
  };
  return {
    press: (x: number, y: number, target: Target, pointer = 1, { pan = false, line = false } = {}) =>
      feed({ type: "press", pointer, tool, at: onScreen(x, y), target, pan, line }),
    move: (x: number, y: number, pointer = 1) => feed({ type: "move", pointer, at: onScreen(x, y), free: false }),
    release: (x: number, y: number, overTrestle = false, pointer = 1) =>
      feed({ type: "release", pointer, at: onScreen(x, y), overTrestle }),
    hold: (pointer = 1) => feed({ type: "hold", pointer }),
    cancel: () => feed({ type: "cancel" }),
    name: () => state.name,
    busy: () => isBusy(state),
    done: () => intents.map((intent) => intent.do),
    last: () => intents.at(-1),
  };
}

test("a press and release without a move chooses", () => {
  const mouse = hand();
  mouse.press(10, 10, part());
  mouse.move(12, 11);
  mouse.release(12, 11);
  expect(mouse.done()).toEqual(["choose"]);
  expect(mouse.name()).toBe("idle");
});

test("a mouse drags a part and commits once", () => {
  const mouse = hand();
  mouse.press(10, 10, part());
  mouse.move(30, 10);
  expect(mouse.busy()).toBe(true);
  mouse.move(60, 20);
  mouse.release(60, 20);
  expect(mouse.done()).toEqual(["pick_up_part", "carry_part", "carry_part", "drop_part"]);
});

test("a part let go over the trestle goes there", () => {
  const mouse = hand();
  mouse.press(10, 10, part());
  mouse.move(30, 300);
  mouse.release(30, 600, true);
  expect(mouse.last()).toEqual({ do: "drop_part", overTrestle: true });
});

test("cancel puts a part back and commits nothing", () => {
  const mouse = hand();
  mouse.press(10, 10, part());
  mouse.move(90, 90);
  mouse.cancel();
  mouse.release(90, 90);
  expect(mouse.done()).toEqual(["pick_up_part", "carry_part", "put_back_part"]);
  expect(mouse.name()).toBe("idle");
});

test("a finger moves the picture over a part that is not chosen, and carries one that is", () => {
  const first = hand("touch");
  first.press(10, 10, part(false));
  first.move(40, 10);
  expect(first.name()).toBe("panning");
  const second = hand("touch");
  second.press(10, 10, part(true));
  second.move(40, 10);
  expect(second.name()).toBe("dragging_part");
});

test("a finger that rests on a part picks it up", () => {
  const finger = hand("touch");
  finger.press(10, 10, part());
  finger.hold();
  expect(finger.name()).toBe("dragging_part");
  finger.release(10, 10);
  expect(finger.done()).toEqual(["pick_up_part", "carry_part", "drop_part"]);
});

test("a board moves by its name or once it is chosen; else the picture moves", () => {
  const plain = hand();
  plain.press(10, 10, board());
  plain.move(60, 10);
  expect(plain.name()).toBe("panning");
  for (const target of [board(true), board(false, true)]) {
    const mouse = hand();
    mouse.press(10, 10, target);
    mouse.move(60, 10);
    mouse.release(70, 10);
    expect(mouse.done()).toEqual(["pick_up_board", "carry_board", "drop_board"]);
  }
});

test("the middle button or the space bar moves the picture whatever lies there", () => {
  const mouse = hand();
  mouse.press(10, 10, part(true), 1, { pan: true });
  mouse.move(60, 10);
  expect(mouse.name()).toBe("panning");
});

test("two fingers pinch: the picture follows their middle and their distance", () => {
  const fingers = hand("touch");
  fingers.press(100, 100, floor, 1);
  fingers.press(200, 100, floor, 2);
  expect(fingers.name()).toBe("pinching");
  fingers.move(300, 100, 2);
  expect(fingers.last()).toMatchObject({ do: "zoom", factor: 2 });
  fingers.release(300, 100, false, 2);
  expect(fingers.name()).toBe("panning");
  fingers.release(100, 100, false, 1);
  expect(fingers.name()).toBe("idle");
});

test("a second finger does not let go of what is carried", () => {
  const fingers = hand("touch");
  fingers.press(100, 100, part(true), 1);
  fingers.move(150, 100, 1);
  fingers.press(300, 300, floor, 2);
  expect(fingers.name()).toBe("dragging_part");
});

test("another pointer's moves and release mean nothing", () => {
  const mouse = hand();
  mouse.press(10, 10, part());
  mouse.move(90, 90, 7);
  mouse.release(90, 90, false, 7);
  expect(mouse.name()).toBe("pressed");
  expect(mouse.done()).toEqual([]);
});

test("the turn handle turns, ends once, and can be cancelled", () => {
  const target: Target = { kind: "turn_handle", id: "leg", copy: 2 };
  const mouse = hand();
  mouse.press(10, 10, target);
  mouse.move(10, 40);
  mouse.release(10, 40);
  expect(mouse.done()).toEqual(["begin_turn", "turn_to", "end_turn"]);
  const other = hand();
  other.press(10, 10, target);
  other.move(10, 40);
  other.cancel();
  expect(other.done()).toEqual(["begin_turn", "turn_to", "cancel_turn"]);
});

test("where a cut is asked for a drag draws its line, whatever lies there, and commits once", () => {
  for (const target of [floor, part(true), board(true, true)]) {
    const mouse = hand();
    mouse.press(10, 10, target, 1, { line: true });
    expect(mouse.busy()).toBe(false);
    mouse.move(40, 60);
    expect(mouse.busy()).toBe(true);
    mouse.move(44, 90);
    mouse.release(44, 90);
    expect(mouse.done()).toEqual(["begin_line", "draw_line", "draw_line", "end_line"]);
    expect(mouse.name()).toBe("idle");
  }
  const pan = hand();
  pan.press(10, 10, board(), 1, { line: true, pan: true });
  pan.move(60, 10);
  expect(pan.name()).toBe("panning");
});

test("a line that is drawn can be given up, and a second finger gives it up for a pinch", () => {
  const mouse = hand();
  mouse.press(10, 10, floor, 1, { line: true });
  mouse.move(40, 60);
  mouse.cancel();
  mouse.release(40, 60);
  expect(mouse.done()).toEqual(["begin_line", "draw_line", "give_up_line"]);
  const fingers = hand("touch");
  fingers.press(100, 100, part(), 1, { line: true });
  fingers.hold();
  expect(fingers.name()).toBe("pressed");
  fingers.move(130, 100, 1);
  fingers.press(200, 100, floor, 2, { line: true });
  expect(fingers.name()).toBe("pinching");
  expect(fingers.last()).toEqual({ do: "give_up_line" });
});

test("zooming leaves what lies under the pointer where it is, within its limits", () => {
  const view = { scale: 0.4, x: 90, y: 60 };
  const at = onScreen(321, 123);
  const before = toFloor(view, at);
  for (const factor of [0.5, 1.3, 3, 1000, 0.0001]) {
    const next = zoomed(view, factor, at);
    const after = toScreen(next, before);
    expect(after.x).toBeCloseTo(at.x, 6);
    expect(after.y).toBeCloseTo(at.y, 6);
    expect(next.scale).toBeGreaterThanOrEqual(0.02);
    expect(next.scale).toBeLessThanOrEqual(8);
  }
});

test("fitting shows all of a box in the free room; revealing moves no more than it must", () => {
  const room = { left: 20, top: 40, width: 800, height: 500 };
  const box = { x: -160, y: -20, width: 2800, height: 1500 };
  const view = fitted(box, room);
  const corner = toScreen(view, toFloor(view, onScreen(0, 0)));
  expect(corner.x).toBeCloseTo(0, 6);
  const left = box.x * view.scale + view.x;
  const right = (box.x + box.width) * view.scale + view.x;
  const bottom = (box.y + box.height) * view.scale + view.y;
  expect(left).toBeGreaterThanOrEqual(room.left - 1e-6);
  expect(right).toBeLessThanOrEqual(room.left + room.width + 1e-6);
  expect(bottom).toBeLessThanOrEqual(room.top + room.height + 1e-6);
  expect(revealing(view, { x: 0, y: 0, width: 10, height: 10 }, room)).toEqual(view);
  const moved = revealing(view, { x: 5000, y: 0, width: 10, height: 10 }, room);
  expect(moved.scale).toBe(view.scale);
  expect((5010) * moved.scale + moved.x).toBeLessThanOrEqual(room.left + room.width + 1e-6);
});
