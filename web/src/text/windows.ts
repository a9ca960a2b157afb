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

export const filesOut = {
  heading: "Labels, templates, files",
  explain: "Tick what is to leave the house and save it as one ZIP file, or print it from here.",
  nothing: "There is nothing to save or print here until a plan lies on the floor.",
  look: (placed: string, verdict: string) => `${placed}. ${verdict}. Look at the plan again before you cut.`,
  papers: { a4: "A4", a3: "A3", letter: "Letter" },
  kinds: {
    pages: { name: "Pages to print", what: "For the bench: all boards first, then each board with its cuts to tick." },
    labels: { name: "Labels to stick on", what: "One for each part and each offcut worth keeping: what it is, its size and where it comes from." },
    templates: {
      name: "Templates at full size",
      what: "To glue on the wood: parts that are no rectangles, and boards sawn by line. Print them at 100 %, not fitted to the page, and measure the 100 mm square before you saw.",
    },
    csv: { name: "Lists for spreadsheets (CSV)", what: "Boards, parts, cuts, offcuts, and what is still to find." },
    dxf: { name: "Drawings for other programs (DXF)", what: "Each board and each part in millimetres, for drawing programs and routers." },
    svg: { name: "Pictures in true size (SVG)", what: "Each board and all boards together, to look at or send on." },
  },
  sheets: (count: number, paper: string) => (count === 0 ? "none needed" : counted(count, { one: `# sheet, ${paper}`, other: `# sheets, ${paper}` })),
  files: (count: number) => counted(count, { one: "# file", other: "# files" }),
  wrong: "to mend below",
  printKind: (name: string) => `Print: ${name}`,
  between: "Between cells",
  betweens: { commas: "commas, 12.5", semicolons: "semicolons, 12,5" },
  grid: "Sheet of labels",
  plain: (grid: string) => `Plain paper to cut up: ${grid}`,
  own: "Another: type its measures",
  measures: ["Rows", "Columns", "Label, width", "Label, height", "Margin left", "Margin top", "Between columns", "Between rows"],
  first: "Begin at label",
  firstHint: (count: number) => `A sheet has ${count}, counted row by row. Begin later where some are gone already.`,
  overlap: "Sheets overlap by",
  save: (count: number) => counted(count, { one: "Save # file as a ZIP", other: "Save # files as one ZIP" }),
  noRoom: (count: number) => counted(count, { one: "# file is not in it: a ZIP file cannot be so large.", other: "# files are not in it: a ZIP file cannot be so large." }),
} as const;

export const print = {
  heading: "Print",
  explain:
    "First all boards, the parts and what is still to buy; then each board to scale with its cuts to tick, and each panel as it is glued up. Readable in black and white.",
  paper: "Paper",
  go: "Print",
  nothing: "There is nothing to print until a plan lies on the floor.",
} as const;
