// Something on a picture that is dragged, or moved by arrow keys once it has the focus.

import type { ComponentChildren } from "preact";
import { useRef } from "preact/hooks";

/** A place on the picture in pixels of the screen. */
export interface At {
  readonly x: number;
  readonly y: number;
}

const arrows: Record<string, readonly [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

export function Handle({
  at,
  label,
  class: extra = "",
  chosen = false,
  reach = Infinity,
  choose,
  drag,
  nudge,
  remove,
  children,
}: {
  at: At;
  label: string;
  class?: string;
  chosen?: boolean;
  /** Pressed farther from its place than this, it is not meant: browsers lead fingers to what is near them. */
  reach?: number;
  choose: () => void;
  /** `goesOn`: the same drag as before. */
  drag: (to: At, goesOn: boolean) => void;
  /** Right and down, in steps of an arrow key. */
  nudge: (right: number, down: number) => void;
  remove?: () => void;
  /** What is seen of it, with its place as the origin. */
  children: ComponentChildren;
}) {
  const hold = useRef<{ readonly pointer: number; readonly dx: number; readonly dy: number; moved: boolean } | null>(null);
  return (
    <g
      class={`photo-handle ${extra} ${chosen ? "is-chosen" : ""}`}
      transform={`translate(${at.x} ${at.y})`}
      tabindex={0}
      role="button"
      aria-label={label}
      aria-pressed={chosen}
      onFocus={choose}
      onPointerDown={(event) => {
        const over = event.currentTarget.ownerSVGElement?.getBoundingClientRect();
        const off = Math.hypot(event.clientX - (over?.left ?? 0) - at.x, event.clientY - (over?.top ?? 0) - at.y);
        if (event.button !== 0 || off > reach) return;
        event.stopPropagation();
        event.currentTarget.setPointerCapture(event.pointerId);
        event.currentTarget.focus({ preventScroll: true });
        hold.current = { pointer: event.pointerId, dx: at.x - event.clientX, dy: at.y - event.clientY, moved: false };
        choose();
      }}
      onPointerMove={(event) => {
        const now = hold.current;
        if (now?.pointer !== event.pointerId) return;
        event.stopPropagation();
        const to = { x: event.clientX + now.dx, y: event.clientY + now.dy };
        if (!now.moved && Math.hypot(to.x - at.x, to.y - at.y) < 3) return;
        drag(to, now.moved);
        now.moved = true;
      }}
      onPointerUp={(event) => {
        event.stopPropagation();
        hold.current = null;
      }}
      onPointerCancel={() => (hold.current = null)}
      onKeyDown={(event) => {
        const arrow = arrows[event.key];
        if (arrow !== undefined) {
          event.preventDefault();
          const by = event.ctrlKey ? 100 : event.shiftKey ? 10 : 1;
          nudge(by * arrow[0], by * arrow[1]);
        } else if ((event.key === "Delete" || event.key === "Backspace") && remove !== undefined) {
          event.preventDefault();
          remove();
        }
      }}
    >
      {children}
    </g>
  );
}
