// Opening, saving, new jobs, kept jobs, drawings and print: what crosses the edge of the page.

import type { Signal } from "@preact/signals";

import type { CopyOf } from "../protocol/generated";
import { text } from "../text";
import type { DialogName, FileDesk, FloorControls } from "./app";
import { pack, takeApart } from "./bundle";
import type { Desk } from "./desk";
import { freshId } from "./fresh-id";
import { readFile } from "./files";
import type { Keeper } from "./keeping";
import type { Photos } from "./photos";
import type { Shelf } from "./shelf";

export interface FileDeskParts {
  readonly desk: Desk;
  readonly keeper: Keeper;
  readonly shelf: Shelf;
  readonly photos: Photos;
  readonly floor: FloorControls;
  readonly fixtures: Readonly<Record<string, string>>;
  readonly dialog: Signal<DialogName | null>;
  readonly stopSearch: () => void;
  /** Puts away a question about the job that lay there. */
  readonly closeQuestion: () => void;
  /** Asks whether to go on although the job on the floor is kept nowhere. */
  readonly askToLeave: () => Promise<boolean>;
  /** The sentences about the job of the first opening; they go with it. */
  readonly firstSteps: Signal<boolean>;
  /** Gives back what was being typed into the job that was just put on the floor. */
  readonly giveBackDraft: () => Promise<void>;
  readonly today: () => string;
  /** Lets the person choose files; none when they thought better of it. */
  readonly chooseFiles: (accept: string, multiple: boolean) => Promise<readonly File[]>;
  readonly saveFile: (name: string, content: string | Blob, type: string) => void;
  readonly printSheets: (svgs: readonly string[], paper: "a4" | "letter") => void;
}

/** How the names of files end that hold boards. */
const BOARD_FILES = [".svg", ".dxf", ".csv", ".tsv", ".txt"] as const;

/** What the core calls the step by which another job came to the floor. */
const OPENING = "opening a file";

/** The names of two jobs of which the later took the earlier's place on the floor. */
interface Turn {
  readonly before: string;
  readonly after: string;
}

export function makeFileDesk(parts: FileDeskParts): FileDesk {
  const { desk, keeper, shelf, floor, fixtures, chooseFiles, saveFile } = parts;

  function tell(sentence: string, problem: boolean): void {
    desk.notice.value = { text: sentence, tone: problem ? "problem" : "plain", buttons: [] };
    desk.say(sentence);
  }

  /** Jobs opened one after the other, and those openings that undo has taken back. */
  const openings: Turn[] = [];
  const takenBack: Turn[] = [];

  /** Whether the text opened last was of an older form in which something counted otherwise. */
  let older = false;

  /** Whether the job on the floor may make room: it is kept, or its loss was agreed to. */
  async function mayLeave(): Promise<boolean> {
    await keeper.flush();
    return !keeper.unkept() || (await parts.askToLeave());
  }

  /**
   * Puts a text on the floor; the old job stays where the text is refused. `begin` is told how to
   * show it, for what is shown belongs to another job than before.
   */
  async function openText(content: string, name: string, begin: (show: () => void) => Promise<void>): Promise<boolean> {
    parts.stopSearch();
    const opened = desk.ask((session) => session.open(content));
    if (opened === null) return false;
    if (!opened.accepted) {
      const why = opened.problems.map((problem) => [problem.message, problem.hint].filter(Boolean).join(" ")).join(" ");
      tell(text.files.refused(name, why), true);
      return false;
    }
    older = opened.problems.some((problem) => problem.code.startsWith("older-"));
    const before = keeper.jobId();
    await begin(() => {
      desk.choose(null);
      desk.openForm(null);
      parts.closeQuestion();
      parts.firstSteps.value = false;
      desk.refresh();
      floor.fit();
      if (desk.state.peek().undo !== OPENING) return;
      openings.push({ before, after: keeper.jobId() });
      takenBack.length = 0;
    });
    return true;
  }

  /** Undo and redo; over the opening of a job they lead to the other job, under its own name. */
  function step(by: "undo" | "redo"): void {
    const call = (): void => void desk.change((session) => session[by]());
    const [from, to] = by === "undo" ? [openings, takenBack] : [takenBack, openings];
    const turn = desk.state.peek()[by] === OPENING ? from.pop() : undefined;
    if (turn === undefined) return call();
    to.push(turn);
    void keeper.back(by === "undo" ? turn.before : turn.after, () => {
      desk.openForm(null);
      parts.closeQuestion();
      call();
      floor.fit();
    });
  }

  /** A job that came from outside is kept as a job of its own; the one before stays kept. */
  async function openAsNew(content: string, name: string): Promise<boolean> {
    return (await mayLeave()) && openText(content, name, (show) => keeper.begin(freshId(), 0, show));
  }

  /** Its photographs are in the store before the job is shown, or would be missed. */
  async function openZip(file: File, name: string): Promise<void> {
    const found = await takeApart(file);
    if (typeof found === "string") return tell(text.files.refused(name, found), true);
    let lost = found.broken;
    for (const { hash, file } of found.photos) if ((await parts.photos.keep(hash, file)) !== "kept") lost += 1;
    if (await openAsNew(found.job, name)) {
      const opened = older ? text.files.openedOlder(name) : text.files.opened(name);
      tell(lost === 0 ? opened : `${opened}. ${text.files.photosLost(lost)}`, lost > 0);
    } else {
      const used = desk.ask((session) => session.photo_files()) ?? [];
      await parts.photos.tidy(used, found.job).catch(() => 0);
    }
  }

  /** Saves a drawing; where there is none, says why and saves nothing. */
  async function draw(sheet: { name: string; svg: string } | null, none: string): Promise<void> {
    if (sheet === null) return;
    if (sheet.svg === "" || sheet.name === "") return tell(none, true);
    saveFile(sheet.name, await parts.photos.complete(sheet.svg, true), "image/svg+xml");
    tell(text.files.saved(sheet.name), false);
  }

  /** Shows boards of files as they are understood; whoever looks at them takes them or not. */
  async function giveBoards(files: readonly File[]): Promise<void> {
    const all = await Promise.all(files.map(readFile));
    // Files that are dropped onto the open window come beside those in it.
    if (parts.dialog.peek() !== "board-files") desk.ask((session) => session.drop_files());
    let given = false;
    for (const read of all) {
      if (read.kind === "too_large") tell(text.files.ofFile(read.name, text.files.tooLarge), true);
      else if (read.kind !== "read") tell(text.files.ofFile(read.name, text.files.notRead), true);
      else {
        desk.ask((session) => session.give_file(read.name, read.bytes));
        given = true;
      }
    }
    if (!given) return;
    parts.dialog.value = "board-files";
    desk.lookAgain();
  }

  const self: FileDesk = {
    undo: () => step("undo"),
    redo: () => step("redo"),
    save() {
      const content = desk.ask((session) => session.save());
      const name = desk.ask((session) => session.save_name());
      if (content === null || name === null) return;
      saveFile(name, content, "application/json");
      keeper.savedAsFile();
      tell(text.files.saved(name), false);
    },
    async saveWithPhotos() {
      const content = desk.ask((session) => session.save());
      const name = desk.ask((session) => session.save_name())?.replace(/json$/, "zip");
      const hashes = desk.ask((session) => session.photos())?.map((photo) => photo.hash) ?? [];
      if (content === null || name === undefined) return;
      const found = new Map<string, Blob>();
      for (const hash of hashes) {
        const file = await parts.photos.read(hash);
        if (file !== null) found.set(hash, file);
      }
      const { file, left } = await pack(content, found);
      saveFile(name, file, "application/zip");
      keeper.savedAsFile();
      const without = new Set(hashes).size - found.size + left;
      tell(without === 0 ? text.files.saved(name) : text.files.savedWithout(name, without), without > 0);
    },
    async choose() {
      const [file] = await chooseFiles(".json,.zip,application/json,application/zip", false);
      if (file !== undefined) await self.openFile(file);
    },
    async chooseBoards() {
      await giveBoards(await chooseFiles(BOARD_FILES.join(","), true));
    },
    async take(files) {
      const boards = files.filter((file) => BOARD_FILES.some((ending) => file.name.toLowerCase().endsWith(ending)));
      if (boards.length > 0) {
        self.passOver(files.filter((file) => !boards.includes(file)));
        return giveBoards(boards);
      }
      const [file, ...others] = files;
      self.passOver(others);
      if (file !== undefined) await self.openFile(file);
    },
    passOver(files) {
      if (files.length > 0) tell(text.files.passedOver(files.map((file) => file.name)), true);
    },
    async openFile(file) {
      const read = await readFile(file);
      switch (read.kind) {
        case "too_large":
          return tell(text.files.ofFile(read.name, text.files.tooLarge), true);
        case "unreadable":
          return tell(text.files.ofFile(read.name, text.files.notRead), true);
        case "zip":
          return openZip(file, read.name);
        case "read":
          if (await openAsNew(new TextDecoder().decode(read.bytes), read.name)) {
            tell(older ? text.files.openedOlder(read.name) : text.files.opened(read.name), false);
          }
      }
    },
    openText: openAsNew,
    async newJob() {
      const empty = desk.ask((session) => session.new_job());
      if (empty === null) return;
      if (await openAsNew(empty, "")) desk.goTo("timber");
    },
    async offcutsHome() {
      const home = desk.ask((session) => session.offcuts_home());
      if (home === null) return;
      if (home.count === 0) return tell(home.sentence, true);
      if (!(await openAsNew(home.job, ""))) return;
      desk.goTo("timber");
      tell(home.sentence, false);
    },
    async demo(name) {
      const content = fixtures[name];
      if (content !== undefined) await openAsNew(content, "");
    },
    demos: () =>
      Object.entries(fixtures)
        .map(([name, content]) => ({ name, title: titleOf(content) ?? name }))
        .sort((a, b) => (a.title < b.title ? -1 : 1)),
    async fromShelf(id, again = false) {
      const job = await shelf.read(id).catch(() => undefined);
      if (job === undefined) return tell(text.files.notRead, true);
      if (again) await openText(job.text, job.title, (show) => keeper.takeOver(job.stamp, show));
      else if (await mayLeave()) await openText(job.text, job.title, (show) => keeper.begin(job.id, job.stamp, show));
      await parts.giveBackDraft();
    },
    async keepCopy() {
      const title = desk.state.value.title;
      desk.set({ kind: "job", row: 0, index: null, of_part: false }, "title", text.tabs.copyOf(title));
      await keeper.begin(freshId(), 0);
      keeper.changed();
    },
    svgOf(board: CopyOf) {
      const { boards, problems } = desk.state.value;
      const rows = boards.filter((row) => row.id === board.id).map((row) => row.thing.row);
      const wrong = problems.find((problem) => problem.thing !== null && problem.level === "error" && rows.includes(problem.thing.row) && !["part", "job"].includes(problem.thing.kind));
      const why = wrong === undefined ? "" : wrong.place === "" ? wrong.message : text.files.ofFile(wrong.place, wrong.message);
      const none = text.files.noDrawing(board.id, why);
      void draw(desk.ask((session) => session.svg_board(board.id, board.copy, parts.today())), none);
    },
    svgOfFace(of, back, stands, title) {
      void draw(desk.ask((session) => session.svg_face(of, back, stands, parts.today())), text.files.noDrawing(title, ""));
    },
    svgOfAll() {
      void draw(desk.ask((session) => session.svg_all(parts.today())), text.files.noBoards);
    },
    print(paper) {
      const sheets = desk.ask((session) => session.sheets(paper, parts.today()));
      if (sheets === null || sheets.length === 0) return tell(text.print.nothing, true);
      void Promise.all(sheets.map((sheet) => parts.photos.complete(sheet.svg, false))).then((svgs) => parts.printSheets(svgs, paper));
    },
  };
  return self;
}

function titleOf(content: string): string | null {
  try {
    const job = JSON.parse(content) as { title?: unknown };
    return typeof job.title === "string" && job.title !== "" ? job.title : null;
  } catch {
    return null;
  }
}
