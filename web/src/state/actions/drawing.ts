// Outlines, marked areas and grain, drawn on the floor.

import type { DrawWhat, Thing } from "../../protocol/generated";
import { text } from "../../text";
import type { App } from "../app";
import { inGroup, key, type Action, type ActionId, type Written } from "./action";

/** The board, or the marked area, whose form is open; else the chosen board. */
function toDraw(app: App): Thing | null {
  const { opened, state } = app.desk;
  const thing = opened.value?.thing ?? state.value.selection?.thing ?? null;
  return thing?.kind === "board" || thing?.kind === "zone" ? thing : null;
}

/** Only an area is drawn again where its form is open; the others are of its board. */
function beginning(id: ActionId, name: string, what: DrawWhat): Written {
  return {
    id,
    keys: [key(name)],
    enabled: (app) => app.drawing.seen.value === null && toDraw(app) !== null,
    run(app) {
      const thing = toDraw(app);
      if (thing === null) return;
      const board: Thing = { kind: "board", row: thing.row ?? 0, index: null, of_part: false };
      const mark = app.marking.peek();
      app.marking.value = null;
      app.drawing.begin(what === "area" && mark === null ? thing : board, what, mark);
    },
  };
}

const isDrawn = (app: App): boolean => app.drawing.seen.value !== null;

export const drawingActions: readonly Action[] = inGroup("drawing", [
  beginning("draw-outline", "j", "outline"),
  {
    ...beginning("draw-area", "a", "area"),
    label: (app) => (toDraw(app)?.kind === "zone" && app.marking.value === null ? text.instead.drawThisArea : text.actions["draw-area"]),
  },
  beginning("draw-grain", "v", "grain"),
  { id: "draw-done", keys: [key("Enter")], enabled: isDrawn, run: (app) => app.drawing.take() },
  {
    id: "draw-close",
    keys: [key("z")],
    label: (app) => (app.drawing.seen.value?.what === "grain" ? text.instead.endLine : text.actions["draw-close"]),
    enabled: (app) => app.drawing.seen.value?.open === true,
    run: (app) => app.drawing.order("close"),
  },
  { id: "draw-before", keys: [key(",")], enabled: isDrawn, run: (app) => app.drawing.order("before") },
  { id: "draw-next", keys: [key(".")], enabled: isDrawn, run: (app) => app.drawing.order("next") },
]);
