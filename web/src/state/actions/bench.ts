// What is done at the bench.

import type { CopyOf } from "../../protocol/generated";
import { text } from "../../text";
import type { App } from "../app";
import { heldOn, lastCut, nextStep } from "../at-bench";
import { handIsFree, inGroup, key, shift, type Action } from "./action";

function chosenBoard(app: App): CopyOf | null {
  const chosen = app.desk.chosen.value;
  return chosen?.kind === "board" ? chosen.of : null;
}

/** What is measured: the board or piece that is chosen, else the first that the last cut left. */
function toMeasure(app: App): CopyOf | null {
  const left = lastCut(app.desk.state.value.bench)?.pieces.find((piece) => piece.board !== null);
  return chosenBoard(app) ?? left?.board ?? null;
}

const measuring = (app: App, field: string): void => {
  const board = toMeasure(app);
  if (board !== null) app.bench.open({ kind: "measure", board }, field);
};

/** The part in hand that is chosen, by itself or by its piece; else any. */
function inHand(app: App): CopyOf | null {
  const { bench } = app.desk.state.value;
  const copies = bench.parts.flatMap((part) => part.copies).filter((copy) => copy.state === "in_hand");
  const chosen = app.desk.chosen.value;
  const is = (of: CopyOf): boolean => chosen?.kind === "part" && chosen.of.id === of.id && chosen.of.copy === of.copy;
  const own = copies.find((copy) => is(copy.part))?.part;
  return own ?? (chosen?.kind === "board" ? heldOn(bench, chosen.of) : null) ?? copies[0]?.part ?? null;
}

const atBench = (app: App): boolean => app.desk.place.value === "bench" && handIsFree(app);

export const benchActions: readonly Action[] = inGroup("bench", [
  {
    id: "cut-done",
    label(app) {
      const step = nextStep(app.desk.state.value.bench);
      return step === null ? text.actions["cut-done"] : text.bench.cutDone(step.number);
    },
    keys: [key("x")],
    once: true,
    enabled: (app) => atBench(app) && !app.bench.asking.value && nextStep(app.desk.state.value.bench) !== null,
    run(app) {
      const step = nextStep(app.desk.state.value.bench);
      if (step !== null) app.bench.cut(step.tick);
    },
  },
  {
    id: "measure",
    keys: [key("g")],
    enabled: (app) => handIsFree(app) && toMeasure(app) !== null,
    run: (app) => measuring(app, "length"),
  },
  {
    id: "came-to-light",
    keys: [key("h")],
    enabled: (app) => handIsFree(app) && toMeasure(app) !== null,
    run: (app) => measuring(app, "found"),
  },
  {
    id: "own-cut",
    keys: [key("y")],
    enabled: (app) => handIsFree(app) && app.desk.state.value.boards.length > 0,
    run: (app) => app.bench.open({ kind: "cut", board: chosenBoard(app) }),
  },
  {
    id: "spoil",
    keys: [key("q")],
    enabled: (app) => atBench(app) && inHand(app) !== null,
    run: (app) => app.bench.open({ kind: "spoil", part: inHand(app) }),
  },
  {
    id: "by-board",
    label: (app) => (app.desk.state.value.bench.by_board ? text.instead.bySetUp : text.actions["by-board"]),
    keys: [key("o")],
    enabled: atBench,
    run: (app) => app.bench.order(!app.desk.state.value.bench.by_board),
  },
  {
    id: "awake",
    label: (app) => (app.awake.value ? text.instead.letSleep : text.actions.awake),
    keys: [shift("w")],
    run(app) {
      app.awake.value = !app.awake.value;
      app.remember("awake", app.awake.value ? "on" : "off");
    },
  },
]);
