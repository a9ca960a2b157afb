// A few signs drawn with one pen. Each button that shows one also has a spoken name.

const paths = {
  undo: "M8 5 4 9l4 4M4 9h9a5 5 0 0 1 0 10H9",
  redo: "M16 5l4 4-4 4M20 9h-9a5 5 0 0 0 0 10h4",
  more: "M5 12h.01M12 12h.01M19 12h.01",
  plus: "M12 5v14M5 12h14",
  minus: "M5 12h14",
  fit: "M4 9V4h5M20 9V4h-5M4 15v5h5M20 15v5h-5",
  cross: "M6 6l12 12M18 6 6 18",
  back: "M14 6l-6 6 6 6",
  up: "M6 14l6-6 6 6",
  down: "M6 10l6 6 6-6",
  trash: "M5 7h14M10 7V4h4v3M7 7l1 13h8l1-13",
  copy: "M9 9h11v11H9zM5 15H4V4h11v1",
  pin: "M12 21v-7M8 14h8l-1.5-3V5h1V3h-7v2h1v6z",
  turn: "M5 12a7 7 0 1 0 2-5M7 3v4h4",
  turnRight: "M19 12a7 7 0 1 1-2-5M17 3v4h-4",
  over: "M4 12h16M7 8l5-5 5 5M7 16l5 5 5-5",
} as const;

export type IconName = keyof typeof paths;

export function Icon({ name }: { name: IconName }) {
  return (
    <svg class="icon" viewBox="0 0 24 24" width="22" height="22" aria-hidden="true" focusable="false">
      <path d={paths[name]} stroke-width={name === "more" ? 2.8 : undefined} />
    </svg>
  );
}

/** The mark: growth rings above the bench. */
export function Mark() {
  return (
    <svg class="mark-sign" viewBox="0 0 30 30" width="30" height="30" aria-hidden="true" focusable="false">
      <path d="M3 22h24" />
      <path d="M12.5 22a2.5 2.5 0 0 1 5 0M9 22a6 6 0 0 1 12 0M5.5 22a9.5 9.5 0 0 1 19 0" />
    </svg>
  );
}
