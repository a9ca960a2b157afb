// Sentences of the page that are not measurements. Words for lengths, sizes, reasons and
// findings come from the core; what stands here is what the page itself has to say.

/** Apart from the others, so that the small script that starts the page carries no more than this. */
export const startTrouble = "The page could not start";
export const opening = "Opening…";

export const text = {
  product: "Heartside",
  untitled: "Untitled job",

  details: "Details",
  anotherKeys: "Another like it (Ctrl+Enter in a field)",

  places: {
    timber: "Timber",
    piece: "Piece",
    setting_out: "Setting out",
    bench: "Bench",
  },

  back: "Back to",
  another: "Add another",
  remove: "Remove",
  close: "Close",
  skip: "Straight to",
  toFloor: "To the floor",
  toSheet: "To the sheet",

  firstSteps: {
    heading: "Three things to do",
    lines: [
      "These are the boards of a made-up writing desk, lying on the floor at true scale; the parts wait on the trestle below.",
      "Under Setting out, press Set out and watch a plan grow. Every plan you see has been checked, and you can stop at any time.",
      "Then drag a part about, turn it, or put it back on the trestle; for a job of your own choose New job under More.",
    ],
    dismiss: "Understood",
  },

  newSteps: {
    heading: "Three things to do",
    boards: "Add your boards: length, thickness and widths, by tape. Enter goes from field to field.",
    addBoard: "Add a board",
    parts: "Type or paste the list of parts, one a line.",
    addParts: "Type the parts",
    setOut: "Look over the saws below, then set out.",
  },

  empty: {
    boards: "No boards yet",
    boardsInvite: "Add your first board: its length and its width at a few places, by tape.",
    addFirstBoard: "Add your first board",
    parts: "No parts yet",
    partsInvite: "Add a part, or paste the list you already have.",
    plan: "Nothing is set out yet",
    planInvite: "Press Set out. A first plan comes at once and better ones while you watch.",
    bench: "No cuts yet",
    benchInvite: "The cuts appear here, in order, as soon as a plan lies on the floor.",
    trestle: "nothing waiting; drag a part here to take it off its board",
    trestleNoParts: "no parts yet",
  },

  smallWorkshop:
    "Three usual saws to begin with. Their kerfs and limits are common practice, no source: put yours in their place. The manual of each machine comes first.",

  keeping: {
    kept: "Kept in this browser",
    keeping: "Keeping…",
    off: "Not kept: this browser refuses storage. Save a file before you close the page.",
    full: "Not kept: the browser has no room left. Save a file before you close the page.",
    silent: "This browser's store does not answer. Jobs kept in it are offered here as soon as it does.",
    silentShort: "Not kept: the browser's store does not answer. Save a file before you close the page.",
    answers: "The browser's store answers again. It keeps",
    openKept: "Open it",
    draft: "What you were typing stands in its field again.",
    draftLost: "You were typing this into a field that is no longer there:",
    reader: "Not kept from here: this job is open in another tab, which keeps it.",
    clash: "Not kept: another tab kept a newer state of this job.",
    explain:
      "After every change the job is put into this browser's own store on this machine and nowhere else. Clearing the browser's site data removes it, and another browser does not see it, so save a file for work that matters.",
  },

  leaving: {
    heading: "This job is not kept",
    explain: "What was changed on the floor is kept neither in this browser nor in a file. If you go on, it is gone.",
    save: "Save a file and go on",
    go: "Go on without it",
    stay: "Stay",
  },

  tabs: {
    heading: "This job is open in two tabs",
    reader:
      "Another tab has this job open and keeps what is done there. What you change here is not kept until you choose.",
    clash:
      "Another tab has kept a newer state of this job. Nothing has been written over. Which do you want to go on with?",
    loadOther: "Load the newer one; what was changed here is gone",
    keepBoth: "Keep both: go on here with a copy",
    takeOver: "Keep the work from this tab",
    copySuffix: "(copy)",
    handedOver: "Another tab keeps this job now. Changes made here are not kept.",
  },

  trouble: {
    heading: "Something went wrong inside",
    session:
      "The last step could not be done and was left out. Your job is as it was before it; nothing else is lost.",
    worker: "The search stopped unexpectedly and was started again from the best plan so far.",
    noWorker:
      "The search could not begin: this browser lets the page start no worker. Your job is as it was. Load the page again, or open it in another browser.",
    workerGivesUp: "The search keeps stopping. The best plan so far stays on the floor. Save the job and load the page again.",
    reload: "Load the page again",
    details: "What the machine said",
  },

  files: {
    refused: "This file was not opened. Your job is as it was.",
    notRead: "This file could not be read.",
    tooLarge: "This file is far larger than a job can be (over 20 MB), so it was not opened.",
    opened: "Opened",
    older: "It was of an older form: what counts differently now is told at the foot of the list of boards.",
    dropHere: "Let go to open the job",
    saved: "Saved as",
    noDrawing: (board: string): string => `Board ${board} was not drawn, and nothing was saved: it has to be mended first.`,
    noBoards: "Nothing was saved: there is no board that could be drawn. Mend or add one first.",
  },

  floor: {
    moreBelow: (count: number) => `${count} more below`,
    turn: "turn",
    partOn: (part: string, board: string) => `${part}, on board ${board}`,
    oneOf: (board: string, number: number) => `${board}, no. ${number}`,
    turnHint: "Pull round to turn the part",
  },
  problems: {
    toMend: "To mend",
    toKnow: "Good to know",
  },

  search: {
    setOut: "Set out",
    improve: "Keep improving",
    stop: "Stop",
    /** From the first moment; `what` is such as "40 boards and 300 parts". */
    looking: (what: string) => `Looking at ${what} for a first plan…`,
    longLook: (what: string) => `Still looking at ${what}. A first plan of so large a job takes a while; Stop ends it at once.`,
    better: "Looking for a better plan…",
    firstPlan: "First plan",
    betterPlan: "Better plan",
    noWork: "Add at least one board and one part first.",
    stale: "The job was changed, so the search stopped. Set out again for a new plan.",
    finished: "No better plan was left to look for.",
    stopped: "Stopped.",
    /** The ends of the small measure. */
    least: "least possible",
    first: "first plan",
    firstFull: "first complete plan",
    details: "How to repeat this plan",
    stoppedEmpty: "Stopped before there was a first plan: nothing was placed.",
  },

  about: {
    heading: "About Heartside",
    lines: [
      "Heartside decides with you which part comes out of which board, where, which way round and in which order of cuts.",
      "It works without any connection: nothing you enter leaves this machine.",
      "A plan is shown as checked only after a separate checker has found every rule kept. Measure your boards again before the first cut all the same: every cut is final.",
      "Machines are dangerous. The maker's manual of each machine and the rules of your workshop come before anything written here.",
    ],
    licence: "Free software under MIT or Apache-2.0.",
  },

  bench: {
    caution: "The manual of the machine and the rules of your workshop come first.",
    care: "Take care",
    wrong: "The plan is wrong in places. What is named here is not shown as cuts.",
    firstTick: "Ticks are not saved yet: closing or reloading the page loses them.",
  },

  ticks: {
    heading: "Some of its cuts are ticked",
    explain: (boards: string, cuts: number): string =>
      `${cuts === 1 ? "A cut" : `${cuts} cuts`} of ${boards} ${cuts === 1 ? "is" : "are"} ticked as done. What has been sawn cannot be laid out anew, and these ticks go with the list as it is. Undo brings both back.`,
    go: "Move it all the same",
    goAll: "Go on all the same",
    leave: "Leave it",
  },

  keys: {
    heading: "Keys",
    letters: "Single letters, digits and signs are orders",
    lettersHint: "Switch them off where a slip or dictated words would press them. Keys with Ctrl, arrows and Del stay.",
    floor: "On the floor",
    floorLines: [
      ["Tab, arrows", "Walk from board to board and part to part"],
      ["Enter", "Choose what you have walked to"],
      ["Space + drag", "Move the picture"],
      ["Wheel, pinch", "Closer and farther"],
      ["Alt + drag", "Carry a part without snapping"],
    ],
  },

  paste: {
    heading: "Type or paste a list of parts",
    explain:
      "One part a line: its name, how many, length, width, thickness; then tenons, species, across or sawn if need be. Or rows out of a table with their headings, in any order.",
    example: "Leg 4 720 60 60\nLong rail 2 1100 90 24 tenons 30\nTop stave 5 1400 130 22 oak",
    column: "What is the column",
    take: "Add these parts",
    takeKeys: "Ctrl+Enter",
    cancel: "Cancel",
  },

  print: {
    heading: "Print",
    explain:
      "First all boards, the parts and what is still to buy; then each board to scale with its cuts to tick. Readable in black and white.",
    go: "Print",
    nothing: "There is nothing to print until a plan lies on the floor.",
  },
} as const;
