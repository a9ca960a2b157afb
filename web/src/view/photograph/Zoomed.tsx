// A picture in a window of its own: closer by wheel, two fingers or buttons, moved by a finger or its bars, with
// a drawing over it.

import { useSignal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { useLayoutEffect, useRef } from "preact/hooks";

import { text } from "../../text";
import type { At } from "./Handle";

/** A press that moves less than this is a tap, in pixels. */
const TAP = 6;
const CLOSER = 1.5;

export function Zoomed({
  size,
  least = 0,
  label,
  background,
  tap,
  draw,
  children,
}: {
  /** In the picture's own units. */
  size: readonly [number, number];
  /** Shown at least so high when it is fitted, in pixels of the screen. */
  least?: number;
  label: string;
  background: ComponentChildren;
  /** A place in the picture's units. */
  tap: (at: At) => void;
  /** A mouse draws from one place to another. */
  draw?: (from: At, to: At, goesOn: boolean) => void;
  /** Pixels of the screen for a unit. */
  children: (scale: number) => ComponentChildren;
}) {
  const [width, height] = size;
  const frame = useRef<HTMLDivElement>(null);
  const inner = useRef<HTMLDivElement>(null);
  const scale = useSignal(0);
  const fitted = useRef(0);
  const pointers = useRef(new Map<number, At>());
  const press = useRef<{ readonly from: At; moved: boolean; drawn: boolean } | null>(null);

  function show(next: number, about: At, from: At = about): void {
    const window = frame.current;
    const sheet = inner.current;
    if (window === null || sheet === null) return;
    const wanted = Math.min(Math.max(next, fitted.current), Math.max(8 * fitted.current, 4));
    const box = window.getBoundingClientRect();
    const grown = wanted / (scale.value || wanted);
    const left = (window.scrollLeft + from.x - box.left) * grown - (about.x - box.left);
    const top = (window.scrollTop + from.y - box.top) * grown - (about.y - box.top);
    sheet.style.width = `${width * wanted}px`;
    sheet.style.height = `${height * wanted}px`;
    window.scrollLeft = left;
    window.scrollTop = top;
    scale.value = wanted;
  }

  function middle(): At {
    const box = frame.current?.getBoundingClientRect();
    return box === undefined ? { x: 0, y: 0 } : { x: box.left + box.width / 2, y: box.top + box.height / 2 };
  }

  useLayoutEffect(() => {
    const window = frame.current;
    if (window === null) return;
    const fit = (): void => {
      const isFitted = scale.value === fitted.current;
      fitted.current = Math.max(Math.min(window.clientWidth / width, window.clientHeight / height), Math.min(least / height, window.clientHeight / height));
      if (isFitted || scale.value < fitted.current) show(fitted.current, middle());
    };
    const wheel = (event: WheelEvent): void => {
      if (event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY)) return;
      event.preventDefault();
      show(scale.value * Math.exp(-event.deltaY * (event.ctrlKey ? 0.01 : 0.0016)), { x: event.clientX, y: event.clientY });
    };
    fit();
    // What led here is gone with its stage.
    window.focus({ preventScroll: true });
    const watch = new ResizeObserver(fit);
    watch.observe(window);
    window.addEventListener("wheel", wheel, { passive: false });
    return () => {
      watch.disconnect();
      window.removeEventListener("wheel", wheel);
    };
  }, [width, height]);

  function placeOf(at: At): At {
    const box = inner.current?.getBoundingClientRect();
    return { x: (at.x - (box?.left ?? 0)) / scale.value, y: (at.y - (box?.top ?? 0)) / scale.value };
  }

  function moved(pointer: number, to: At, isMouse: boolean): void {
    const before = pointers.current.get(pointer);
    const now = press.current;
    if (before === undefined || now === null) return;
    if (!now.moved && Math.hypot(to.x - now.from.x, to.y - now.from.y) < TAP) return;
    now.moved = true;
    const other = [...pointers.current].find(([id]) => id !== pointer)?.[1];
    pointers.current.set(pointer, to);
    if (other !== undefined) {
      const apart = (a: At): number => Math.max(1, Math.hypot(a.x - other.x, a.y - other.y));
      const between = (a: At): At => ({ x: (a.x + other.x) / 2, y: (a.y + other.y) / 2 });
      show((scale.value * apart(to)) / apart(before), between(to), between(before));
    } else if (isMouse && draw !== undefined) {
      draw(placeOf(now.from), placeOf(to), now.drawn);
      now.drawn = true;
    } else show(scale.value, to, before);
  }

  return (
    <div class="photo-zoomed">
      <div
        class="photo-frame"
        ref={frame}
        role="group"
        aria-label={label}
        tabindex={0}
        onKeyDown={(event) => {
          if (event.target !== event.currentTarget || event.key !== "Enter") return;
          // In the middle of what is seen; from there the arrow keys move it.
          event.preventDefault();
          tap(placeOf(middle()));
          setTimeout(() => inner.current?.querySelector<SVGElement>(".photo-handle.is-chosen")?.focus());
        }}
        onPointerDown={(event) => {
          if (event.button !== 0) return;
          event.currentTarget.setPointerCapture(event.pointerId);
          const at = { x: event.clientX, y: event.clientY };
          pointers.current.set(event.pointerId, at);
          press.current = { from: at, moved: pointers.current.size > 1, drawn: false };
        }}
        onPointerMove={(event) => moved(event.pointerId, { x: event.clientX, y: event.clientY }, event.pointerType === "mouse")}
        onPointerUp={(event) => {
          if (pointers.current.delete(event.pointerId) && press.current?.moved === false) tap(placeOf(press.current.from));
        }}
        onPointerCancel={(event) => pointers.current.delete(event.pointerId)}
      >
        <div class="photo-inner" ref={inner} style={{ width: `${width * scale.value}px`, height: `${height * scale.value}px` }}>
          {background}
          <svg class="photo-over" width="100%" height="100%">
            {scale.value > 0 && children(scale.value)}
          </svg>
        </div>
      </div>
      <div class="row-buttons">
        <button type="button" class="button small" onClick={() => show(scale.value * CLOSER, middle())}>
          {text.actions.closer}
        </button>
        <button type="button" class="button small" onClick={() => show(scale.value / CLOSER, middle())}>
          {text.actions.farther}
        </button>
      </div>
    </div>
  );
}
