// The marked area whose form is open, to be dragged on the picture of its board.

import { useComputed, useSignal, type Signal } from "@preact/signals";

import { slop } from "../../gestures/pointer";
import type { Viewport } from "../../gestures/viewport";
import { text } from "../../text";
import { useApp } from "../app-context";

/** A small knot is still as large as a finger. */
const LEAST = 44;

export interface MarkHandleProps {
  readonly view: Signal<Viewport>;
  readonly painted: Signal<number>;
  /** The frame was pressed and not dragged while another area is to be marked: it lies over small boards. */
  readonly tapped: (boardRow: number, event: PointerEvent) => void;
}

export function MarkHandle({ view, painted, tapped }: MarkHandleProps) {
  const { desk, marking } = useApp();
  const drag = useSignal<{ readonly pointer: number; readonly x: number; readonly y: number; readonly dx: number; readonly dy: number } | null>(null);
  const box = useComputed(() => {
    void painted.value;
    void desk.changes.value;
    const thing = desk.opened.value?.thing;
    if (thing?.kind !== "zone") return null;
    return desk.ask((session) => session.mark_box(thing)) ?? null;
  });
  const found = box.value;
  const thing = desk.opened.value?.thing;
  if (found === null || thing === undefined) return null;
  const { scale, x, y } = view.value;
  const { dx, dy } = drag.value ?? { dx: 0, dy: 0 };
  const seen = { x: found.x * scale + x + dx, y: found.y * scale + y + dy, width: found.width * scale, height: found.height * scale };
  const more = { x: Math.max(0, LEAST - seen.width) / 2, y: Math.max(0, LEAST - seen.height) / 2 };
  return (
    <g
      class="mark-handle"
      onPointerDown={(event) => {
        if (event.button !== 0 || drag.value !== null) return;
        event.stopPropagation();
        event.currentTarget.setPointerCapture(event.pointerId);
        drag.value = { pointer: event.pointerId, x: event.clientX, y: event.clientY, dx: 0, dy: 0 };
      }}
      onPointerMove={(event) => {
        const from = drag.value;
        if (from?.pointer !== event.pointerId) return;
        event.stopPropagation();
        drag.value = { ...from, dx: event.clientX - from.x, dy: event.clientY - from.y };
      }}
      onPointerUp={(event) => {
        const from = drag.value;
        if (from?.pointer !== event.pointerId) return;
        event.stopPropagation();
        drag.value = null;
        if (marking.value !== null && Math.hypot(from.dx, from.dy) < slop("touch")) tapped(thing.row ?? 0, event);
        else if (from.dx !== 0 || from.dy !== 0) desk.change((session) => session.shift_mark(thing, from.dx / scale, -from.dy / scale));
      }}
      onPointerCancel={() => (drag.value = null)}
    >
      <title>{text.floor.moveMark}</title>
      <rect
        class="touch-area"
        x={seen.x - more.x}
        y={seen.y - more.y}
        width={seen.width + 2 * more.x}
        height={seen.height + 2 * more.y}
      />
      <rect class="mark-frame" x={seen.x - 3} y={seen.y - 3} width={seen.width + 6} height={seen.height + 6} />
    </g>
  );
}
