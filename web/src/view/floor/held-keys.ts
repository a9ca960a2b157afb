// Arrow keys that are held: the part moves and is judged with each, and lies there, as one
// step to undo, when the key is let go, when anything else is done, or after a short pause.

import { signal, type ReadonlySignal } from "@preact/signals";

import type { CopyOf, Held } from "../../protocol/generated";
import { onScreen } from "../../gestures/points";
import type { Viewport } from "../../gestures/viewport";
import type { App } from "../../state/app";
import { letGoOfHeld, showHeld } from "../faces-live";
import type { InHand } from "./in-hand";
import type { FloorPainter } from "./painter";

/** Without a key that is let go (a button was pressed) the part lies after so long, in milliseconds. */
const PAUSE = 700;

export interface HeldKeys {
  readonly inHand: ReadonlySignal<InHand | null>;
  /** Moves a placed part by millimetres, right and down as seen. */
  nudge(part: CopyOf, dx: number, dy: number): void;
  holding(): boolean;
  /** Listens for whatever ends it; call what comes back to stop. */
  listen(): () => void;
}

interface Moving {
  readonly part: CopyOf;
  readonly element: SVGGElement | null;
  readonly hidden: SVGGElement | null;
  dx: number;
  dy: number;
  frame: number;
  pause: ReturnType<typeof setTimeout>;
}

export function makeHeldKeys(app: Pick<App, "desk" | "photos">, painter: () => FloorPainter | null, view: ReadonlySignal<Viewport>): HeldKeys {
  const { desk } = app;
  const inHand = signal<InHand | null>(null);
  let moving: Moving | null = null;

  function begin(part: CopyOf): Moving | null {
    const held = desk.ask((session) => session.drag_begin(part.id, part.copy));
    if (held === null || !held.held) return null;
    const hidden = painter()?.partElement(part) ?? null;
    hidden?.classList.add("taken-up");
    const element = painter()?.hold(held.fragment) ?? null;
    desk.notice.value = null;
    moving = { part, element, hidden, dx: 0, dy: 0, frame: 0, pause: setTimeout(settle, PAUSE) };
    return moving;
  }

  /** All presses since the last picture at once: keys repeat oftener than pictures are shown. */
  function move(now: Moving): void {
    now.frame = 0;
    const { dx, dy } = now;
    now.dx = 0;
    now.dy = 0;
    if (dx === 0 && dy === 0) return;
    const held = desk.ask((session) => session.nudge_held(dx, dy));
    if (held?.held === true) show(now, held);
    showHeld(app);
  }

  function show(now: Moving, held: Held): void {
    now.element?.setAttribute("transform", held.transform);
    now.element?.classList.toggle("in-hand-wrong", !held.fits);
    const { x, y, scale } = view.value;
    inHand.value = {
      at: onScreen(x + held.x * scale, y + held.y * scale),
      words: held.sentence,
      fits: held.fits,
    };
  }

  function settle(): void {
    const now = moving;
    if (now === null) return;
    cancelAnimationFrame(now.frame);
    clearTimeout(now.pause);
    move(now);
    moving = null;
    inHand.value = null;
    now.hidden?.classList.remove("taken-up");
    painter()?.hold(null);
    letGoOfHeld();
    desk.change((session) => session.drag_end());
  }

  return {
    inHand,
    nudge(part, dx, dy) {
      if (moving !== null && (moving.part.id !== part.id || moving.part.copy !== part.copy)) settle();
      // Where no parts are drawn there is nothing to move before one's eyes.
      const now = moving ?? (painter()?.partElement(part) == null ? null : begin(part));
      if (now === null) {
        desk.change((session) => session.nudge(part.id, part.copy, dx, dy));
        return;
      }
      now.dx += dx;
      now.dy += dy;
      clearTimeout(now.pause);
      now.pause = setTimeout(settle, PAUSE);
      if (now.frame === 0) now.frame = requestAnimationFrame(() => move(now));
    },
    holding: () => moving !== null,
    listen() {
      const isArrow = (event: KeyboardEvent): boolean => event.key.startsWith("Arrow");
      const released = (event: KeyboardEvent): void => {
        if (isArrow(event)) settle();
      };
      const pressed = (event: KeyboardEvent): void => {
        if (!isArrow(event) && event.key !== "Shift") settle();
      };
      window.addEventListener("keyup", released, true);
      window.addEventListener("keydown", pressed, true);
      window.addEventListener("pointerdown", settle, true);
      window.addEventListener("blur", settle);
      document.addEventListener("visibilitychange", settle, true);
      window.addEventListener("pagehide", settle, true);
      return () => {
        window.removeEventListener("keyup", released, true);
        window.removeEventListener("keydown", pressed, true);
        window.removeEventListener("pointerdown", settle, true);
        window.removeEventListener("blur", settle);
        document.removeEventListener("visibilitychange", settle, true);
        window.removeEventListener("pagehide", settle, true);
      };
    },
  };
}
