// A small line: the cost of the best plan so far, coming down towards the bound.

import type { Progress, ProgressPoint } from "../protocol/generated";

const WIDTH = 320;
const HEIGHT = 84;
const TOP = 12;
const FOOT = 70;

export function ProgressChart({ progress }: { progress: Progress }) {
  const points = complete(progress.points);
  const last = points.at(-1);
  if (last === undefined) return null;
  const first = points[0] ?? last;
  const bound = progress.bound;
  const most = first.cost;
  const least = Math.min(bound ?? last.cost, last.cost);
  const span = most - least;
  const y = (cost: number): number => (span <= 0 ? FOOT : TOP + ((most - cost) / span) * (FOOT - TOP));
  // Most of the gain comes early, so steps stand closer the later they are.
  const x = (steps: number): number => (Math.sqrt(steps) / Math.sqrt(Math.max(last.steps, 1))) * WIDTH;
  let path = `M0 ${y(first.cost).toFixed(1)}`;
  for (const point of points) path += `H${x(point.steps).toFixed(1)}V${y(point.cost).toFixed(1)}`;
  path += `H${WIDTH}`;
  return (
    <figure class="progress">
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={progress.sentence} preserveAspectRatio="none">
        {bound !== null && <path class="bound" d={`M0 ${y(bound).toFixed(1)}H${WIDTH}`} />}
        <path class="best" d={path} />
      </svg>
      <figcaption>
        <b>{progress.cost_text}</b>
        <span>{progress.bound_text}</span>
      </figcaption>
    </figure>
  );
}

/** Plans that leave parts out cost less for a bad reason: the line shows only the fullest ones. */
function complete(points: readonly ProgressPoint[]): readonly ProgressPoint[] {
  const fewest = points.reduce((least, point) => Math.min(least, point.missing), Infinity);
  return points.filter((point) => point.missing === fewest);
}
