// The names of everything that can be done, as menu, buttons, keys and the list of keys show them.

export const actions = {
  "go-timber": "Timber",
  "go-piece": "Piece",
  "go-setting-out": "Setting out",
  "go-bench": "Bench",

  undo: "Undo",
  redo: "Redo",

  "turn-left": "Turn a quarter, left",
  "turn-right": "Turn a quarter, right",
  "turn-little-left": "Turn a little, left",
  "turn-little-right": "Turn a little, right",
  "turn-over": "Turn over",
  pin: "Keep it here",
  "to-trestle": "Put on the trestle",
  "saw-by-line": "Saw it by line",
  "nudge-left": "Move 1 mm left",
  "nudge-right": "Move 1 mm right",
  "nudge-up": "Move 1 mm up",
  "nudge-down": "Move 1 mm down",
  "push-left": "Move 10 mm left",
  "push-right": "Move 10 mm right",
  "push-up": "Move 10 mm up",
  "push-down": "Move 10 mm down",

  "draw-outline": "Outline and holes",
  "draw-area": "A marked area",
  "draw-grain": "Grain",
  "draw-done": "Take what is drawn",
  "draw-close": "Close the line",
  "draw-before": "The point before",
  "draw-next": "The next point",

  "add-board": "Add a board",
  "drop-photo": "Take the photo of the chosen board away",
  "type-boards": "Type boards as lines",
  "from-photo": "A board from a photograph",
  "board-files": "Boards from drawings or tables",
  "add-part": "Add a part",
  "paste-parts": "Type or paste a list",
  duplicate: "Add another like it",
  "open-chosen": "Open what is chosen",
  workshop: "Workshop: saws, kerfs, trim, allowances",

  "set-out": "Set out",
  "clear-plan": "Take everything off the boards",
  "keep-plan": "Keep this plan",
  compare: "Compare two plans",

  "cut-done": "The next cut is made",
  measure: "Measure",
  "came-to-light": "Something came to light",
  "own-cut": "A cut of your own",
  spoil: "A part was spoiled",
  "by-board": "List the cuts board by board",
  awake: "Keep the screen on at the bench",

  fit: "Show the whole floor",
  closer: "Closer",
  farther: "Farther",
  "let-go": "Let go",

  save: "Save a file",
  "save-with-photos": "Save with photographs (ZIP)",
  open: "Open a file",
  "new-job": "New job",
  "offcuts-home": "New job with these offcuts",
  "kept-jobs": "Jobs kept in this browser",
  "svg-board": "Drawing of the chosen board (SVG)",
  "svg-all": "Drawing of all boards (SVG)",
  print: "Print",
  "files-out": "Labels, templates, files",

  units: "Lengths in inches",
  theme: "Dark slate",
  "figure-shown": "Show the figure",
  keys: "Keys",
  kept: "Is my work kept?",
  about: "About",
  menu: "More",
} as const;

/** What the same actions are called where they do the opposite or go on. */
export const instead = {
  drawThisArea: "This marked area",
  endLine: "End the line",
  unpin: "Let it move again",
  stop: "Stop",
  improve: "Keep improving",
  rest: "Set out the rest",
  bySetUp: "List the cuts by set-up",
  letSleep: "Let the screen go dark at the bench",
  millimetres: "Lengths in millimetres",
  lightPaper: "Light paper",
  figureHidden: "Hide the figure",
  /** `what` is the step, such as "turning Leg 2". */
  step: (verb: string, what: string) => `${verb}: ${what}`,
} as const;

/** Shorter words on buttons whose place says the rest. */
export const shown = {
  open: "Open",
  save: "Save",
  turnLeft: "Turn left",
  turnRight: "Turn right",
  wholeFloor: "Whole floor",
  workshop: "Workshop",
  cut: "Cut",
  /** Spoken before the name of the action, so that what is seen is part of what is heard. */
  spoken: (short: string, name: string) => `${short}. ${name}`,
  withKey: (name: string, key: string) => `${name} (${key})`,
} as const;

export const groups = {
  places: "The four places",
  work: "Undo and redo",
  drawing: "Drawing on a board",
  part: "The chosen part",
  board: "Boards and parts",
  plan: "Setting out",
  bench: "At the bench",
  floor: "The floor",
  file: "Files and paper",
  page: "The page",
} as const;
