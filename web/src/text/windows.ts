// Sentences of the windows that open over the page.

import { counted } from "./counted";

export const about = {
  heading: "About Heartside",
  lines: [
    "Heartside decides with you which part comes out of which board, where, which way round and in which order of cuts.",
    "It works without any connection: nothing you enter leaves this machine.",
    "A plan is shown as checked only after a separate checker has found every rule kept. Measure your boards again before the first cut all the same: every cut is final.",
    "Machines are dangerous. Each machine's manual and the rules of your workshop come before anything written here.",
  ],
  made: (version: string) => `Version ${version}. Free software under MIT or Apache-2.0.`,
} as const;

export const menu = {
  heading: "More",
  demos: "Example jobs",
} as const;

export const shelf = {
  heading: "Jobs kept in this browser",
  none: "None yet.",
  onFloor: (when: string) => `${when}, on the floor now`,
  forget: "Forget",
  forgetJob: (job: string) => `Forget ${job}`,
  surely: "Forget for good",
  surelyJob: (job: string) => `Forget for good: ${job}`,
} as const;

export const plans = {
  keep: "Keep this plan",
  name: "Name of the plan",
  usual: (number: number) => `Plan ${number}`,
  taken: "A plan of this name is kept already.",
  keepIt: "Keep it",
  compare: "Two plans side by side",
  first: "First plan",
  second: "Second plan",
  boards: "Boards",
  onFloor: "on the floor now",
  pictureOnFloor: "The plan on the floor",
  picture: (name: string) => `The plan ${name}`,
} as const;

export const workshop = {
  heading: "Workshop",
  tabs: { saws: "Saws and limits", allowances: "Allowances", job: "This job" },
  saws: "Saws and planers",
  species: "Your own species",
  addSpecies: "Add a species",
} as const;

export const keys = {
  heading: "Keys",
  letters: "Use single letters, digits and signs as shortcuts",
  lettersHint: "Switch this off where a slip or dictated words would press them. Keys with Ctrl, arrows and Del stay.",
  floorLines: [
    ["Tab, arrows", "Walk from board to board and part to part"],
    ["Enter", "Choose what you have walked to"],
    ["Space + drag", "Move the picture"],
    ["Wheel, pinch", "Closer and farther"],
    ["Alt + drag", "Carry a part without snapping"],
  ],
} as const;

export const paste = {
  heading: "Type or paste a list of parts",
  explain:
    "One part per line: name, how many, length, width, thickness; then tenons, species, across or sawn where needed. Or rows from a table with their headings, in any order.",
  list: "The list",
  example: "Leg 4 720 60 60\nLong rail 2 1100 90 24 tenons 30\nTop stave 5 1400 130 22 oak",
  column: (heading: string) => `What is the column “${heading}”?`,
  badLine: (line: number, problem: string) => `Line ${line}: ${problem}`,
  heads: { part: "Part", count: "How many", finished: "Finished", blank: "Blank" },
  take: "Add these parts",
  takeSome: (count: number) => `Add these parts (${count})`,
  takeKeys: "Ctrl+Enter",
  cancel: "Cancel",
} as const;

export const boardFiles = {
  heading: "Boards from files",
  explain:
    "This is how the files are understood: SVG and DXF drawings, and tables (CSV) with headings such as Length, Width, Thickness, Species. Nothing is added before you take it.",
  unit: "What is it measured in?",
  unitHint: (extent: string) => `The file does not say. All that is drawn measures ${extent}.`,
  choose: "Choose…",
  thickness: "How thick are its boards?",
  names: "What layers and shapes are",
  byPlace: "as it lies: a board, or a hole in one",
  line: (line: number, problem: string) => `Line ${line}: ${problem}`,
  takeBoard: (board: string) => `Take ${board}`,
  take: (count: number) => counted(count, { one: "Take # board", other: "Take # boards" }),
  cancel: "Cancel",
} as const;

export const print = {
  heading: "Print",
  explain:
    "First all boards, the parts and what is still to buy; then each board to scale with its cuts to tick, and each panel as it is glued up. Readable in black and white.",
  paper: "Paper",
  a4: "A4",
  letter: "Letter",
  go: "Print",
  nothing: "There is nothing to print until a plan lies on the floor.",
} as const;
