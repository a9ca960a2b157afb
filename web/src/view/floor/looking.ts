// How the floor is seen: closer and farther, moved about, fitted into its window, brought into sight.

import { effect, signal, type ReadonlySignal, type Signal } from "@preact/signals";

import { onScreen, type ScreenPoint } from "../../gestures/points";
import { filled, fitted, panned, revealing, zoomed, type Box, type Room, type Viewport } from "../../gestures/viewport";
import type { Desk } from "../../state/desk";
import { narrow } from "../window";
import { FOOT_HEIGHT, RULER_HEIGHT } from "./measures";
import type { FloorPainter } from "./painter";

export interface Size {
  readonly width: number;
  readonly height: number;
}

export interface Looking {
  readonly view: Signal<Viewport>;
  readonly size: ReadonlySignal<Size>;
  /** Measures the floor's frame from now on and hears the wheel there; call what comes back to stop. */
  attach(frame: HTMLElement): () => void;
  pointAt(event: { clientX: number; clientY: number }): ScreenPoint;
  /** A person has moved the picture: it is not fitted any more by itself. */
  byHand(): void;
  /** Another picture was painted. */
  painted(): void;
  fit(): void;
  zoom(factor: number): void;
  /** Moves as little as needed so that an element of the picture can be seen. */
  reveal(element: Element | null): void;
  /** Goes on to the boards that lie below. */
  goDown(): void;
  /** Boards that begin below what is seen. */
  boardsBelow(): number;
}

/** Left of the boards their names stand; in a narrow window above them. */
const NAMES = 84;
const NAME_ABOVE = 26;
/** Told to the core in place of the window's shape where the floor scrolls. */
const SCROLLS = 0.01;
/** The picture rests so long, in milliseconds, before labels are sized anew. */
const REST = 140;

/** `isStill`: nothing may slip away from under a pointer that is down. */
export function makeLooking(desk: Desk, painter: () => FloorPainter | null, isStill: () => boolean): Looking {
  const view = signal<Viewport>({ scale: 0.4, x: 90, y: 60 });
  const size = signal<Size>({ width: 800, height: 500 });
  let frame: HTMLElement | null = null;
  // Until a person moves the picture, it keeps showing the whole floor.
  let isFitting = true;

  function room(): Room {
    const { width, height } = size.peek();
    const top = RULER_HEIGHT + (narrow.peek() ? NAME_ABOVE : 16);
    const left = narrow.peek() ? 10 : NAMES;
    return {
      left,
      top,
      width: Math.max(60, width - left - (narrow.peek() ? 10 : 24)),
      height: Math.max(60, height - top - FOOT_HEIGHT - 12),
    };
  }

  /** All boards; in a narrow window the longest as wide as it is, from the first board on. */
  function showWhole(): void {
    const box = painter()?.bounds();
    if (box !== undefined) view.value = narrow.peek() ? filled(box, room()) : fitted(box, room());
  }

  function painted(): void {
    if (isFitting && isStill()) showWhole();
  }

  function measure(): void {
    if (frame === null) return;
    size.value = { width: frame.clientWidth, height: frame.clientHeight };
    const free = room();
    if (frame.clientHeight > 0) desk.shaped(narrow.peek() ? SCROLLS : free.width / free.height);
    painted();
  }

  function pointAt(event: { clientX: number; clientY: number }): ScreenPoint {
    const box = frame?.getBoundingClientRect();
    return onScreen(event.clientX - (box?.left ?? 0), event.clientY - (box?.top ?? 0));
  }

  function wheel(event: WheelEvent): void {
    event.preventDefault();
    isFitting = false;
    const now = view.peek();
    if (event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY)) {
      view.value = panned(now, -(event.deltaX || event.deltaY), 0);
      return;
    }
    const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 18 : 1;
    const factor = Math.exp(-event.deltaY * lines * (event.ctrlKey ? 0.01 : 0.0016));
    view.value = zoomed(now, factor, pointAt(event));
  }

  /** Where an element of the picture lies on the floor. */
  function boxOf(element: Element): Box {
    const at = element.getBoundingClientRect();
    const corner = pointAt({ clientX: at.left, clientY: at.top });
    const { x, y, scale } = view.peek();
    return { x: (corner.x - x) / scale, y: (corner.y - y) / scale, width: at.width / scale, height: at.height / scale };
  }

  return {
    view,
    size,
    attach(element) {
      frame = element;
      const watch = new ResizeObserver(measure);
      watch.observe(element);
      element.addEventListener("wheel", wheel, { passive: false });
      const unheard = narrow.subscribe(measure);
      // The picture follows the view at once; labels are sized anew when it has come to rest.
      const unlooked = effect(() => {
        const now = view.value;
        painter()?.look(now);
        const timer = setTimeout(() => desk.seenAt(now.scale), REST);
        return () => clearTimeout(timer);
      });
      return () => {
        watch.disconnect();
        element.removeEventListener("wheel", wheel);
        unheard();
        unlooked();
        frame = null;
      };
    },
    pointAt,
    byHand() {
      isFitting = false;
    },
    painted,
    fit() {
      isFitting = true;
      showWhole();
    },
    zoom(factor) {
      isFitting = false;
      const { width, height } = size.peek();
      view.value = zoomed(view.peek(), factor, onScreen(width / 2, height / 2));
    },
    reveal(element) {
      if (element !== null) view.value = revealing(view.peek(), boxOf(element), room());
    },
    goDown() {
      view.value = panned(view.peek(), 0, -0.75 * room().height);
    },
    boardsBelow() {
      const { y, scale } = view.value;
      const seen = size.value.height - FOOT_HEIGHT - 8;
      return (painter()?.boards() ?? []).filter((board) => board.y * scale + y > seen).length;
    },
  };
}
