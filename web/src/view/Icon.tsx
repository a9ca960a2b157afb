// A few signs drawn with one pen. Each button that shows one also has a spoken name.

const paths = {
  plus: "M12 5v14M5 12h14",
  minus: "M5 12h14",
  fit: "M4 9V4h5M20 9V4h-5M4 15v5h5M20 15v5h-5",
} as const;

export type IconName = keyof typeof paths;

export function Icon({ name }: { name: IconName }) {
  return (
    <svg class="icon" viewBox="0 0 24 24" aria-hidden="true" focusable="false">
      <path d={paths[name]} />
    </svg>
  );
}

/** The mark: growth rings above the bench. */
export function Mark() {
  return (
    <svg class="mark-sign" viewBox="0 0 30 30" aria-hidden="true" focusable="false">
      <path d="M3 22h24" />
      <path d="M12.5 22a2.5 2.5 0 0 1 5 0M9 22a6 6 0 0 1 12 0M5.5 22a9.5 9.5 0 0 1 19 0" />
    </svg>
  );
}

/** Marks where one is: the arrowhead that points at a measure on a marked-out board. */
export function Here() {
  return (
    <svg class="here" viewBox="0 0 60 10" aria-hidden="true" focusable="false">
      <path d="M1 8.6C18 8 41 9.1 59 8.4M24.2 1.2 30 8.3 36.1.8" />
    </svg>
  );
}
