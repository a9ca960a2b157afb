// The ruler along the top of the floor. Its marks and numbers come from the core, in the
// job's units; the page only lays them at their places on the screen.

import type { Signal } from "@preact/signals";

import type { Viewport } from "../../gestures/viewport";
import { ruler_marks } from "../../protocol/generated";
import { useApp } from "../app-context";
import { RULER_HEIGHT } from "./measures";

export function Ruler({ view, size }: { view: Signal<Viewport>; size: Signal<{ width: number; height: number }> }) {
  const { desk } = useApp();
  const now = view.value;
  const inches = desk.state.value.units === "in";
  const from = -now.x / now.scale;
  const to = (size.value.width - now.x) / now.scale;
  const marks = desk.ask(() => ruler_marks(inches, from, to, now.scale)) ?? [];
  return (
    <svg class="ruler" aria-hidden="true" height={RULER_HEIGHT}>
      {marks.map((mark) => {
        const x = mark.at * now.scale + now.x;
        return (
          <g key={mark.at} transform={`translate(${x.toFixed(2)} 0)`}>
            <line y1={mark.label === null ? RULER_HEIGHT - 8 : RULER_HEIGHT - 14} y2={RULER_HEIGHT} />
            {mark.label !== null && <text y={RULER_HEIGHT - 18}>{mark.label}</text>}
          </g>
        );
      })}
    </svg>
  );
}
