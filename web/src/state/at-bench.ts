// At the bench: cuts that are made or were not made after all, the question that is open with what
// was answered so far, and the line of a cut that is drawn over the floor.

import { batch, computed, effect, signal, type ReadonlySignal } from "@preact/signals";

import type { Answer, Ask, Bench, BenchStep, CopyOf, DoneRow, Form, HeldLine } from "../protocol/generated";
import { text } from "../text";
import type { Desk } from "./desk";
import type { Drafts } from "./drafts";

/** Presses of a finger that trembles come so near each other, in milliseconds; nobody saws in that time. */
const TREMBLE = 350;

export interface Asked {
  readonly ask: Ask;
  /** The field to go to. */
  readonly field: string | null;
}

/** What is to be done with what a cut left. */
export interface After {
  /** The cut, among those that were made. */
  readonly cut: number;
  readonly look: string | null;
  readonly marks: readonly string[];
}

export interface AtBench {
  readonly asked: ReadonlySignal<Asked | null>;
  /** The question that is open, as fields. */
  readonly form: ReadonlySignal<Form | null>;
  /** A question is open and in sight. */
  readonly asking: ReadonlySignal<boolean>;
  /** A cut is asked for: a drag over the floor draws its line. */
  readonly draws: ReadonlySignal<boolean>;
  /** The line as it was drawn so far. */
  readonly line: ReadonlySignal<HeldLine | null>;
  /** The same, or else as it was typed. */
  readonly seen: ReadonlySignal<HeldLine | null>;
  readonly after: ReadonlySignal<After | null>;

  /** The cut of a tick was made as it was planned; false where it was refused. */
  cut(tick: string): boolean;
  notCut(id: number): void;
  spoiled(part: CopyOf): void;
  order(byBoard: boolean): void;
  /** What was last chosen for the order, before the page was closed. */
  orderAsBefore(byBoard: boolean): void;

  open(ask: Ask, field?: string | null): void;
  answer(field: string, typed: string): void;
  /** Hands over what was answered: one step. Where it is refused the question stays open. */
  handOver(): void;
  close(): void;

  /** A line is being drawn; none where it was given up. */
  draw(line: HeldLine | null): void;
  /** The line is drawn: the question is about it now. */
  drawn(): void;
  /** The board under the line has been laid elsewhere. */
  moveLine(dx: number, dy: number): void;
}

export const stepsOf = (bench: Bench): readonly BenchStep[] => bench.set_ups.flatMap((setUp) => setUp.steps);

export const nextStep = (bench: Bench): BenchStep | null => stepsOf(bench).find((step) => step.tick === bench.next) ?? null;

/** The cut that was made last. */
export function lastCut(bench: Bench): DoneRow | null {
  let last: DoneRow | null = null;
  for (const cut of bench.done.flatMap((board) => board.cuts)) if (last === null || cut.number > last.number) last = cut;
  return last;
}

/** The part whose blank a piece is. */
export function heldOn(bench: Bench, board: CopyOf): CopyOf | null {
  const copies = bench.parts.flatMap((part) => part.copies);
  const held = copies.find((copy) => copy.state === "in_hand" && copy.board?.id === board.id && copy.board.copy === board.copy);
  return held?.part ?? null;
}

/** `keepNow`: a cut that is made is in the store before the next one begins. */
export function makeAtBench(desk: Desk, drafts: Drafts, keepNow: () => void, rememberOrder: (byBoard: boolean) => void): AtBench {
  const asked = signal<Asked | null>(null);
  const line = signal<HeldLine | null>(null);
  const after = signal<After | null>(null);
  const form = computed(() => {
    void desk.changes.value;
    const now = asked.value;
    return now === null ? null : desk.ask((session) => session.ask(now.ask));
  });
  const asking = computed(() => asked.value !== null && desk.place.value === "bench");
  const draws = computed(() => asking.value && asked.value?.ask.kind === "cut");
  const seen = computed(() => {
    void desk.changes.value;
    const now = asked.value?.ask;
    if (now?.kind !== "cut" || line.value !== null || now.line != null) return line.value;
    return desk.ask((session) => session.typed_line(now)) ?? null;
  });
  /** When a cut was made last, or a question put away. */
  let cutAt = -Infinity;

  /** The core forgets it when it is started again. */
  const byBoard = signal(false);
  effect(() => {
    const { by_board, set_ups } = desk.state.value.bench;
    const wanted = byBoard.value;
    if (set_ups.length > 0 && by_board !== wanted) desk.showOtherwise((session) => session.order_cuts(wanted));
  });

  const bench = (): Bench => desk.state.peek().bench;

  function put(ask: Ask | null, field: string | null): void {
    asked.value = ask === null ? null : { ask, field };
    drafts.asks(ask);
  }

  function change(call: Parameters<Desk["change"]>[0]): boolean {
    const outcome = desk.change(call);
    if (outcome?.done !== true) return false;
    keepNow();
    for (const sentence of bench().changed) desk.say(sentence);
    return true;
  }

  function close(): void {
    if (asked.peek() === null) return;
    // The finger that pressed here lies over the next cut now.
    cutAt = performance.now();
    batch(() => {
      put(null, null);
      line.value = null;
    });
    desk.attend({ to: "bench" });
  }

  return {
    asked,
    form,
    asking,
    draws,
    line,
    seen,
    after,
    cut(tick) {
      if (performance.now() - cutAt < TREMBLE) return false;
      const step = stepsOf(bench()).find((each) => each.tick === tick);
      if (!change((session) => session.tick(tick))) return false;
      cutAt = performance.now();
      const last = lastCut(bench());
      after.value = step === undefined || last === null ? null : { cut: last.id, look: step.look, marks: step.marks };
      if (desk.shownCut.peek() === tick) desk.showCut(null);
      const next = nextStep(bench());
      desk.say(next === null ? text.bench.allCut(bench().rest === null) : text.bench.nextIs(next.brief));
      return true;
    },
    notCut: (id) => void change((session) => session.not_cut(id)),
    spoiled: (part) => void change((session) => session.spoil(part.id, part.copy)),
    order(wanted) {
      byBoard.value = wanted;
      rememberOrder(wanted);
    },
    orderAsBefore: (wanted) => void (byBoard.value = wanted),
    open(ask, field = null) {
      desk.goTo("bench");
      batch(() => {
        desk.notice.value = null;
        line.value = null;
        put(ask, field);
      });
      desk.attend({ to: "form", field, fresh: field === null });
    },
    answer(field, typed) {
      const now = asked.peek()?.ask;
      if (now === undefined) return;
      const others = (now.answers ?? []).filter((each) => each.name !== field);
      // What is typed wins over what was drawn.
      const isElsewhere = field === "board" || (field === "distance" && typed.trim() !== "");
      batch(() => {
        if (isElsewhere) line.value = null;
        put({ ...now, ...(isElsewhere ? { line: null } : {}), answers: [...others, { name: field, text: typed }] }, null);
      });
    },
    handOver() {
      const now = asked.peek();
      if (now !== null && change((session) => session.answer(now.ask))) close();
    },
    close,
    draw: (next) => void (line.value = next),
    drawn() {
      const now = asked.peek()?.ask;
      const held = line.peek();
      if (now?.kind !== "cut" || held === null) return;
      desk.say(held.sentence);
      if (!held.fits) {
        desk.notice.value = { text: held.sentence, tone: "problem", buttons: [] };
        batch(() => {
          line.value = null;
          put({ ...now, line: null }, null);
        });
        return;
      }
      const { board, x1, y1, x2, y2 } = held;
      // Where it runs is what was drawn; the tool stands as long as it is one for such a cut.
      const from: Answer = { name: "from", text: Math.abs(x2 - x1) > Math.abs(y2 - y1) ? "right" : "start" };
      const before = now.answers ?? [];
      const isAlike = before.some((each) => each.name === from.name && each.text === from.text);
      const tool = before.filter((each) => each.name === "tool" && isAlike);
      put({ ...now, board, line: { x1, y1, x2, y2 }, answers: [from, ...tool] }, null);
    },
    moveLine(dx, dy) {
      const now = asked.peek()?.ask;
      const held = line.peek();
      if (now?.line == null || held === null) return;
      const ends = { x1: held.x1 + dx, y1: held.y1 + dy, x2: held.x2 + dx, y2: held.y2 + dy };
      batch(() => {
        line.value = { ...held, ...ends };
        put({ ...now, line: ends }, null);
      });
    },
  };
}
