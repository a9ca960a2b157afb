// What is done to boards, to parts and to the plan.

import type { PhotoRow } from "../../protocol/generated";
import { text } from "../../text";
import type { App } from "../app";
import { inGroup, key, photosOf, shift, type Action } from "./action";

/** Some board is cut already. */
const isCut = (app: App): boolean => app.desk.state.value.boards.some((board) => board.state !== "");

/** A photo of the board that is chosen. */
function photoOfChosen(app: App): PhotoRow | undefined {
  const chosen = app.desk.chosen.value;
  const row = chosen?.kind === "board" ? app.desk.state.value.boards.find(({ id }) => id === chosen.of.id)?.thing.row : undefined;
  return row === undefined ? undefined : photosOf(app).find(({ board }) => board?.row === row);
}

export const boardActions: readonly Action[] = inGroup("board", [
  {
    id: "add-board",
    keys: [key("b")],
    run(app) {
      app.desk.goTo("timber");
      app.desk.add("board");
    },
  },
  {
    id: "type-boards",
    keys: [shift("l")],
    run(app) {
      app.desk.goTo("timber");
      app.desk.openForm(null);
      app.desk.attend({ to: "lines" });
    },
  },
  {
    id: "from-photo",
    keys: [shift("p")],
    run(app) {
      app.desk.goTo("timber");
      app.dialog.value = "photograph";
    },
  },
  {
    id: "drop-photo",
    keys: [shift("x")],
    enabled: (app) => photoOfChosen(app) !== undefined,
    run(app) {
      const photo = photoOfChosen(app);
      if (photo !== undefined) app.desk.change((session) => session.drop_photo(photo.hash));
    },
  },
  {
    id: "board-files",
    keys: [shift("f")],
    enabled: (app) => !app.handBusy(),
    run: (app) => void app.files.chooseBoards(),
  },
  {
    id: "add-part",
    keys: [key("n")],
    run(app) {
      app.desk.goTo("piece");
      app.desk.add("part");
    },
  },
  {
    id: "paste-parts",
    keys: [shift("v")],
    run: (app) => (app.dialog.value = "paste"),
  },
  {
    id: "duplicate",
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
    keys: [key("w")],
    run: (app) => (app.dialog.value = "workshop"),
  },
]);

export const planActions: readonly Action[] = inGroup("plan", [
  {
    id: "set-out",
    label: (app) =>
      app.settingOut.running.value ? text.instead.stop : app.settingOut.canGoOn.value ? text.instead.improve : isCut(app) ? text.instead.rest : text.actions["set-out"],
    keys: [key("s")],
    enabled: (app) => app.settingOut.running.value || app.desk.hasWork.value,
    run(app) {
      if (app.settingOut.running.value) {
        app.settingOut.stop();
        return;
      }
      // Who sets out is under way, and the first steps would only cover the boards.
      app.firstSteps.value = false;
      // At the bench one stays there: what is next stands beside the saw.
      if (!(app.desk.place.value === "bench" && isCut(app))) app.desk.goTo("setting_out");
      app.settingOut.start();
    },
  },
  {
    id: "clear-plan",
    keys: [shift("t")],
    enabled: (app) => app.desk.state.value.plan !== null && !app.settingOut.running.value,
    run: (app) => void app.desk.change((session) => session.clear_plan()),
  },
  {
    id: "keep-plan",
    keys: [key("k")],
    enabled: (app) => app.desk.state.value.plan !== null && !app.settingOut.running.value,
    run: (app) => (app.dialog.value = "keep"),
  },
  {
    id: "compare",
    keys: [key("c")],
    enabled: (app) => app.desk.state.value.kept.length > 0,
    run: (app) => (app.dialog.value = "compare"),
  },
]);
