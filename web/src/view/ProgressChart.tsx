// What got better, in words; and where cost fell, a measure as on a drawing: from the least that
// any plan can cost to the first plan, a stroke for each plan between, a heavy one for the present.

import type { Progress, ProgressPoint } from "../protocol/generated";
import { text } from "../text";

const WIDTH = 320;
const LINE = 16;
/** Strokes nearer than this would run into one. */
const APART = 3;

export function ProgressChart({ progress }: { progress: Progress }) {
  const points = fullest(progress.points);
  const now = points.at(-1);
  const first = points[0];
  const least = progress.bound;
  if (now === undefined || first === undefined) return null;
  return (
    <figure class="progress">
      {least !== null && <Measure least={least} first={first.cost} now={now.cost} points={points} label={progress.sentence} />}
      {least !== null && (
        <div class="measured">
          <span>
            {text.settingOut.least} <b>{progress.bound_text}</b>
          </span>
          <span>
            {points.length === progress.points.length ? text.settingOut.first : text.settingOut.firstFull} <b>{progress.first_text}</b>
          </span>
        </div>
      )}
      <figcaption>{progress.sentence}</figcaption>
    </figure>
  );
}

interface Marks {
  readonly least: number;
  readonly first: number;
  readonly now: number;
  readonly points: readonly ProgressPoint[];
  readonly label: string;
}

function Measure({ least, first, now, points, label }: Marks) {
  const most = Math.max(first, ...points.map((point) => point.cost));
  const span = most - least;
  const x = (cost: number): number => (span <= 0 ? WIDTH / 2 : ((cost - least) / span) * WIDTH);
  const end = (at: number): string => `M${at - 4} ${LINE + 4}L${at + 4} ${LINE - 4}`;
  let strokes = "";
  let last = Infinity;
  for (const point of points) {
    const at = x(point.cost);
    if (Math.abs(at - last) < APART) continue;
    strokes += `M${at.toFixed(1)} ${LINE - 4}V${LINE + 4}`;
    last = at;
  }
  return (
    <svg viewBox={`-5 0 ${WIDTH + 10} ${2 * LINE}`} role="img" aria-label={label}>
      <path class="pencil" d={`M0 ${LINE}H${WIDTH}${end(0)}${end(WIDTH)}${strokes}`} />
      <path class="ink" d={`M${x(now).toFixed(1)} ${LINE - 11}V${LINE + 11}`} />
    </svg>
  );
}

/** Plans that leave parts out cost less for a bad reason: only the fullest ones are measured. */
function fullest(points: readonly ProgressPoint[]): readonly ProgressPoint[] {
  const fewest = points.reduce((least, point) => Math.min(least, point.missing), Infinity);
  return points.filter((point) => point.missing === fewest);
}
