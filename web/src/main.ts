// Makes the parts and joins them; nothing else does.

import { computed, effect, signal } from "@preact/signals";
import { h, render } from "preact";

import { startWorker } from "./built-in";
import { cannotStart } from "./cannot-start";
import startCore, { __wbg_reset_state, floor_style, Rounds } from "./protocol/generated";
import type { MarkKind } from "./protocol/generated";
import { makeSolverClient } from "./solver-client";
import { makeAtBench } from "./state/at-bench";
import type { App, DialogName, FaultShown, FloorControls } from "./state/app";
import { makeAskedSize } from "./state/asked-size";
import { makeCore } from "./state/core";
import { makeDesk } from "./state/desk";
import { makeDrafts } from "./state/drafts";
import { makeDrawing } from "./state/drawing";
import { makeFaces } from "./state/faces";
import { makeFileDesk } from "./state/file-desk";
import { giveBackDraft, putFirstJob } from "./state/first-job";
import { makeFilesOut } from "./state/files-out";
import { makeFigureShown } from "./state/figure-shown";
import { makeKeeper } from "./state/keeping";
import { openPhotoStore } from "./state/photo-store";
import { makePhotographing } from "./state/photographing";
import { makePhotos } from "./state/photos";
import { makeMapKept } from "./state/mapping-photos";
import { showPhotos } from "./state/photos-shown";
import { startProving } from "./state/proving";
import { makeSettingOut } from "./state/setting-out";
import { openMarks, openShelf } from "./state/shelf";
import { makeTakePhoto } from "./state/taking-photo";
import { makeTheme } from "./state/theme";
import { text } from "./text";
import { Page } from "./view/App";
import { stayAwake } from "./view/awake";
import { chooseFiles, saveFile } from "./view/files";
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
  const store = {
    newest: shelf.newest().catch(() => undefined),
    theme: mark("theme"),
    letterKeys: mark("letter-keys"),
    awake: mark("awake"),
    byBoard: mark("by-board"),
    filesOut: mark("files-out"),
  };
  const isTouched = watchForTouch();
  const isLate = Promise.race([Promise.all(Object.values(store)).then(() => false), outOfPatience().then(() => true)]);

  const { builtIn } = window.heartside;
  const module = await window.heartside.core;
  // Browsers let nobody wait for a core as large as that of a quick build.
  await startCore({ module_or_path: module });
  const drawingStyle = document.createElement("style");
  drawingStyle.textContent = floor_style();
  document.head.append(drawingStyle);

  const link: LinkHolder = { current: null };
  const dialog = signal<DialogName | null>(null);
  const fault = signal<FaultShown | null>(null);
  const firstSteps = signal(false);

  const typedBoards = signal("");
  const marking = signal<MarkKind | null>(null);
  const letterKeys = signal(true);
  const awake = signal(true);
  let showAgain = (): void => undefined;
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
      if (!found.mended) return;
      setTimeout(() => {
        desk.startAgain();
        showAgain();
        figure.showAgain();
      });
    },
    text.trouble.session,
  );
  const desk = makeDesk(core);
  const keeper = makeKeeper(shelf, { text: () => core.text(), title: () => desk.state.value.title }, () => Date.now());
  const solver = makeSolverClient(() => startWorker(builtIn), module, (workers, round, from) => new Rounds(workers, round, from));
  const drawing = makeDrawing(desk);
  const drafts = makeDrafts(marks, { id: () => keeper.jobId(), owns: () => keeper.owns(), unkept: () => keeper.unkept() });
  const bench = makeAtBench(desk, drafts, () => void keeper.flush(), (byBoard) => remember("by-board", byBoard ? "on" : "off"));
  const inHand = (): boolean => (link.current?.busy() ?? false) || (link.current?.holding() ?? false);
  const settingOut = makeSettingOut(desk, solver, inHand);
  const askedSize = makeAskedSize(desk, () => startWorker(builtIn), module);
  const faces = makeFaces(desk, () => startWorker(builtIn), module);
  startProving(desk, inHand);
  const figure = makeFigureShown(desk);
  const photos = makePhotos(openPhotoStore(), shelf);
  const photographing = makePhotographing(desk, () => startWorker(builtIn), module);

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
    photos,
    floor,
    fixtures: builtIn.fixtures,
    dialog,
    firstSteps,
    stopSearch: () => solver.abandon(),
    closeQuestion: () => bench.close(),
    askToLeave: () =>
      new Promise<boolean>((answer) => {
        leaving.value = answer;
        dialog.value = "leaving";
      }),
    giveBackDraft: () => giveBackDraft(app),
    today,
    chooseFiles,
    saveFile,
    printSheets,
  });

  const filesOut = makeFilesOut({ desk, photos, today, saveFile, printSheets, remember: (kept) => remember("files-out", kept) });

  const app: App = {
    desk,
    settingOut,
    askedSize,
    faces,
    keeper,
    drafts,
    shelf,
    photos,
    photographing,
    takePhoto: makeTakePhoto(desk, photos, photographing, keeper, dialog),
    floor,
    files,
    filesOut,
    theme,
    dialog,
    fault,
    leaving,
    letterKeys,
    firstSteps,
    bench,
    typedBoards,
    figure,
    marking,
    drawing,
    awake,
    handBusy: () => link.current?.busy() ?? false,
    letGo() {
      if (link.current?.busy() === true) link.current.cancel();
      else if (drawing.seen.value !== null) drawing.back();
      else if (marking.value !== null) marking.value = null;
      else if (desk.notice.value !== null) desk.notice.value = null;
      else if (bench.asking.value) bench.close();
      else desk.choose(null);
    },
    remember,
  };

  const late = await isLate;
  const takeMarks = Promise.all([store.theme, store.letterKeys, store.awake, store.byBoard, store.filesOut]).then(([theirTheme, letters, screen, byBoard, kept]) => {
    if (theirTheme === "light" || theirTheme === "dark") theme.choose(theirTheme);
    letterKeys.value = letters !== "off";
    awake.value = screen !== "off";
    bench.orderAsBefore(byBoard === "on");
    filesOut.recall(kept);
  });
  if (!late) await takeMarks;
  const demo = builtIn.fixtures[FIRST] ?? Object.values(builtIn.fixtures)[0];
  const { begun } = await putFirstJob(app, demo, store.newest, late, isTouched);

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
    if (keeper.status.value.kind === "kept") drafts.jobKept();
  });
  const mapKept = makeMapKept(desk, photos, () => startWorker(builtIn), module, () => keeper.changed());
  showAgain = showPhotos(desk, photos, () => keeper.jobId(), mapKept);
  stayAwake(computed(() => awake.value && desk.place.value === "bench"));
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
    if (keeper.unkept() || drafts.unkept()) event.preventDefault();
  });
}

/** Some browsers never answer where storage is refused: the page waits for about a third of a second and opens without. */
async function outOfPatience(): Promise<void> {
  // In short turns, so that on a busy machine an answer that lies ready is heard first.
  for (let turn = 0; turn < 12; turn += 1) await new Promise((done) => setTimeout(done, 30));
}

/** Watches whether anything is pressed. */
function watchForTouch(): () => boolean {
  let isTouched = false;
  for (const kind of ["pointerdown", "keydown"]) {
    window.addEventListener(kind, () => (isTouched = true), { once: true, capture: true });
  }
  return () => isTouched;
}

const root = document.getElementById("page");
if (root !== null) start(root).catch(cannotStart);
