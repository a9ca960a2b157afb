// The window the page stands in: whether it is so narrow that the sheet lies at the foot of the floor.

import { signal } from "@preact/signals";

/** As in the styles: a window of less than so many letters' widths (rem) is narrow. */
const NARROW_REM = 47.5;

// One rem wide, so that a change of the text's size is noticed like one of the window's.
const probe = document.createElement("i");
probe.className = "one-rem";
probe.ariaHidden = "true";
document.body.append(probe);

const isNarrow = (): boolean => document.body.clientWidth <= NARROW_REM * probe.getBoundingClientRect().width;

export const narrow = signal(isNarrow());

const watch = new ResizeObserver(() => (narrow.value = isNarrow()));
watch.observe(probe);
watch.observe(document.body);

/** Lets a row that was chosen on the floor be seen in its list. */
export function intoView(row: HTMLElement | null): void {
  row?.scrollIntoView({ block: "nearest" });
}
