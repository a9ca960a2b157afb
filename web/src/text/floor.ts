// Sentences of the floor and the trestle.

import { counted } from "./counted";

export const floor = {
  name: "The floor",
  zoom: "Closer and farther",
  closeMessage: "Close this message",
  moreBelow: (count: number) => `${count} more below`,
  turn: "turn",
  partOn: (part: string, board: string) => `${part}, on board ${board}`,
  oneOf: (board: string, number: number) => `${board}, no. ${number}`,
  turnHint: "Drag round to turn the part",
  moveMark: "Drag to move the marked area",
} as const;

export const trestle = {
  name: "The trestle",
  heading: "On the trestle",
  waiting: (count: number) => counted(count, { one: "# waits", other: "# wait" }),
  empty: "nothing waiting; drag a part here to take it off its board",
  noParts: "no parts yet",
} as const;

export const firstSteps = {
  heading: "Three things to do",
  lines: [
    "These are the boards of a made-up writing desk, lying on the floor at true scale; the parts wait on the trestle below.",
    "Under Setting out, press Set out and watch a plan grow. Every plan you see has been checked, and you can stop at any time.",
    "Then drag a part about, turn it, or put it back on the trestle; for a job of your own choose New job under More.",
  ],
  dismiss: "Understood",
} as const;

export const newSteps = {
  heading: "Three things to do",
  boards: "Add your boards: type them below, one per line, as you measure them by tape; or take them from photographs, by the button below.",
  parts: "Type or paste the list of parts, one per line.",
  setOut: "Look over the saws below, then set out.",
} as const;
