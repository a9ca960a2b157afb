// What the program saw in a photo, beside what was traced already: proposals, until they are accepted.

import type { PhotoSeen, PhotoSeenArea, PhotoSeenLines } from "../protocol/generated";
import type { Flaw, Place, SeenLines, Traced } from "./tracing";

const placeOf = ([x, y]: readonly [number, number]): Place => ({ x, y });

function flawOf({ kind, oval, corners, because }: PhotoSeenArea): Flaw {
  const xs = corners.map(([x]) => x);
  const ys = corners.map(([, y]) => y);
  const from = { x: Math.min(...xs), y: Math.min(...ys) };
  const to = { x: Math.max(...xs), y: Math.max(...ys) };
  const share = ([x, y]: readonly [number, number]): Place => ({ x: (x - from.x) / (to.x - from.x || 1), y: (y - from.y) / (to.y - from.y || 1) });
  return { kind, from, to, corners: oval ? null : corners.map(share), proposed: because };
}

const linesOf = (seen: PhotoSeenLines | null): SeenLines | null => (seen === null ? null : { lines: seen.lines.map((line) => line.map(placeOf)), because: seen.because });

/** An outline of fewer corners than three is none. */
export function proposed(traced: Traced, seen: PhotoSeen): Partial<Traced> {
  const outline = linesOf(seen.outline);
  return {
    flaws: [...traced.flaws, ...seen.areas.filter(({ corners }) => corners.length > 1).map(flawOf)],
    seenOutline: (outline?.lines[0]?.length ?? 0) > 2 ? outline : null,
    seenGrain: linesOf(seen.grain),
  };
}
