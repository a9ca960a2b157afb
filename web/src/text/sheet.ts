// Sentences of the side sheet: the four places, what is chosen, and what all forms share.

import { counted } from "./counted";

export const places = {
  row: "Places",
  timber: "Timber",
  piece: "Piece",
  setting_out: "Setting out",
  bench: "Bench",
} as const;

export const sheet = {
  name: "Sheet",
  height: "Height of the sheet",
} as const;

export const forms = {
  details: "Details",
  anotherKeys: "Another like it (Ctrl+Enter in a field)",
  backTo: (where: string) => `Back to ${where}`,
  another: "Add another",
  anotherLike: (what: string) => `Add another like ${what}`,
  remove: "Remove",
  removeWhat: (what: string) => `Remove ${what}`,
  choose: (field: string) => `${field}: choose`,
  faces: {
    heading: "Its two faces",
    turn: "Turn it over",
    up: "Up face",
    down: "Down face",
    hint: "It turns over about its length, like a page: what is at the upper edge comes to the lower.",
  },
  ofCell: (row: string, column: string, problem: string) => `${row}, ${column}: ${problem}`,
  ripped: {
    heading: "Ripped into staves first, the cup leaves it so thick",
    staves: "Staves",
    width: "Each wide",
    finishes: "Finishes at",
    whole: "whole",
  },
  notSet: "not set",
  changeIt: (what: string, value: string) => `${what}: ${value}. Change it`,
} as const;

export const rows = {
  toMend: "to mend",
  thingsToMend: (count: number) => counted(count, { one: "# thing to mend", other: "# things to mend" }),
  leftOut: "left out until it is mended",
  part: "Part",
  count: "Count",
  howMany: (of: string) => `How many of ${of}`,
  finished: "finished",
  blank: "blank",
} as const;

export const timber = {
  empty: "No boards yet",
  invite: "Add your first board: its length and its width at a few places, by tape.",
  addFirst: "Add your first board",
  board: "Board",
  thick: "Thick",
  thicknessOf: (board: string) => `Thickness of ${board}`,
  saws: "Saws",
  addSaw: "Add a saw",
  kerfOf: (saw: string) => `Kerf of ${saw}`,
  smallWorkshop:
    "Three common saws to begin with. Their kerfs and limits are common practice, not from a source: put in your own. Each machine's manual comes first.",
} as const;

export const boardLines = {
  heading: "Boards, one per line",
  example: (units: string) => (units === "in" ? "8' 9\" x 5+4 1/2 5 1/4+4 1" : "2680 x 128/110 131/110 27"),
  explain: (units: string) =>
    units === "in"
      ? "Length x widths, left+right of the chalk line, from the start end to the far end; the thickness last. Enter takes the board and goes on to the next."
      : "Length x widths, left/right of the chalk line, from the start end to the far end; the thickness last. Enter takes the board and goes on to the next.",
  more: "What a line can say",
  forms: (units: string): readonly (readonly [string, string])[] =>
    units === "in"
      ? [
          ["96 x 8 x 3/4", "straight all along; an x before a thickness that is a fraction"],
          ["96 x 8 6 1", "a taper"],
          ["96 x 5+4 @30 5 1/4+4 5+4 1", "@: measured 30 from the start end; the others evenly spaced"],
          ["C: 96 x 8 1 white oak, 3 alike", "with its mark, its wood, and how many"],
          ["96 x 8 1, straight left, called From the barn", "a straight edge; a name, last"],
          ["2.4 m x 200 25 mm", "other units, written out"],
        ]
      : [
          ["2680 x 140 27", "the same width all along, half on either side of the line"],
          ["2680 x 140 120 27", "a taper"],
          ["2680 x 128/110 @900 131/110 128/112 27", "@: measured 900 from the start end; the others evenly spaced"],
          ["C: 2680 x 140 27 European oak, 3 alike", "with its mark, its wood, and how many"],
          ["2680 x 140 27, straight left, called From the barn", "a straight edge; a name, last"],
          ["8' x 5 1/2\" x 1\"", "other units, written out"],
        ],
  take: (count: number) => counted(count, { one: "Take # board", other: "Take # boards" }),
  takeKeys: "Enter",
} as const;

export const marking = {
  heading: "Mark on the picture",
  choose: "Choose what it is, then tap the board where it lies.",
  kinds: { knot: "Knot", split: "Split", sapwood: "Sapwood", fixing: "Screw or nail", figure: "Figure" },
  tap: {
    knot: "Tap each knot on its board, and drag it right. Press Knot again to stop.",
    split: "Tap each split on its board, and drag it right. Press Split again to stop.",
    sapwood: "Tap where the sapwood ends. Press Sapwood again to stop.",
    fixing: "Tap each screw or nail, and drag it right. Press it again to stop.",
    figure: "Tap where the figure is, and drag it right. Press Figure again to stop.",
  },
} as const;

export const piece = {
  empty: "No parts yet",
  invite: "Add a part, or paste the list you already have.",
  dimensions: "Named dimensions",
  addDimension: "Add a dimension",
  matches: "Parts that must look related",
  addMatch: "Add a match",
} as const;

export const problems = {
  toMend: "To mend",
  toKnow: "Good to know",
} as const;

export const selection = {
  name: "Chosen",
  buttons: "Move and turn",
  board: "Board",
  otherBoard: "Another board",
  layOn: "Lay it on",
  /** One of several boards of one mark. */
  copy: (board: string, number: number, count: number) => `${board}, no. ${number} of ${count}`,
  named: (board: string, name: string) => `${board} – ${name}`,
} as const;

export const settingOut = {
  empty: "Nothing is set out yet",
  invite: "Press Set out. A first plan comes at once and better ones while you watch.",
  details: "How to repeat this plan",
  notPlaced: "Not placed",
  findings: "Found by the checker",
  notChecked: "not checked",
  caution: "good to know; the plan stands",
  aims: "What matters most",
  up: "Up",
  down: "Down",
  matters: { more: (aim: string) => `Up: ${aim} matters more`, less: (aim: string) => `Down: ${aim} matters less` },
  kept: "Kept plans",
  show: "Put this plan on the floor",
  onFloor: "on the floor now",
  breaksRule: "breaks a rule now",
  forget: "Forget",
  forgetPlan: (name: string) => `Forget the plan ${name}`,
  /** The ends of the small measure. */
  least: "proved floor",
  first: "first plan",
  firstFull: "first complete plan",
} as const;

export const panels = {
  name: (panel: string) => `${panel}, glued up`,
  up: (stave: string, panel: string) => `${stave} of ${panel}: one place up`,
  down: (stave: string, panel: string) => `${stave} of ${panel}: one place down`,
  movement: "How it moves over the year",
  save: "Save this drawing",
} as const;

export const faces = {
  side: "Which side is shown",
  front: "Front",
  back: "Back",
  grain: "How the grain runs in the picture",
  lies: "Grain lies",
  stands: "Grain stands",
  dragging: "What dragging moves",
  moves: "Move staves",
  pushes: "Slide the wood",
  moveHint: "Drag a stave up or down to another place. To choose other wood for it, press Slide the wood.",
  pushHint: "Drag: the board slides under the part. Or choose a part and press the arrow keys, with Shift by 10 mm; Escape puts it back.",
  keys: "The face with its wood. Arrow keys move the wood under the part that is chosen.",
  large: "Show it large",
  together: (parts: string) => `${parts}, seen together`,
} as const;

export const whatIf = {
  heading: "What if it were another size?",
  hint: "A plan for values over its range, each checked. It takes a little while, and can be stopped.",
  look: "Look",
  stop: "Stop",
  preferred: "preferred",
  here: "now",
  take: "Take it",
  takeIt: (value: string) => `Take the plan for ${value}`,
  failed: "Looking at other sizes failed. Your job is as it was; load the page again if it happens once more.",
} as const;

export const search = {
  /** From the first moment; `what` is such as "40 boards and 300 parts". */
  looking: (what: string) => `Looking at ${what} for a first plan…`,
  longLook: (what: string) => `Still looking at ${what}. A first plan of so large a job takes a while; Stop ends it at once.`,
  better: "Looking for a better plan…",
  firstPlan: (plan: string) => `First plan: ${plan}`,
  betterPlan: (plan: string) => `Better plan: ${plan}`,
  noWork: "Add at least one board and one part first.",
  stale: "The job was changed, so the search stopped. Set out again for a new plan.",
  finished: "There is no better plan left to look for.",
  stopped: (plan: string) => `Stopped. ${plan}`,
  stoppedEmpty: "Stopped before there was a first plan: nothing was placed.",
} as const;
