// Where one goes, what one takes back, how the floor is seen, files and paper, and the page itself.

import type { CopyOf } from "../../protocol/generated";
import { text } from "../../text";
import type { App } from "../app";
import { WHOLE_JOB } from "../drafts";
import { ctrl, handIsFree, inGroup, key, photosOf, shift, type Action } from "./action";

const named = (name: string, step: string | null): string => (step === null ? name : text.instead.step(name, step));

function boardToDraw(app: App): CopyOf | null {
  const chosen = app.desk.chosen.value;
  return chosen?.kind === "board" ? chosen.of : (app.desk.state.value.selection?.board ?? null);
}

export const placesActions: readonly Action[] = inGroup("places", [
  {
    id: "go-timber",
    keys: [key("1")],
    run: (app) => app.desk.goTo("timber"),
  },
  {
    id: "go-piece",
    keys: [key("2")],
    run: (app) => app.desk.goTo("piece"),
  },
  {
    id: "go-setting-out",
    keys: [key("3")],
    run: (app) => app.desk.goTo("setting_out"),
  },
  {
    id: "go-bench",
    keys: [key("4")],
    run: (app) => app.desk.goTo("bench"),
  },
]);

export const workActions: readonly Action[] = inGroup("work", [
  {
    id: "undo",
    label: (app) => named(text.actions.undo, app.drawing.seen.value === null ? app.desk.state.value.undo : null),
    keys: [ctrl("z")],
    enabled: (app) => app.drawing.seen.value?.back ?? (app.desk.state.value.undo !== null && handIsFree(app) && !app.settingOut.running.value),
    run(app) {
      if (app.drawing.seen.value !== null) return app.drawing.back();
      app.files.undo();
      app.floor.revealChanged();
    },
  },
  {
    id: "redo",
    label: (app) => named(text.actions.redo, app.drawing.seen.value === null ? app.desk.state.value.redo : null),
    keys: [{ key: "z", ctrl: true, shift: true }, ctrl("y")],
    enabled: (app) => app.drawing.seen.value?.forward ?? (app.desk.state.value.redo !== null && handIsFree(app) && !app.settingOut.running.value),
    run(app) {
      if (app.drawing.seen.value !== null) return app.drawing.order("forward");
      app.files.redo();
      app.floor.revealChanged();
    },
  },
]);

export const floorActions: readonly Action[] = inGroup("floor", [
  {
    id: "fit",
    keys: [key("0")],
    run: (app) => app.floor.fit(),
  },
  {
    id: "closer",
    keys: [key("+"), key("=")],
    run: (app) => app.floor.zoom(1.25),
  },
  {
    id: "farther",
    keys: [key("-")],
    run: (app) => app.floor.zoom(0.8),
  },
  {
    id: "let-go",
    keys: [key("Escape")],
    enabled: (app) => app.handBusy() || app.desk.chosen.value !== null || app.desk.notice.value !== null || app.bench.asking.value || app.marking.value !== null || app.drawing.seen.value !== null,
    run: (app) => app.letGo(),
  },
]);

export const fileActions: readonly Action[] = inGroup("file", [
  {
    id: "save",
    keys: [ctrl("s")],
    run: (app) => app.files.save(),
  },
  {
    id: "save-with-photos",
    keys: [{ key: "s", ctrl: true, shift: true }],
    enabled: (app) => photosOf(app).length > 0,
    run: (app) => void app.files.saveWithPhotos(),
  },
  {
    id: "open",
    keys: [ctrl("o")],
    enabled: handIsFree,
    run: (app) => void app.files.choose(),
  },
  {
    id: "new-job",
    keys: [shift("n")],
    enabled: handIsFree,
    run: (app) => void app.files.newJob(),
  },
  {
    id: "offcuts-home",
    keys: [shift("o")],
    enabled: handIsFree,
    run: (app) => void app.files.offcutsHome(),
  },
  {
    id: "kept-jobs",
    keys: [shift("j")],
    run: (app) => (app.dialog.value = "shelf"),
  },
  {
    id: "svg-board",
    keys: [shift("b")],
    enabled: (app) => boardToDraw(app) !== null,
    run(app) {
      const board = boardToDraw(app);
      if (board !== null) app.files.svgOf(board);
    },
  },
  {
    id: "svg-all",
    keys: [shift("a")],
    enabled: (app) => app.desk.state.value.boards.length > 0,
    run: (app) => app.files.svgOfAll(),
  },
  {
    id: "print",
    keys: [ctrl("p")],
    // Its window says so where there is nothing to print.
    run: (app) => (app.dialog.value = "print"),
  },
  {
    id: "files-out",
    keys: [shift("e")],
    run: (app) => (app.dialog.value = "files-out"),
  },
]);

export const pageActions: readonly Action[] = inGroup("page", [
  {
    id: "units",
    label: (app) => (app.desk.state.value.units === "in" ? text.instead.millimetres : text.actions.units),
    keys: [key("u")],
    run(app) {
      const next = app.desk.state.value.units === "in" ? "mm" : "in";
      app.desk.set(WHOLE_JOB, "units.length", next);
    },
  },
  {
    id: "theme",
    label: (app) => (app.theme.dark.value ? text.instead.lightPaper : text.actions.theme),
    keys: [shift("d")],
    run: (app) => app.theme.toggle(),
  },
  {
    id: "figure-shown",
    label: (app) => (app.figure.shown.value ? text.instead.figureHidden : text.actions["figure-shown"]),
    keys: [shift("y")],
    run: (app) => app.figure.toggle(),
  },
  {
    id: "keys",
    keys: [key("?")],
    run: (app) => (app.dialog.value = "keys"),
  },
  {
    id: "kept",
    keys: [shift("k")],
    run: (app) => (app.dialog.value = "keeping"),
  },
  {
    id: "about",
    keys: [shift("i")],
    run: (app) => (app.dialog.value = "about"),
  },
  {
    id: "menu",
    keys: [key("m")],
    run: (app) => (app.dialog.value = app.dialog.value === "menu" ? null : "menu"),
  },
]);
