// How well faces are balanced, and better ones.

export const figure = {
  heading: "Figure",
  name: (title: string) => `Figure of ${title}`,
  look: "Look for a better face",
  lookMore: "Look again",
  stop: "Stop",
  take: "Take it",
  takeIt: (number: number) => `Take face ${number}`,
  like: "More like this",
  likeIt: (number: number) => `More like face ${number}`,
  card: (number: number) => `Face ${number}`,
  where: "Lost most at:",
  boards: "On the boards",
  boardsOf: (number: number) => `Where face ${number} lies on the boards`,
  changed: "The job has changed since: look again.",
  failed: "Looking for a better face has failed. The job is as it was; look again.",
  unknown: (names: readonly string[]) => `Too little is seen to say: ${names.join(", ").toLowerCase()}.`,
} as const;
