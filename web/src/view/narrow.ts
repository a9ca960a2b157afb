// Whether the window is so narrow that the sheet lies at the foot of the floor.

import { signal } from "@preact/signals";

const query = window.matchMedia("(max-width: 760px)");

export const narrow = signal(query.matches);

query.addEventListener("change", (event) => (narrow.value = event.matches));
