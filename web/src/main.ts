// Makes the parts and joins them; nothing else does.

import { effect, signal } from "@preact/signals";
import { h, render } from "preact";

import { compileCore, readBuiltIn, startWorker } from "./built-in";
import { cannotStart } from "./cannot-start";
import { __wbg_reset_state, floor_style, initSync, Rounds, type PageName, type Thing } from "./protocol/generated";
import { makeSolverClient } from "./solver-client";
import type { App, DialogName, FaultShown, FloorControls } from "./state/app";
import { makeCore } from "./state/core";
import { makeDesk } from "./state/desk";
import { makeDrafts, PASTED_LIST, WHOLE_JOB } from "./state/drafts";
import { makeFileDesk } from "./state/file-desk";
import { makeKeeper } from "./state/keeping";
import { makeSettingOut } from "./state/setting-out";
import { openMarks, openShelf, type KeptJob } from "./state/shelf";
import { freshId } from "./state/fresh-id";
import { makeTheme } from "./state/theme";
import { makeTicks } from "./state/ticks";
import { text } from "./text";
import { Page } from "./view/App";
import { chooseFile, saveFile } from "./view/files";
import type { LinkHolder } from "./view/floor/link";
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
  // Asked for before the core is compiled: one need not wait for the other.
  const shelf = openShelf();
  const marks = openMarks();
  const mark = (name: string): Promise<string | undefined> => marks.get(name).catch(() => undefined);
  const store: Store = {
    newest: shelf.newest().catch(() => undefined),
    theme: mark("theme"),
    letterKeys: mark("letter-keys"),
  };
  const isLate = Promise.race([Promise.all(Object.values(store)).then(() => false), outOfPatience().then(() => true)]);

  const [builtIn, module] = await Promise.all([readBuiltIn(), compileCore()]);
  initSync({ module });
  const drawingStyle = document.createElement("style");
  drawingStyle.textContent = floor_style();
  document.head.append(drawingStyle);

  const link: LinkHolder = { current: null };
  const dialog = signal<DialogName | null>(null);
  const fault = signal<FaultShown | null>(null);
  const firstSteps = signal(false);

  const letterKeys = signal(true);
  const leaving = signal<((goOn: boolean) => void) | null>(null);

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
  const ticks = makeTicks(desk, () => (dialog.value = "ticks"));
  const keeper = makeKeeper(shelf, { text: () => core.text(), title: () => desk.state.value.title }, () => Date.now());
  const solver = makeSolverClient(() => startWorker(builtIn), module, (workers, round, from) => new Rounds(workers, round, from));
  const drafts = makeDrafts(marks, { id: () => keeper.jobId(), owns: () => keeper.owns(), unkept: () => keeper.unkept() });
  const settingOut = makeSettingOut(desk, solver, () => (link.current?.busy() ?? false) || (link.current?.holding() ?? false));

  const floor: FloorControls = {
    fit: () => link.current?.controls.fit(),
    zoom: (factor) => link.current?.controls.zoom(factor),
    nudge: (part, dx, dy) => link.current?.controls.nudge(part, dx, dy),
    reveal: (fragment) => link.current?.controls.reveal(fragment),
    revealChanged: () => link.current?.controls.revealChanged(),
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
    firstSteps,
    stopSearch: () => solver.abandon(),
    askToLeave: () =>
      new Promise<boolean>((answer) => {
        leaving.value = answer;
        dialog.value = "leaving";
      }),
    giveBackDraft: () => giveBackDraft(app),
    today,
    chooseFile,
    saveFile,
    printSheets,
  });

  const app: App = {
    desk,
    settingOut,
    keeper,
    drafts,
    shelf,
    floor,
    files,
    theme,
    dialog,
    fault,
    leaving,
    letterKeys,
    firstSteps,
    ticks,
    handBusy: () => link.current?.busy() ?? false,
    letGo() {
      if (link.current?.busy() === true) link.current.cancel();
      else if (desk.notice.value !== null) desk.notice.value = null;
      else desk.choose(null);
    },
    remember,
  };

  const late = await isLate;
  const takeMarks = Promise.all([store.theme, store.letterKeys]).then(([theirTheme, letters]) => {
    if (theirTheme === "light" || theirTheme === "dark") theme.choose(theirTheme);
    letterKeys.value = letters !== "off";
  });
  if (!late) await takeMarks;
  const { begun } = await putFirstJob(app, builtIn.fixtures, store, late);

  root.replaceChildren();
  render(h(Page, { app, link }), root);
  root.dataset["ready"] = "yes";
  // Not before it is known whether another tab has the job, and perhaps its field.
  void begun.then(() => giveBackDraft(app));

  let seen = desk.changes.peek();
  effect(() => {
    const now = desk.changes.value;
    if (now !== seen) keeper.changed();
    seen = now;
  });
  effect(() => {
    if (firstSteps.value === false && firstStepsShown) remember("first-steps", "read");
  });
  effect(() => {
    if (keeper.status.value.kind === "kept") drafts.jobKept();
  });
  // A tab that is closed or put aside keeps what is not kept yet.
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden") void keeper.flush();
  });
  window.addEventListener("pagehide", () => {
    void keeper.flush();
    keeper.leave();
  });
  window.addEventListener("beforeunload", (event) => {
    void keeper.flush();
    // Ticks are not in the job's file and go with the page.
    if (keeper.unkept() || drafts.unkept() || ticks.marked.peek().size > 0) event.preventDefault();
  });
}

let firstStepsShown = false;

/** Some browsers never answer where storage is refused: the page waits for about a third of a second and opens without. */
async function outOfPatience(): Promise<void> {
  // In short turns, so that on a busy machine an answer that lies ready is heard first.
  for (let turn = 0; turn < 12; turn += 1) await new Promise((done) => setTimeout(done, 30));
}

/** What the browser's store was asked for at the start; an answer that fails is none. */
interface Store {
  readonly newest: Promise<KeptJob | undefined>;
  readonly theme: Promise<string | undefined>;
  readonly letterKeys: Promise<string | undefined>;
}

/**
 * The job kept last, or the demo job at the first opening and where the store is silent. `begun`:
 * once it is known whether this tab keeps it.
 */
async function putFirstJob(
  app: App,
  fixtures: Readonly<Record<string, string>>,
  store: Store,
  late: boolean,
): Promise<{ readonly begun: Promise<void> }> {
  const kept = late ? undefined : await store.newest;
  if (kept !== undefined && (app.desk.ask((session) => session.open(kept.text))?.accepted ?? false)) {
    app.desk.refresh();
    // A job that the core cannot bear stays on the shelf, and the page still opens.
    if (app.fault.value === null) {
      return { begun: app.keeper.begin(kept.id, kept.stamp) };
    }
  }
  const demo = fixtures[FIRST] ?? Object.values(fixtures)[0];
  if (demo !== undefined) app.desk.ask((session) => session.open(demo));
  app.desk.refresh();
  const begun = app.keeper.begin(freshId(), 0);
  if (late) waitForStore(app, store.newest);
  else {
    app.firstSteps.value = true;
    firstStepsShown = true;
    app.keeper.keep();
  }
  return { begun };
}

/** Says that the store is silent, and offers the kept job once it speaks. Until then nothing is put into it. */
function waitForStore(app: App, newest: Promise<KeptJob | undefined>): void {
  const { desk, keeper } = app;
  const say = (sentence: string, buttons: { label: string; run: () => void }[]): void => {
    desk.notice.value = { text: sentence, tone: "problem", buttons };
    desk.say(sentence);
  };
  let isTouched = false;
  for (const kind of ["pointerdown", "keydown"]) {
    window.addEventListener(kind, () => (isTouched = true), { once: true, capture: true });
  }
  keeper.storeIsSilent();
  say(text.keeping.silent, []);
  void newest.then((job) => {
    // The demo is put beside kept jobs only once somebody changes it: the newest is opened next time.
    keeper.storeAnswers(job === undefined);
    desk.notice.value = null;
    if (job === undefined) {
      app.firstSteps.value = true;
      firstStepsShown = true;
    } else if (!isTouched) void app.files.fromShelf(job.id);
    else {
      const title = job.title === "" ? text.page.untitled : job.title;
      say(text.keeping.answers(title), [
        { label: text.keeping.openKept, run: () => void app.files.fromShelf(job.id) },
      ]);
    }
  });
}

/** Puts what was being typed when the page went away back into its field. */
async function giveBackDraft(app: App): Promise<void> {
  const { desk, drafts } = app;
  const draft = await drafts.read();
  if (draft === null) return;
  const { thing, field } = draft;
  if (field === PASTED_LIST) {
    drafts.giveBack({ ...draft, thing: WHOLE_JOB });
    app.dialog.value = "paste";
    return;
  }
  const form = desk.formOf(thing);
  const fields = [...(form?.fields ?? []), ...(form?.tables ?? []).flatMap((table) => table.rows.flatMap((row) => row.cells))];
  const found = fields.find((each) => each.name === field);
  if (found?.text === draft.text) {
    drafts.jobKept();
    return;
  }
  if (found === undefined) {
    desk.notice.value = { text: text.keeping.draftLost(draft.text), tone: "problem", buttons: [] };
    return;
  }
  drafts.giveBack(draft);
  desk.goTo(placeOf(thing));
  desk.openForm(thing, field);
  desk.notice.value = { text: text.keeping.draft, tone: "plain", buttons: [] };
  desk.say(text.keeping.draft);
}

/** The place whose sheet shows the form of a thing. */
function placeOf(thing: Thing): PageName {
  return thing.of_part === true || thing.kind === "part" || thing.kind === "dimension" || thing.kind === "match" ? "piece" : "timber";
}

const root = document.getElementById("page");
if (root !== null) start(root).catch(cannotStart);
