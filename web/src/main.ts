// Makes the parts and joins them; nothing else does.

import { effect, signal } from "@preact/signals";
import { h, render } from "preact";

import { compileCore, readBuiltIn, startWorker } from "./built-in";
import { cannotStart } from "./cannot-start";
import { __wbg_reset_state, floor_style, initSync } from "./protocol/generated";
import { makeSolverClient } from "./solver-client";
import type { App, DialogName, FaultShown, FloorControls } from "./state/app";
import { makeCore } from "./state/core";
import { makeDesk } from "./state/desk";
import { makeFileDesk } from "./state/file-desk";
import { makeKeeper } from "./state/keeping";
import { makeSettingOut } from "./state/setting-out";
import { openMarks, openShelf } from "./state/shelf";
import { makeTheme } from "./state/theme";
import { text } from "./text";
import { Page } from "./view/App";
import type { FloorLink } from "./view/floor/Floor";
import { printSheets } from "./view/print-sheets";

/** The job of the first opening. */
const FIRST = "writing-desk.heartside.json";

/** Today as year-month-day where the person is; drawings carry it, the core reads no clock. */
function today(): string {
  const now = new Date();
  const two = (n: number): string => String(n).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

async function start(root: HTMLElement): Promise<void> {
  const [builtIn, module] = await Promise.all([readBuiltIn(), compileCore()]);
  initSync({ module });
  const drawingStyle = document.createElement("style");
  drawingStyle.textContent = floor_style();
  document.head.append(drawingStyle);

  const link: { current: FloorLink | null } = { current: null };
  const dialog = signal<DialogName | null>(null);
  const fault = signal<FaultShown | null>(null);
  const firstSteps = signal(false);
  const ticks = signal<ReadonlySet<string>>(new Set());
  const shownCut = signal<string | null>(null);

  const shelf = openShelf();
  const marks = openMarks();
  const remember = (name: string, value: string): void => {
    // Marks are a comfort: a browser that refuses storage has already been told of.
    marks.set(name, value).catch(() => undefined);
  };

  const core = makeCore(
    __wbg_reset_state,
    (found) => {
      fault.value = found;
      dialog.value = "fault";
      // Not from within the call that failed.
      if (found.mended) setTimeout(() => desk.startAgain());
    },
    text.trouble.session,
  );
  const desk = makeDesk(core);
  const keeper = makeKeeper(shelf, { text: () => core.text(), title: () => desk.state.value.title }, () => Date.now());
  const solver = makeSolverClient(() => startWorker(builtIn), module);
  const settingOut = makeSettingOut(desk, solver, () => link.current?.busy() ?? false);

  const floor: FloorControls = {
    fit: () => link.current?.controls.fit(),
    zoom: (factor) => link.current?.controls.zoom(factor),
    reveal: (fragment) => link.current?.controls.reveal(fragment),
    focus: (fragment) => link.current?.controls.focus(fragment),
  };
  const theme = makeTheme({
    prefersDark: window.matchMedia("(prefers-color-scheme: dark)"),
    apply(choice) {
      if (choice !== null) document.documentElement.dataset["theme"] = choice;
    },
    remember: (choice) => remember("theme", choice),
  });
  const files = makeFileDesk({
    desk,
    keeper,
    shelf,
    floor,
    fixtures: builtIn.fixtures,
    dialog,
    stopSearch: () => solver.abandon(),
    today,
    printSheets,
  });

  const app: App = {
    desk,
    settingOut,
    keeper,
    shelf,
    floor,
    files,
    theme,
    dialog,
    fault,
    firstSteps,
    ticks,
    shownCut,
    handBusy: () => link.current?.busy() ?? false,
    letGo() {
      if (link.current?.busy() === true) link.current.cancel();
      else if (desk.notice.value !== null) desk.notice.value = null;
      else desk.choose(null);
    },
    remember,
  };

  await putFirstJob(app, builtIn.fixtures);
  const theirTheme = await marks.get("theme").catch(() => undefined);
  if (theirTheme === "light" || theirTheme === "dark") theme.choose(theirTheme);

  root.replaceChildren();
  render(h(Page, { app, link }), root);
  root.dataset["ready"] = "yes";

  let seen = desk.changes.peek();
  effect(() => {
    const now = desk.changes.value;
    if (now !== seen) keeper.changed();
    seen = now;
  });
  effect(() => {
    if (firstSteps.value === false && firstStepsShown) remember("first-steps", "read");
  });
  effect(() => markCut(shownCut.value, desk.state.value.bench));
  // A tab that is closed or put aside keeps what is not kept yet.
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden") void keeper.flush();
  });
  window.addEventListener("pagehide", () => void keeper.flush());
  window.addEventListener("beforeunload", (event) => {
    const kind = keeper.status.peek().kind;
    if (kind === "off" || kind === "clash") event.preventDefault();
  });
}

let firstStepsShown = false;

/** Some browsers never answer where storage is refused: the page does not wait for ever. */
function soon<T>(answer: Promise<T | undefined>): Promise<T | undefined> {
  return Promise.race([answer, new Promise<undefined>((done) => setTimeout(() => done(undefined), 2000))]);
}

/** The job kept last, or the demo job at the first opening. */
async function putFirstJob(app: App, fixtures: Readonly<Record<string, string>>): Promise<void> {
  const kept = await soon(app.shelf.newest().catch(() => undefined));
  if (kept !== undefined && (app.desk.ask((session) => session.open(kept.text))?.accepted ?? false)) {
    app.desk.refresh();
    // A job that the core cannot bear stays on the shelf, and the page still opens.
    if (app.fault.value === null) {
      void app.keeper.begin(kept.id, kept.stamp);
      return;
    }
  }
  const demo = fixtures[FIRST] ?? Object.values(fixtures)[0];
  if (demo !== undefined) app.desk.ask((session) => session.open(demo));
  app.desk.refresh();
  app.firstSteps.value = true;
  firstStepsShown = true;
  await app.keeper.begin(crypto.randomUUID(), 0);
  app.keeper.changed();
}

/** Picks out the line of one cut among the others. */
function markCut(tick: string | null, bench: App["desk"]["state"]["value"]["bench"]): void {
  const world = document.querySelector(".world");
  if (world === null) return;
  for (const each of world.querySelectorAll(".cut-shown")) each.classList.remove("cut-shown");
  const step = bench
    .flatMap((board) => board.steps)
    .find((each) => `${each.board.id}#${each.board.copy}#${each.number}#${each.title}` === tick);
  const drawn = step?.fragment == null ? null : world.querySelector(`[data-fragment="${CSS.escape(step.fragment)}"]`);
  const found = drawn?.querySelector(`[data-cut="${step?.number ?? 0}"]`) ?? drawn ?? null;
  found?.classList.add("cut-shown");
  world.classList.toggle("picks-a-cut", found !== null);
}

const root = document.getElementById("page");
if (root !== null) start(root).catch(cannotStart);
