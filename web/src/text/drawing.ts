// Sentences of drawing on a board; what to do next is said by the core.

export const drawing = {
  heading: "Draw on the picture",
  name: (on: string) => `Drawing on ${on}`,
  how: "How to draw",
  ways: { points: "Point by point", freehand: "Freehand", oval: "Oval in a box", from_middle: "Oval from its middle" },
  marks: "Marks",
  marksHint: "Points jump to marks of the rule; not while Alt is held",
  hole: "A hole",
  remove: "Remove the point",
  removeLine: "Remove the line",
  anew: "Draw anew",
  leave: "Leave it",
  done: "Done",
} as const;
