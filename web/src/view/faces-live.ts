// The wood of the part in the hand, in every picture of a face on the page: only what moves with the wood is
// moved, nothing is drawn again.

import { signal } from "@preact/signals";

import type { CopyOf, Held } from "../protocol/generated";
import { withPhotos } from "../state/photos";
import type { App } from "../state/app";

/** A picture of a face has this class and the key of its face in `data-face`. */
export const LIVE = "face-live";

/** The part whose wood is being pushed in a picture, and where it lies now. */
export const pushed = signal<{ readonly part: CopyOf; readonly held: Held } | null>(null);

interface Before {
  readonly transform: string;
  readonly pictures: string;
}

/** What the groups that were moved were like before. */
const before = new Map<Element, Before>();
const pictures = document.getElementsByClassName(LIVE);

const figureOf = (picture: Element, figure: string): Element | null => picture.querySelector(`[data-figure="${CSS.escape(figure)}"]`);

/** Shows the wood where the part in the hand lies now. */
export function showHeld({ desk, photos }: Pick<App, "desk" | "photos">): void {
  if (pictures.length === 0) return;
  const held = desk.ask((session) => session.held_figures()) ?? [];
  for (const { face, figure, transform, pictures: drawn } of held) {
    for (const picture of pictures) {
      if ((picture as HTMLElement).dataset["face"] !== face) continue;
      const group = figureOf(picture, figure);
      if (group === null) continue;
      if (!before.has(group)) before.set(group, { transform: group.getAttribute("transform") ?? "", pictures: group.innerHTML });
      if (drawn !== null) group.innerHTML = withPhotos(drawn, photos.address);
      group.setAttribute("transform", transform);
    }
  }
}

/** Everything as it was: the part is put down, and what came of that is drawn by the core. */
export function letGoOfHeld(): void {
  for (const [group, was] of before) {
    group.setAttribute("transform", was.transform);
    if (group.innerHTML !== was.pictures) group.innerHTML = was.pictures;
  }
  before.clear();
}
