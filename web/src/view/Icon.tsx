// A few signs drawn with one pen.

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
