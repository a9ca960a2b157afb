// The one machine that decides what pointers on the floor are doing. It is pure: it takes
// an input and gives the next state and what is wanted; it previews freely and commits once,
// on release. `cancel` and a second finger revert what was going on.

import { distance, middle, onScreen, type ScreenPoint } from "./points";
import { slop, type PointerInput, type Target, type Tool } from "./pointer";

interface Item {
  readonly id: string;
  readonly copy: number;
}

export type GestureState =
  | { readonly name: "idle" }
  | {
      readonly name: "pressed";
      readonly pointer: number;
      readonly tool: Tool;
      readonly from: ScreenPoint;
      readonly target: Target;
      readonly pan: boolean;
      readonly line: boolean;
    }
  | { readonly name: "panning"; readonly pointer: number; readonly last: ScreenPoint }
  | {
      readonly name: "pinching";
      readonly pointers: readonly [number, number];
      readonly points: readonly [ScreenPoint, ScreenPoint];
    }
  | { readonly name: "dragging_part"; readonly pointer: number; readonly item: Item }
  | { readonly name: "dragging_board"; readonly pointer: number; readonly item: Item }
  | { readonly name: "turning"; readonly pointer: number; readonly item: Item }
  | { readonly name: "drawing_line"; readonly pointer: number; readonly last: ScreenPoint };

export type Intent =
  | { readonly do: "choose"; readonly target: Target; readonly at: ScreenPoint }
  | { readonly do: "pan"; readonly dx: number; readonly dy: number }
  | { readonly do: "zoom"; readonly factor: number; readonly about: ScreenPoint }
  | { readonly do: "pick_up_part"; readonly item: Item; readonly at: ScreenPoint; readonly fromTrestle: boolean }
  | { readonly do: "carry_part"; readonly at: ScreenPoint; readonly free: boolean }
  | { readonly do: "drop_part"; readonly overTrestle: boolean }
  | { readonly do: "put_back_part" }
  | { readonly do: "pick_up_board"; readonly item: Item; readonly at: ScreenPoint }
  | { readonly do: "carry_board"; readonly at: ScreenPoint }
  | { readonly do: "drop_board"; readonly at: ScreenPoint }
  | { readonly do: "put_back_board" }
  | { readonly do: "begin_turn"; readonly item: Item; readonly at: ScreenPoint }
  | { readonly do: "turn_to"; readonly at: ScreenPoint; readonly free: boolean }
  | { readonly do: "end_turn" }
  | { readonly do: "cancel_turn" }
  | { readonly do: "begin_line"; readonly at: ScreenPoint }
  | { readonly do: "draw_line"; readonly at: ScreenPoint; readonly free: boolean }
  | { readonly do: "end_line" }
  | { readonly do: "give_up_line" };

type Step = readonly [GestureState, readonly Intent[]];

export const idle: GestureState = { name: "idle" };

/** True while something hangs on the pointer, so that undo and the like must wait. */
export function isBusy(state: GestureState): boolean {
  return ["dragging_part", "dragging_board", "turning", "drawing_line"].includes(state.name);
}

export function step(state: GestureState, input: PointerInput): Step {
  switch (input.type) {
    case "press":
      return pressed(state, input);
    case "move":
      return moved(state, input);
    case "release":
      return released(state, input);
    case "hold":
      return held(state, input.pointer);
    case "cancel":
      return [idle, revert(state)];
  }
}

function pressed(state: GestureState, input: PointerInput & { type: "press" }): Step {
  if (state.name === "idle") {
    const { pointer, tool, at, target, pan, line } = input;
    return [{ name: "pressed", pointer, tool, from: at, target, pan, line }, []];
  }
  const first = restingPoint(state);
  if (input.tool === "touch" && first !== null && first.pointer !== input.pointer) {
    return [
      { name: "pinching", pointers: [first.pointer, input.pointer], points: [first.at, input.at] },
      revert(state),
    ];
  }
  return [state, []];
}

/** The finger that a second one can pinch with. A part that is being carried is not let go; a line is given up. */
function restingPoint(state: GestureState): { pointer: number; at: ScreenPoint } | null {
  if (state.name === "pressed") return { pointer: state.pointer, at: state.from };
  if (state.name === "panning" || state.name === "drawing_line") return { pointer: state.pointer, at: state.last };
  return null;
}

function moved(state: GestureState, input: PointerInput & { type: "move" }): Step {
  switch (state.name) {
    case "idle":
      return [state, []];
    case "pressed":
      if (input.pointer !== state.pointer || distance(state.from, input.at) < slop(state.tool)) return [state, []];
      return begin(state, input.at, input.free);
    case "panning":
      if (input.pointer !== state.pointer) return [state, []];
      return [
        { ...state, last: input.at },
        [{ do: "pan", dx: input.at.x - state.last.x, dy: input.at.y - state.last.y }],
      ];
    case "pinching":
      return pinched(state, input);
    case "dragging_part":
      return input.pointer === state.pointer ? [state, [{ do: "carry_part", at: input.at, free: input.free }]] : [state, []];
    case "dragging_board":
      return input.pointer === state.pointer ? [state, [{ do: "carry_board", at: input.at }]] : [state, []];
    case "turning":
      return input.pointer === state.pointer ? [state, [{ do: "turn_to", at: input.at, free: input.free }]] : [state, []];
    case "drawing_line":
      return input.pointer === state.pointer
        ? [{ ...state, last: input.at }, [{ do: "draw_line", at: input.at, free: input.free }]]
        : [state, []];
  }
}

/** A press becomes a drag: which one depends on what lies under it and what pressed it. */
function begin(state: GestureState & { name: "pressed" }, at: ScreenPoint, free: boolean): Step {
  const { pointer, target, from } = state;
  const pan: Step = [
    { name: "panning", pointer, last: at },
    [{ do: "pan", dx: at.x - from.x, dy: at.y - from.y }],
  ];
  if (state.pan) return pan;
  if (state.line) {
    return [
      { name: "drawing_line", pointer, last: at },
      [{ do: "begin_line", at: from }, { do: "draw_line", at, free }],
    ];
  }
  switch (target.kind) {
    case "floor":
      return pan;
    case "part": {
      // A finger on a part that is not chosen may just want to move the picture.
      if (state.tool === "touch" && !target.chosen) return pan;
      return pickUpPart(pointer, target, from, at, free, false);
    }
    case "trestle":
      return pickUpPart(pointer, target, from, at, free, true);
    case "board": {
      // Boards fill the floor: they move by their name, or once chosen; else the picture moves.
      if (!target.handle && !target.chosen) return pan;
      const item = { id: target.id, copy: target.copy };
      return [
        { name: "dragging_board", pointer, item },
        [{ do: "pick_up_board", item, at: from }, { do: "carry_board", at }],
      ];
    }
    case "turn_handle": {
      const item = { id: target.id, copy: target.copy };
      return [
        { name: "turning", pointer, item },
        [{ do: "begin_turn", item, at: from }, { do: "turn_to", at, free }],
      ];
    }
  }
}

function pickUpPart(
  pointer: number,
  target: Item,
  from: ScreenPoint,
  at: ScreenPoint,
  free: boolean,
  fromTrestle: boolean,
): Step {
  const item = { id: target.id, copy: target.copy };
  return [
    { name: "dragging_part", pointer, item },
    [{ do: "pick_up_part", item, at: from, fromTrestle }, { do: "carry_part", at, free }],
  ];
}

function held(state: GestureState, pointer: number): Step {
  if (state.name !== "pressed" || state.pointer !== pointer || state.pan || state.line) return [state, []];
  if (state.target.kind === "part" || state.target.kind === "trestle") {
    return pickUpPart(pointer, state.target, state.from, state.from, false, state.target.kind === "trestle");
  }
  if (state.target.kind === "board") {
    const item = { id: state.target.id, copy: state.target.copy };
    return [{ name: "dragging_board", pointer, item }, [{ do: "pick_up_board", item, at: state.from }]];
  }
  return [state, []];
}

function pinched(state: GestureState & { name: "pinching" }, input: PointerInput & { type: "move" }): Step {
  const index = state.pointers.indexOf(input.pointer);
  if (index < 0) return [state, []];
  const [a, b] = state.points;
  const points: readonly [ScreenPoint, ScreenPoint] = index === 0 ? [input.at, b] : [a, input.at];
  const was = middle(a, b);
  const now = middle(points[0], points[1]);
  const before = Math.max(distance(a, b), 1);
  const after = Math.max(distance(points[0], points[1]), 1);
  return [
    { ...state, points },
    [
      { do: "pan", dx: now.x - was.x, dy: now.y - was.y },
      { do: "zoom", factor: after / before, about: onScreen(now.x, now.y) },
    ],
  ];
}

function released(state: GestureState, input: PointerInput & { type: "release" }): Step {
  switch (state.name) {
    case "idle":
      return [state, []];
    case "pinching": {
      const index = state.pointers.indexOf(input.pointer);
      if (index < 0) return [state, []];
      const other = index === 0 ? 1 : 0;
      return [{ name: "panning", pointer: state.pointers[other], last: state.points[other] }, []];
    }
    case "pressed":
      return input.pointer === state.pointer ? [idle, [{ do: "choose", target: state.target, at: state.from }]] : [state, []];
    case "panning":
      return input.pointer === state.pointer ? [idle, []] : [state, []];
    case "dragging_part":
      return input.pointer === state.pointer ? [idle, [{ do: "drop_part", overTrestle: input.overTrestle }]] : [state, []];
    case "dragging_board":
      return input.pointer === state.pointer ? [idle, [{ do: "drop_board", at: input.at }]] : [state, []];
    case "turning":
      return input.pointer === state.pointer ? [idle, [{ do: "end_turn" }]] : [state, []];
    case "drawing_line":
      return input.pointer === state.pointer ? [idle, [{ do: "end_line" }]] : [state, []];
  }
}

function revert(state: GestureState): readonly Intent[] {
  switch (state.name) {
    case "dragging_part":
      return [{ do: "put_back_part" }];
    case "dragging_board":
      return [{ do: "put_back_board" }];
    case "turning":
      return [{ do: "cancel_turn" }];
    case "drawing_line":
      return [{ do: "give_up_line" }];
    default:
      return [];
  }
}
