// Sentences about whether work is kept, about files, and about what went wrong.

import { counted, listed } from "./counted";

export const keeping = {
  short: { kept: "Kept", keeping: "Keeping", not: "Not kept" },
  kept: "Kept in this browser",
  keeping: "Keeping…",
  off: "Not kept: this browser refuses storage. Save a file before you close the page.",
  full: "Not kept: the browser has no room left. Save a file before you close the page.",
  silent: "This browser's store does not answer. Jobs kept in it are offered here as soon as it does.",
  silentShort: "Not kept: the browser's store does not answer. Save a file before you close the page.",
  answers: (job: string) => `The browser's store answers again. It holds ${job}.`,
  openKept: "Open it",
  draft: "What you were typing is back in its field.",
  draftLost: (typed: string) => `You were typing this into a field that is no longer there: “${typed}”`,
  reader: "Not kept by this tab: the job is open in another tab, which keeps it.",
  clash: "Not kept: another tab has kept a newer version of this job.",
  tidy: "Free photos that no job uses",
  tidied: (count: number) => counted(count, { one: "# photo was freed.", other: "# photos were freed." }),
  explain:
    "After every change the job is put into this browser's own store on this machine and nowhere else. Clearing the browser's site data removes it, and another browser does not see it, so save a file for work that matters.",
} as const;

export const leaving = {
  heading: "This job is not kept",
  explain: "The changes on the floor are kept neither in this browser nor in a file. If you go on, they are gone.",
  save: "Save a file and go on",
  go: "Go on without it",
  stay: "Stay",
} as const;

export const tabs = {
  heading: "This job is open in two tabs",
  reader: "Another tab has this job open and keeps what is done there. What you change here is not kept until you choose.",
  clash: "Another tab has kept a newer version of this job. Nothing has been written over. Which do you want to go on with?",
  loadOther: "Load the newer one and lose what was changed here",
  keepBoth: "Keep both: go on here with a copy",
  copyOf: (title: string) => `${title} (copy)`.trim(),
} as const;

export const files = {
  refused: (name: string, why: string) => `${name === "" ? "" : `${name}: `}This file was not opened. Your job is as it was. ${why}`,
  notRead: "This file could not be read.",
  tooLarge: "This file is far larger than a job can be, so it was not opened.",
  ofFile: (name: string, what: string) => `${name}: ${what}`,
  passedOver: (names: readonly string[]) => `Left alone: ${listed(names)}. Drop a job by itself to open it.`,
  opened: (name: string) => `Opened ${name}`,
  openedOlder: (name: string) =>
    `Opened ${name}. It was in an older format; what now means something else is listed below the boards.`,
  dropHere: "Drop a job to open it, or photos, drawings or tables of boards",
  saved: (name: string) => `Saved as ${name}`,
  savedWithout: (name: string, count: number) =>
    counted(count, { one: `Saved as ${name}, but # photo is not in it: it is not in this browser.`, other: `Saved as ${name}, but # photos are not in it: they are not in this browser.` }),
  photosLost: (count: number) =>
    counted(count, { one: "# photo of it could not be kept: the browser has no room left, or the file is broken.", other: "# photos of it could not be kept: the browser has no room left, or the file is broken." }),
  noDrawing: (board: string, why: string) => `Board ${board} was not drawn, and nothing was saved: it needs mending first. ${why}`.trim(),
  noBoards: "Nothing was saved: there is no board that can be drawn. Mend or add one first.",
} as const;

export const trouble = {
  heading: "Something went wrong inside",
  session: "The last step could not be done and was left out. Your job is as it was before it; nothing else is lost.",
  noWorker:
    "The search could not begin: this browser does not let the page start a worker. Your job is as it was. Load the page again, or open it in another browser.",
  workerGivesUp: "The search keeps stopping. The best plan so far stays on the floor. Save the job and load the page again.",
  reload: "Load the page again",
  goOn: "Go on",
  details: "Technical details",
} as const;
