// What leaves a plan as files and paper: how it is wanted, what comes of it, saved as one ZIP file or printed.

import { computed, signal, type ReadonlySignal, type Signal } from "@preact/signals";

import type { BetweenCells, FileKind, FilesOut, Paper } from "../protocol/generated";
import { text } from "../text";
import { packTexts } from "./bundle";
import type { Desk } from "./desk";
import type { Photos } from "./photos";

/** In the order of the window and of the saved file. */
export const fileKinds: readonly FileKind[] = ["pages", "labels", "templates", "csv", "dxf", "svg"];
export const papers: readonly Paper[] = ["a4", "a3", "letter"];
export const betweens: readonly BetweenCells[] = ["commas", "semicolons"];

/** Labels come on sheets of A4 where everything else is on A3. */
export const paperOf = (kind: FileKind, paper: Paper): Paper => (kind === "labels" && paper === "a3" ? "a4" : paper);

/** How files are wanted, as it was chosen and typed; it comes back the next time. */
export interface Wanted {
  readonly paper: Paper;
  readonly between: BetweenCells;
  readonly grid: string;
  readonly measures: readonly string[];
  readonly overlap: string;
}

/** Lengths are typed in the job's unit, so there is one for each. */
type Units = "mm" | "in";

interface Kept {
  readonly kinds: readonly FileKind[];
  readonly wanted: Readonly<Record<Units, Wanted>>;
}

export interface FilesOutDesk {
  readonly kinds: ReadonlySignal<readonly FileKind[]>;
  readonly wanted: ReadonlySignal<Wanted>;
  /** The first label on a sheet that was begun: each time another one. */
  readonly first: Signal<string>;
  /** The names of all files of all kinds, and what is wrong with what was typed. */
  readonly names: ReadonlySignal<FilesOut | null>;
  tick(kind: FileKind, on: boolean): void;
  choose(change: Partial<Wanted>): void;
  /** Takes over what was chosen the last time. */
  recall(kept: string | undefined): void;
  /** Saves the files of the kinds that are ticked, unless something is wrong; says whether it did. */
  save(): Promise<boolean>;
  print(kind: FileKind): Promise<void>;
}

export interface FilesOutParts {
  readonly desk: Desk;
  readonly photos: Photos;
  readonly today: () => string;
  readonly saveFile: (name: string, content: Blob, type: string) => void;
  readonly printSheets: (svgs: readonly string[], paper: Paper) => void;
  readonly remember: (kept: string) => void;
}

const usual = (paper: Paper): Wanted => ({ paper, between: "commas", grid: "plain", measures: [], overlap: "" });

export function makeFilesOut(parts: FilesOutParts): FilesOutDesk {
  const { desk, photos } = parts;
  const kept = signal<Kept>({ kinds: fileKinds, wanted: { mm: usual("a4"), in: usual("letter") } });
  const units = computed<Units>(() => (desk.state.value.units === "in" ? "in" : "mm"));
  const wanted = computed(() => kept.value.wanted[units.value]);
  const kinds = computed(() => kept.value.kinds);
  const first = signal("");

  const ask = (kinds: readonly FileKind[], texts: boolean): FilesOut | null =>
    desk.ask((session) => session.files_out({ ...wanted.value, measures: [...wanted.value.measures], kinds: [...kinds], texts, first: first.value, date: parts.today() }));

  function keep(now: Kept): void {
    kept.value = now;
    parts.remember(JSON.stringify(now));
  }

  function tell(sentence: string, problem: boolean): void {
    desk.notice.value = { text: sentence, tone: problem ? "problem" : "plain", buttons: [] };
    desk.say(sentence);
  }

  return {
    kinds,
    wanted,
    first,
    names: computed(() => {
      void desk.changes.value;
      return ask(fileKinds, false);
    }),
    tick: (kind, on) => keep({ ...kept.value, kinds: fileKinds.filter((each) => (each === kind ? on : kept.value.kinds.includes(each))) }),
    choose: (change) => keep({ ...kept.value, wanted: { ...kept.value.wanted, [units.value]: { ...wanted.value, ...change } } }),
    recall(text) {
      kept.value = recalled(text, kept.value);
    },
    async save() {
      const out = ask(kinds.value, true);
      if (out === null || out.wrong.some(({ kind }) => kinds.value.includes(kind))) return false;
      if (out.files.length === 0) {
        tell(text.filesOut.nothing, true);
        return false;
      }
      const whole = [];
      for (const { name, text } of out.files) whole.push({ name, text: await photos.complete(text, true) });
      const { file, left } = packTexts(whole, new Date());
      parts.saveFile(out.name, file, "application/zip");
      tell(left === 0 ? text.files.saved(out.name) : text.filesOut.noRoom(left), left > 0);
      return true;
    },
    async print(kind) {
      const out = ask([kind], true);
      if (out === null || out.files.length === 0) return;
      const svgs = await Promise.all(out.files.map((file) => photos.complete(file.text, false)));
      parts.printSheets(svgs, paperOf(kind, wanted.value.paper));
    },
  };
}

/** What was kept, as far as it is understood. */
function recalled(text: string | undefined, usual: Kept): Kept {
  try {
    const found = JSON.parse(text ?? "") as Partial<Kept>;
    const of = (unit: Units): Wanted => {
      const theirs: Partial<Wanted> = found.wanted?.[unit] ?? {};
      const ours = usual.wanted[unit];
      const words = Array.isArray(theirs.measures) ? theirs.measures.map(String) : [];
      return {
        paper: papers.find((each) => each === theirs.paper) ?? ours.paper,
        between: betweens.find((each) => each === theirs.between) ?? ours.between,
        grid: String(theirs.grid ?? ours.grid),
        measures: words,
        overlap: String(theirs.overlap ?? ""),
      };
    };
    return { kinds: fileKinds.filter((kind) => found.kinds?.includes(kind)), wanted: { mm: of("mm"), in: of("in") } };
  } catch {
    return usual;
  }
}
