// Sentences of the page that are not measurements, by where they are read. Words for lengths,
// sizes, reasons and findings come from the core; what stands here is what the page itself has to
// say. A translation touches this folder alone.

import { actions, groups, instead, shown } from "./actions";
import { bench } from "./bench";
import { drawing } from "./drawing";
import { figure } from "./figure";
import { figureShown } from "./figure-shown";
import { firstSteps, floor, newSteps, trestle } from "./floor";
import { files, keeping, leaving, tabs, trouble } from "./keeping";
import { photograph } from "./photograph";
import { boardLines, faces, forms, marking, panels, piece, places, problems, rows, search, selection, settingOut, sheet, timber, whatIf } from "./sheet";
import { about, boardFiles, filesOut, keys, menu, paste, plans, print, shelf, workshop } from "./windows";

const page = {
  product: "Heartside",
  titled: (job: string) => `${job} – Heartside`,
  untitled: "Untitled job",
  jobName: "Name of the job",
  rename: "Rename the job",
  tools: "Always at hand",
  close: "Close",
  skip: "Skip to",
  toFloor: "To the floor",
  toSheet: "To the sheet",
} as const;

export const text = {
  page,
  actions,
  instead,
  shown,
  groups,
  places,
  sheet,
  forms,
  rows,
  timber,
  boardLines,
  boardFiles,
  marking,
  piece,
  faces,
  panels,
  whatIf,
  figure,
  problems,
  selection,
  settingOut,
  search,
  bench,
  drawing,
  floor,
  trestle,
  firstSteps,
  newSteps,
  keeping,
  leaving,
  tabs,
  files,
  trouble,
  about,
  menu,
  shelf,
  plans,
  workshop,
  keys,
  paste,
  print,
  filesOut,
  photograph,
  figureShown,
} as const;
