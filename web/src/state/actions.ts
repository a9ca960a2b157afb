// Everything a person can do, once: buttons, menu, keys, the list of keys and the tests
// all take it from here.

import type { App } from "./app";
import type { Key } from "./keys";

export type Group = "places" | "work" | "floor" | "part" | "board" | "plan" | "file" | "page";

export interface Action {
  readonly id: string;
  readonly group: Group;
  readonly label: (app: App) => string;
  /** The first is shown; all of them work. */
  readonly keys: readonly Key[];
  readonly enabled: (app: App) => boolean;
  readonly run: (app: App) => void;
}

export const groupNames: Record<Group, string> = {
  places: "The four places",
  work: "Going back and forth",
  part: "The chosen part",
  board: "Boards and parts",
  plan: "Setting out",
  floor: "The floor",
  file: "Files and paper",
  page: "The page",
};

const always = (): boolean => true;
const named = (label: string) => (): string => label;
const key = (name: string): Key => ({ key: name });
const ctrl = (name: string): Key => ({ key: name, ctrl: true });
const shift = (name: string): Key => ({ key: name, shift: true });

/** The chosen part, where it lies on a board. */
function placedPart(app: App): { id: string; copy: number } | null {
  const chosen = app.desk.chosen.value;
  const selection = app.desk.state.value.selection;
  if (chosen?.kind !== "part" || selection === null || !selection.placed) return null;
  return chosen.of;
}

function chosenPart(app: App): { id: string; copy: number } | null {
  const chosen = app.desk.chosen.value;
  return chosen?.kind === "part" ? chosen.of : null;
}

function chosenBoard(app: App): { id: string; copy: number } | null {
  const chosen = app.desk.chosen.value;
  return chosen?.kind === "board" ? chosen.of : null;
}

function hand(app: App): boolean {
  return !app.handBusy();
}

function turning(id: string, label: string, keys: readonly Key[], degrees: number): Action {
  return {
    id,
    group: "part",
    label: named(label),
    keys,
    enabled: (app) => placedPart(app) !== null && hand(app),
    run(app) {
      const part = placedPart(app);
      if (part !== null) app.ticks.before({ part }, () => app.desk.change((session) => session.turn(part.id, part.copy, degrees)));
    },
  };
}

function nudging(id: string, label: string, keys: readonly Key[], dx: number, dy: number): Action {
  return {
    id,
    group: "part",
    label: named(label),
    keys,
    enabled: (app) => placedPart(app) !== null && hand(app),
    run(app) {
      const part = placedPart(app);
      if (part !== null) app.ticks.before({ part }, () => app.floor.nudge(part, dx, dy));
    },
  };
}

export const actions: readonly Action[] = [
  {
    id: "go-timber",
    group: "places",
    label: named("Timber"),
    keys: [key("1")],
    enabled: always,
    run: (app) => app.desk.goTo("timber"),
  },
  {
    id: "go-piece",
    group: "places",
    label: named("Piece"),
    keys: [key("2")],
    enabled: always,
    run: (app) => app.desk.goTo("piece"),
  },
  {
    id: "go-setting-out",
    group: "places",
    label: named("Setting out"),
    keys: [key("3")],
    enabled: always,
    run: (app) => app.desk.goTo("setting_out"),
  },
  {
    id: "go-bench",
    group: "places",
    label: named("Bench"),
    keys: [key("4")],
    enabled: always,
    run: (app) => app.desk.goTo("bench"),
  },

  {
    id: "undo",
    group: "work",
    label: (app) => labelled("Undo", app.desk.state.value.undo),
    keys: [ctrl("z")],
    enabled: (app) => app.desk.state.value.undo !== null && hand(app) && !app.settingOut.running.value,
    run(app) {
      app.files.undo();
      app.floor.revealChanged();
    },
  },
  {
    id: "redo",
    group: "work",
    label: (app) => labelled("Redo", app.desk.state.value.redo),
    keys: [{ key: "z", ctrl: true, shift: true }, ctrl("y")],
    enabled: (app) => app.desk.state.value.redo !== null && hand(app) && !app.settingOut.running.value,
    run(app) {
      app.files.redo();
      app.floor.revealChanged();
    },
  },

  turning("turn-left", "Turn a quarter, left", [key("r")], 90),
  turning("turn-right", "Turn a quarter, right", [shift("r")], -90),
  turning("turn-little-left", "Turn a little, left", [key("[")], 0.5),
  turning("turn-little-right", "Turn a little, right", [key("]")], -0.5),
  {
    id: "turn-over",
    group: "part",
    label: named("Turn over"),
    keys: [key("f")],
    enabled: (app) => placedPart(app) !== null && hand(app),
    run(app) {
      const part = placedPart(app);
      if (part !== null) app.ticks.before({ part }, () => app.desk.change((session) => session.turn_over(part.id, part.copy)));
    },
  },
  {
    id: "pin",
    group: "part",
    label: (app) => (app.desk.state.value.selection?.pinned === true ? "Let it move again" : "Keep it here"),
    keys: [key("p")],
    enabled: (app) => placedPart(app) !== null && hand(app),
    run(app) {
      const part = placedPart(app);
      const on = app.desk.state.value.selection?.pinned !== true;
      if (part !== null) app.desk.change((session) => session.pin(part.id, part.copy, on));
    },
  },
  {
    id: "to-trestle",
    group: "part",
    label: named("Put on the trestle"),
    keys: [key("t"), key("Delete"), key("Backspace")],
    enabled: (app) => placedPart(app) !== null && hand(app),
    run(app) {
      const part = placedPart(app);
      if (part !== null) app.ticks.before({ part }, () => app.desk.change((session) => session.to_trestle(part.id, part.copy)));
    },
  },
  {
    id: "saw-by-line",
    group: "part",
    label: named("Saw it by line"),
    keys: [key("l")],
    enabled: (app) => chosenPart(app) !== null && app.desk.state.value.selection?.sawn === false && hand(app),
    run(app) {
      const part = chosenPart(app);
      if (part !== null) app.ticks.before({ part }, () => app.desk.change((session) => session.saw_by_line(part.id, part.copy)));
    },
  },
  nudging("nudge-left", "Move 1 mm left", [key("ArrowLeft")], -1, 0),
  nudging("nudge-right", "Move 1 mm right", [key("ArrowRight")], 1, 0),
  nudging("nudge-up", "Move 1 mm up", [key("ArrowUp")], 0, -1),
  nudging("nudge-down", "Move 1 mm down", [key("ArrowDown")], 0, 1),
  nudging("push-left", "Move 10 mm left", [shift("ArrowLeft")], -10, 0),
  nudging("push-right", "Move 10 mm right", [shift("ArrowRight")], 10, 0),
  nudging("push-up", "Move 10 mm up", [shift("ArrowUp")], 0, -10),
  nudging("push-down", "Move 10 mm down", [shift("ArrowDown")], 0, 10),

  {
    id: "add-board",
    group: "board",
    label: named("Add a board"),
    keys: [key("b")],
    enabled: always,
    run(app) {
      app.desk.goTo("timber");
      app.desk.add("board");
    },
  },
  {
    id: "add-part",
    group: "board",
    label: named("Add a part"),
    keys: [key("n")],
    enabled: always,
    run(app) {
      app.desk.goTo("piece");
      app.desk.add("part");
    },
  },
  {
    id: "paste-parts",
    group: "board",
    label: named("Type or paste a list"),
    keys: [shift("v")],
    enabled: always,
    run: (app) => (app.dialog.value = "paste"),
  },
  {
    id: "duplicate",
    group: "board",
    label: named("Add another like it"),
    keys: [key("d")],
    enabled: (app) => app.desk.state.value.selection?.thing != null || app.desk.opened.value !== null,
    run(app) {
      const thing = app.desk.opened.value?.thing ?? app.desk.state.value.selection?.thing;
      if (thing == null) return;
      app.desk.another(thing);
    },
  },
  {
    id: "open-chosen",
    group: "board",
    label: named("Open what is chosen"),
    keys: [key("e")],
    enabled: (app) => app.desk.state.value.selection?.thing != null,
    run(app) {
      const thing = app.desk.state.value.selection?.thing;
      if (thing == null) return;
      app.desk.goTo(thing.kind === "board" ? "timber" : "piece");
      app.desk.openForm(thing);
    },
  },
  {
    id: "workshop",
    group: "board",
    label: named("Workshop: saws, kerfs, trim, allowances"),
    keys: [key("w")],
    enabled: always,
    run: (app) => (app.dialog.value = "workshop"),
  },

  {
    id: "set-out",
    group: "plan",
    label: (app) =>
      app.settingOut.running.value ? "Stop" : app.settingOut.canGoOn.value ? "Keep improving" : "Set out",
    keys: [key("s")],
    enabled: (app) => app.settingOut.running.value || app.desk.hasWork.value,
    run(app) {
      if (app.settingOut.running.value) {
        app.settingOut.stop();
        return;
      }
      app.ticks.before("all", () => {
        // Who sets out is under way, and the first steps would only cover the boards.
        app.firstSteps.value = false;
        app.desk.goTo("setting_out");
        app.settingOut.start();
      });
    },
  },
  {
    id: "clear-plan",
    group: "plan",
    label: named("Take everything off the boards"),
    keys: [shift("t")],
    enabled: (app) => app.desk.state.value.plan !== null && !app.settingOut.running.value,
    run: (app) => app.ticks.before("all", () => app.desk.change((session) => session.clear_plan())),
  },
  {
    id: "keep-plan",
    group: "plan",
    label: named("Keep this plan"),
    keys: [key("k")],
    enabled: (app) => app.desk.state.value.plan !== null && !app.settingOut.running.value,
    run: (app) => (app.dialog.value = "keep"),
  },
  {
    id: "compare",
    group: "plan",
    label: named("Compare two plans"),
    keys: [key("c")],
    enabled: (app) => app.desk.state.value.kept.length > 0,
    run: (app) => (app.dialog.value = "compare"),
  },

  {
    id: "fit",
    group: "floor",
    label: named("Show the whole floor"),
    keys: [key("0")],
    enabled: always,
    run: (app) => app.floor.fit(),
  },
  {
    id: "closer",
    group: "floor",
    label: named("Closer"),
    keys: [key("+"), key("=")],
    enabled: always,
    run: (app) => app.floor.zoom(1.25),
  },
  {
    id: "farther",
    group: "floor",
    label: named("Farther"),
    keys: [key("-")],
    enabled: always,
    run: (app) => app.floor.zoom(0.8),
  },
  {
    id: "let-go",
    group: "floor",
    label: named("Let go"),
    keys: [key("Escape")],
    enabled: (app) => app.handBusy() || app.desk.chosen.value !== null || app.desk.notice.value !== null,
    run: (app) => app.letGo(),
  },

  {
    id: "save",
    group: "file",
    label: named("Save a file"),
    keys: [ctrl("s")],
    enabled: always,
    run: (app) => app.files.save(),
  },
  {
    id: "open",
    group: "file",
    label: named("Open a file"),
    keys: [ctrl("o")],
    enabled: hand,
    run: (app) => void app.files.choose(),
  },
  {
    id: "new-job",
    group: "file",
    label: named("New job"),
    keys: [shift("n")],
    enabled: hand,
    run: (app) => void app.files.newJob(),
  },
  {
    id: "kept-jobs",
    group: "file",
    label: named("Jobs kept in this browser"),
    keys: [shift("j")],
    enabled: always,
    run: (app) => (app.dialog.value = "shelf"),
  },
  {
    id: "svg-board",
    group: "file",
    label: named("Drawing of the chosen board (SVG)"),
    keys: [shift("b")],
    enabled: (app) => boardToDraw(app) !== null,
    run(app) {
      const board = boardToDraw(app);
      if (board !== null) app.files.svgOf(board);
    },
  },
  {
    id: "svg-all",
    group: "file",
    label: named("Drawing of all boards (SVG)"),
    keys: [shift("a")],
    enabled: (app) => app.desk.state.value.boards.length > 0,
    run: (app) => app.files.svgOfAll(),
  },
  {
    id: "print",
    group: "file",
    label: named("Print"),
    keys: [ctrl("p")],
    // Its window says so where there is nothing to print.
    enabled: always,
    run: (app) => (app.dialog.value = "print"),
  },

  {
    id: "units",
    group: "page",
    label: (app) => (app.desk.state.value.units === "in" ? "Lengths in millimetres" : "Lengths in inches"),
    keys: [key("u")],
    enabled: always,
    run(app) {
      const next = app.desk.state.value.units === "in" ? "mm" : "in";
      app.desk.set({ kind: "job", row: 0, index: null, of_part: false }, "units.length", next);
    },
  },
  {
    id: "theme",
    group: "page",
    label: (app) => (app.theme.dark.value ? "Light paper" : "Dark slate"),
    keys: [shift("d")],
    enabled: always,
    run: (app) => app.theme.toggle(),
  },
  {
    id: "keys",
    group: "page",
    label: named("Keys"),
    keys: [key("?")],
    enabled: always,
    run: (app) => (app.dialog.value = "keys"),
  },
  {
    id: "kept",
    group: "page",
    label: named("Is my work kept?"),
    keys: [shift("k")],
    enabled: always,
    run: (app) => (app.dialog.value = "keeping"),
  },
  {
    id: "about",
    group: "page",
    label: named("About"),
    keys: [shift("i")],
    enabled: always,
    run: (app) => (app.dialog.value = "about"),
  },
  {
    id: "menu",
    group: "page",
    label: named("More"),
    keys: [key("m")],
    enabled: always,
    run: (app) => (app.dialog.value = app.dialog.value === "menu" ? null : "menu"),
  },
];

function labelled(verb: string, what: string | null): string {
  return what === null ? verb : `${verb}: ${what}`;
}

function boardToDraw(app: App): { id: string; copy: number } | null {
  const selection = app.desk.state.value.selection;
  return chosenBoard(app) ?? (selection?.board ?? null);
}

const byId = new Map(actions.map((action) => [action.id, action]));

export function actionOf(id: string): Action {
  const action = byId.get(id);
  if (action === undefined) throw new Error(`there is no action "${id}"`);
  return action;
}
