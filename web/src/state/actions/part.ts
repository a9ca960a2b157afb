// What is done to the chosen part.

import type { CopyOf } from "../../protocol/generated";
import { text } from "../../text";
import type { App } from "../app";
import { handIsFree, inGroup, key, shift, type Action, type ActionId, type Key, type Written } from "./action";

function chosenPart(app: App): CopyOf | null {
  const chosen = app.desk.chosen.value;
  return chosen?.kind === "part" ? chosen.of : null;
}

/** The chosen part, where it lies on a board. */
function placedPart(app: App): CopyOf | null {
  return app.desk.state.value.selection?.placed === true ? chosenPart(app) : null;
}

type Moving = Written & Pick<Action, "enabled">;

/** Moves the chosen part about on the floor. */
function moving(id: ActionId, keys: readonly Key[], move: (app: App, part: CopyOf) => void): Moving {
  return {
    id,
    keys,
    enabled: (app) => placedPart(app) !== null && handIsFree(app),
    run(app) {
      const part = placedPart(app);
      if (part !== null) move(app, part);
    },
  };
}

const turning = (id: ActionId, wanted: Key, degrees: number): Written =>
  moving(id, [wanted], (app, part) => app.desk.change((session) => session.turn(part.id, part.copy, degrees)));

/** The same key for the chosen point, while something is drawn. */
function drawnToo(ofPart: Moving, ofPoint: (app: App) => void): Written {
  return {
    ...ofPart,
    enabled: (app) => app.drawing.seen.value?.chosen ?? ofPart.enabled(app),
    run: (app) => (app.drawing.seen.value === null ? ofPart.run(app) : ofPoint(app)),
  };
}

const nudging = (id: ActionId, wanted: Key, dx: number, dy: number): Written =>
  drawnToo(
    moving(id, [wanted], (app, part) => app.floor.nudge(part, dx, dy)),
    (app) => app.drawing.nudge(dx, -dy),
  );

export const partActions: readonly Action[] = inGroup("part", [
  turning("turn-left", key("r"), 90),
  turning("turn-right", shift("r"), -90),
  turning("turn-little-left", key("["), 0.5),
  turning("turn-little-right", key("]"), -0.5),
  moving("turn-over", [key("f")], (app, part) => app.desk.change((session) => session.turn_over(part.id, part.copy))),
  {
    id: "pin",
    label: (app) => (app.desk.state.value.selection?.pinned === true ? text.instead.unpin : text.actions.pin),
    keys: [key("p")],
    enabled: (app) => placedPart(app) !== null && handIsFree(app),
    run(app) {
      const part = placedPart(app);
      const on = app.desk.state.value.selection?.pinned !== true;
      if (part !== null) app.desk.change((session) => session.pin(part.id, part.copy, on));
    },
  },
  drawnToo(
    moving("to-trestle", [key("t"), key("Delete"), key("Backspace")], (app, part) =>
      app.desk.change((session) => session.to_trestle(part.id, part.copy)),
    ),
    (app) => app.drawing.order("remove"),
  ),
  {
    id: "saw-by-line",
    keys: [key("l")],
    enabled: (app) => chosenPart(app) !== null && app.desk.state.value.selection?.sawn === false && handIsFree(app),
    run(app) {
      const part = chosenPart(app);
      if (part !== null) app.desk.change((session) => session.saw_by_line(part.id, part.copy));
    },
  },
  nudging("nudge-left", key("ArrowLeft"), -1, 0),
  nudging("nudge-right", key("ArrowRight"), 1, 0),
  nudging("nudge-up", key("ArrowUp"), 0, -1),
  nudging("nudge-down", key("ArrowDown"), 0, 1),
  nudging("push-left", shift("ArrowLeft"), -10, 0),
  nudging("push-right", shift("ArrowRight"), 10, 0),
  nudging("push-up", shift("ArrowUp"), 0, -10),
  nudging("push-down", shift("ArrowDown"), 0, 10),
]);
