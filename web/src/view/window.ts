// The window the page stands in: whether it is so narrow that the sheet lies at the foot of the floor.

import { signal } from "@preact/signals";

const query = window.matchMedia("(max-width: 760px)");

export const narrow = signal(query.matches);

/** Lets a row that was chosen on the floor be seen in its list. */
export function intoView(row: HTMLElement | null): void {
  row?.scrollIntoView({ block: "nearest" });
}

query.addEventListener("change", (event) => (narrow.value = event.matches));
