// Ticked cuts: which are done, and the question before wood moves on a board with some.

import { signal, type ReadonlySignal } from "@preact/signals";

import type { CopyOf, Ticked } from "../protocol/generated";
import { text } from "../text";
import { listed } from "../text/counted";
import type { Desk } from "./desk";

/** What waits for an answer. */
export interface Asked {
  /** "board A and board C". */
  readonly boards: string;
  readonly cuts: number;
  readonly go: string;
  readonly leave: string;
}

/** Whose cuts would change: a part with the boards it comes to, or the whole plan. */
export type Moved = { readonly part: CopyOf; readonly to?: CopyOf | null } | "all";

export interface Ticks {
  readonly marked: ReadonlySignal<ReadonlySet<string>>;
  readonly asked: ReadonlySignal<Asked | null>;
  mark(tick: string, done: boolean): void;
  /** Runs at once where no ticked cut is concerned; else asks, and then runs one or the other. */
  before(moved: Moved, run: () => void, leave?: () => void): void;
  answer(go: boolean): void;
}

/** `ask` opens the window with the question. */
export function makeTicks(desk: Desk, ask: () => void): Ticks {
  const marked = signal<ReadonlySet<string>>(new Set());
  const asked = signal<Asked | null>(null);
  let waiting: { readonly run: () => void; readonly leave: () => void; readonly boards: readonly string[] } | null = null;
  let told = false;
  // What was allowed is not asked about again until it has come about: a key that is held says it often.
  let allowed: { readonly boards: readonly string[]; readonly at: number } = { boards: [], at: -1 };

  function concerned(moved: Moved): readonly Ticked[] {
    if (marked.value.size === 0) return [];
    const boards = desk.ask((session) => session.ticked([...marked.value])) ?? [];
    if (moved === "all") return boards;
    const is = (of: CopyOf) => (other: CopyOf): boolean => other.id === of.id && other.copy === of.copy;
    return boards.filter(
      (each) => each.parts.some(is(moved.part)) || (moved.to != null && is(moved.to)(each.board)),
    );
  }

  return {
    marked,
    asked,
    mark(tick, done) {
      const next = new Set(marked.value);
      if (done) next.add(tick);
      else next.delete(tick);
      marked.value = next;
      if (!done || told) return;
      told = true;
      desk.notice.value = { text: text.bench.firstTick, tone: "plain", buttons: [] };
      desk.say(text.bench.firstTick);
    },
    before(moved, run, leave = () => undefined) {
      const boards = concerned(moved);
      const isAllowed = (each: Ticked): boolean => allowed.at === desk.changes.peek() && allowed.boards.includes(each.name);
      if (boards.every(isAllowed)) return run();
      waiting = { run, leave, boards: boards.map((each) => each.name) };
      asked.value = {
        boards: listed(boards.map((each) => each.name)),
        cuts: boards.reduce((sum, each) => sum + each.cuts, 0),
        go: moved === "all" ? text.ticks.goAll : text.ticks.go,
        leave: text.ticks.leave,
      };
      ask();
    },
    answer(go) {
      const now = waiting;
      waiting = null;
      asked.value = null;
      if (now === null) return;
      if (go) {
        allowed = { boards: now.boards, at: desk.changes.peek() };
        now.run();
      } else now.leave();
    },
  };
}
