// What is being drawn on a board: the core holds it, step by step, and says how it looks; here it is asked and shown.

import { computed, effect, signal, type ReadonlySignal } from "@preact/signals";

import type { Drawing, DrawOrder, DrawStep, DrawWay, DrawWhat, MarkKind, Thing } from "../protocol/generated";
import type { Desk } from "./desk";

export interface At {
  readonly x: number;
  readonly y: number;
}

/** What presses: how far off a point is still meant, in pixels, and where on the screen a finger covers what it does. */
export interface Presser {
  readonly reach: number;
  readonly finger: At | null;
}

export interface DrawingOut {
  /** As it is seen; nothing while nothing is drawn, or another place is open. */
  readonly seen: ReadonlySignal<Drawing | null>;
  /** The row of the board that is drawn on. */
  readonly row: ReadonlySignal<number | null>;
  /** Where a finger draws just now, under the loupe. */
  readonly finger: ReadonlySignal<At | null>;
  begin(thing: Thing, what: DrawWhat, mark?: MarkKind | null): void;
  /** So many pixels to a millimetre. */
  seenAt(scale: number): void;
  /** Whether a drag from a place of the floor draws. */
  grips(at: At, by: Presser): boolean;
  pointer(step: DrawStep, at: At, by: Presser, free: boolean): void;
  order(order: DrawOrder): void;
  way(way: DrawWay): void;
  nudge(along: number, left: number): void;
  /** False where what was typed cannot be read: why is told. */
  typed(first: string, second: string): boolean;
  /** Takes the last step back; where there is none the drawing is left. */
  back(): void;
  take(): void;
  leave(): void;
}

export function makeDrawing(desk: Desk): DrawingOut {
  const now = signal<Drawing | null>(null);
  const seen = computed(() => (desk.place.value === "timber" ? now.value : null));
  const finger = signal<At | null>(null);
  const row = signal<number | null>(null);
  let scale = 1;
  let frame = 0;

  function look(): void {
    cancelAnimationFrame(frame);
    frame = 0;
    now.value = desk.ask((session) => session.drawing(1 / scale)) ?? null;
    if (now.peek() === null) row.value = null;
  }

  effect(() => {
    // The board under it may lie elsewhere now, or be gone.
    void desk.changes.value;
    if (now.peek() !== null) look();
  });

  function tell(problem: string): void {
    desk.notice.value = { text: problem, tone: "problem", buttons: [] };
    desk.say(problem);
  }

  /** What is new to know is told to the ear. */
  function after(): void {
    const before = now.peek()?.sentence;
    look();
    const sentence = now.peek()?.sentence;
    if (sentence !== undefined && sentence !== before) desk.say(sentence);
  }

  function leave(): void {
    desk.ask((session) => session.leave_drawing());
    finger.value = null;
    look();
    desk.attend({ to: "form", field: null, fresh: false });
  }

  return {
    seen,
    row,
    finger,
    begin(thing, what, mark = null) {
      desk.goTo("timber");
      const outcome = desk.ask((session) => session.draw(thing, what, mark ?? undefined));
      if (outcome === null) return;
      if (outcome.problem !== null) return tell(outcome.problem);
      desk.notice.value = null;
      // The outline that is drawn is the one to be seen.
      desk.choose(null);
      after();
      row.value = thing.row ?? 0;
      desk.attend({ to: "drawing" });
    },
    seenAt(next) {
      scale = next;
      if (now.peek() !== null) look();
    },
    grips: (at, by) => seen.peek() !== null && (desk.ask((session) => session.draw_grips(at.x, at.y, 1 / scale, by.reach / scale, by.finger !== null)) ?? false),
    pointer(step, at, by, free) {
      desk.ask((session) => session.draw_step(step, at.x, at.y, 1 / scale, by.reach / scale, free));
      finger.value = step === "press" || step === "drag" ? by.finger : null;
      if (step !== "hover" && step !== "drag") return after();
      // Pointers move oftener than pictures are shown.
      if (frame === 0) frame = requestAnimationFrame(look);
    },
    order(order) {
      desk.ask((session) => session.draw_order(order));
      after();
    },
    way(way) {
      desk.ask((session) => session.draw_way(way));
      after();
    },
    nudge(along, left) {
      desk.ask((session) => session.draw_nudge(along, left));
      after();
      const { labels, now: numbers } = now.peek() ?? { labels: [], now: [] };
      desk.say(labels.map((label, at) => `${label}: ${numbers[at] ?? ""}`).join(", "));
    },
    typed(first, second) {
      const problem = desk.ask((session) => session.draw_typed(first, second)) ?? null;
      if (problem !== null) tell(problem);
      else after();
      return problem === null;
    },
    back() {
      if (desk.ask((session) => session.draw_order("back")) === true) after();
      else leave();
    },
    take() {
      const outcome = desk.change((session) => session.take_drawing());
      look();
      if (outcome?.done !== true) return;
      finger.value = null;
      if (outcome.thing !== null) desk.openForm(outcome.thing);
    },
    leave,
  };
}
