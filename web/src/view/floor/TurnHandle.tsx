// The handle by which the chosen part is turned: a ring to pull round, beyond its end.

import { useSignal, useSignalEffect, type Signal } from "@preact/signals";

import type { Viewport } from "../../gestures/viewport";
import { useApp } from "../app-context";
import type { FloorPainter } from "./painter";

const REACH = 30;

export function TurnHandle({
  view,
  painted,
  painter,
}: {
  view: Signal<Viewport>;
  painted: Signal<number>;
  painter: { current: FloorPainter | null };
}) {
  const { desk } = useApp();
  const at = useSignal<{ x: number; y: number; from: number } | null>(null);

  useSignalEffect(() => {
    void painted.value;
    // The picture must stand where the view says before it is measured.
    painter.current?.look(view.value);
    const chosen = desk.chosen.value;
    const selection = desk.state.value.selection;
    const element = chosen?.kind === "part" && selection?.placed === true ? painter.current?.partElement(chosen.of) : null;
    const svg = element?.ownerSVGElement;
    if (element == null || svg == null) {
      at.value = null;
      return;
    }
    const box = element.getBoundingClientRect();
    const frame = svg.getBoundingClientRect();
    at.value = { x: box.right - frame.left + REACH, y: box.top + box.height / 2 - frame.top, from: box.right - frame.left };
  });

  const where = at.value;
  if (where === null) return null;
  return (
    <g class="turn-handle" data-turn="yes">
      <title>Pull round to turn the part</title>
      <line x1={where.from} y1={where.y} x2={where.x - 9} y2={where.y} />
      <circle class="touch-area" cx={where.x} cy={where.y} r="22" />
      <circle class="ring" cx={where.x} cy={where.y} r="9" />
      <path d={`M${where.x - 4} ${where.y + 2.5}a4.6 4.6 0 1 1 4 2.4M${where.x + 2.2} ${where.y + 2.6}l-2.4 2.3 2.6 2`} />
    </g>
  );
}
