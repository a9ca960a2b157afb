// The desk: which place is open, what is chosen, what the core says of it, and the calls
// that change the job. Views read its signals and send it wishes; it knows no elements.

import { batch, computed, signal, type ReadonlySignal, type Signal } from "@preact/signals";

import type {
  CopyOf,
  Form,
  Outcome,
  PageName,
  Session,
  State,
  Thing,
  ThingKind,
} from "../protocol/generated";
import type { Core } from "./core";
import { makePicture, type Picture } from "./picture";
import { makeVoice } from "./voice";

/** What is chosen on the floor or the trestle. */
export type Chosen =
  | { readonly kind: "part"; readonly of: CopyOf }
  | { readonly kind: "board"; readonly of: CopyOf };

/** A sentence shown for a while at the foot of the floor. */
export interface Notice {
  readonly text: string;
  readonly tone: "plain" | "problem";
  readonly buttons: readonly { readonly label: string; readonly run: () => void }[];
}

/** Where a thing's form is to be entered. */
export interface Opened {
  readonly thing: Thing;
  /** The field to go to. */
  readonly field: string | null;
}

/** What the keyboard goes to next: a row that was left, a form that was opened (`fresh`: just added), the next cut, a place in the list of cuts, the field for boards as lines, or the strip of what is drawn. */
export type Attention =
  | { readonly to: "row"; readonly thing: Thing }
  | { readonly to: "bench" }
  | { readonly to: "lines" }
  | { readonly to: "drawing" }
  | { readonly to: "tick"; readonly at: number }
  | { readonly to: "form"; readonly field: string | null; readonly fresh: boolean };

export interface Desk extends Pick<Picture, "paintWith" | "seenAt" | "shaped"> {
  readonly place: ReadonlySignal<PageName>;
  readonly chosen: ReadonlySignal<Chosen | null>;
  readonly state: ReadonlySignal<State>;
  readonly opened: ReadonlySignal<Opened | null>;
  readonly form: ReadonlySignal<Form | null>;
  /** A new object at every wish, so that the same wish twice is heard twice. */
  readonly attention: ReadonlySignal<Attention | null>;
  readonly notice: Signal<Notice | null>;
  /** Read aloud by screen readers when it changes. */
  readonly spoken: ReadonlySignal<string>;
  /** Counts changes of the job, for those who must do something after each. */
  readonly changes: ReadonlySignal<number>;
  readonly hasWork: ReadonlySignal<boolean>;
  /** The cut whose line and piece are picked out, by its tick. */
  readonly shownCut: ReadonlySignal<string | null>;

  goTo(place: PageName): void;
  choose(chosen: Chosen | null): void;
  showCut(tick: string | null): void;
  openForm(thing: Thing | null, field?: string | null): void;
  attend(wish: Attention): void;

  /** Makes a change, shows what came of it, and tells it in words. */
  change(call: (session: Session) => Outcome): Outcome | null;
  set(thing: Thing, field: string, text: string): Outcome | null;
  add(kind: ThingKind, owner?: Thing | null): Outcome | null;
  /** Adds another like it and opens its form at the first field. */
  another(thing: Thing): Outcome | null;
  /** Asks without changing anything. */
  ask<T>(call: (session: Session) => T): T | null;
  formOf(thing: Thing): Form | null;
  /** Has the same job shown in another way: nothing of it is changed. */
  showOtherwise(call: (session: Session) => void): void;

  /** Reads everything again, after a change made through `ask`. */
  refresh(): void;
  /** The same in pieces, a pause before each: a plan of hundreds of parts takes long to draw. */
  refreshGently(pause: () => Promise<void>): Promise<void>;
  /** The job is as it was, but more is known of it: its figures are read anew. */
  lookAgain(): void;
  /** Shows everything anew, after the core was started again. */
  startAgain(): void;
  say(text: string): void;
}

/** Whether the form of `left` was opened from the form of `thing`. */
function isOwner(thing: Thing, left: Thing): boolean {
  const isInner = left.kind === "zone" || left.kind === "station" || left.kind === "corner";
  return isInner && thing.row === left.row && thing.kind === (left.of_part === true ? "part" : "board");
}

export function makeDesk(core: Core): Desk {
  const place = signal<PageName>("timber");
  const chosen = signal<Chosen | null>(null);
  const opened = signal<Opened | null>(null);
  const form = signal<Form | null>(null);
  const attention = signal<Attention | null>(null);
  const notice = signal<Notice | null>(null);
  const { spoken, say } = makeVoice();
  const changes = signal(0);
  const shownCut = signal<string | null>(null);
  const picture = makePicture(core, () => {
    const what = chosen.value;
    return {
      place: place.value,
      selected_parts: what?.kind === "part" ? [what.of] : [],
      selected_board: what?.kind === "board" ? what.of : null,
      chosen_cut: cutNumber(),
    };
  });

  function cutNumber(): number | null {
    const tick = shownCut.value;
    if (tick === null || place.value !== "bench") return null;
    const steps = state.value.bench.set_ups.flatMap((setUp) => setUp.steps);
    return steps.find((step) => step.tick === tick)?.number ?? null;
  }

  const readState = (): State | null => core.ask((session) => session.state(place.value, picture.view(false)));

  const first = readState();
  if (first === null) throw new Error("the core cannot be asked for its state");
  const state = signal<State>(first);
  const hasWork = computed(() => state.value.boards.length > 0 && state.value.parts.length > 0);

  function readForm(): void {
    const now = opened.value;
    if (now === null) {
      form.value = null;
      return;
    }
    const read = core.ask((session) => session.form(now.thing));
    if (read === null || read.thing === null) {
      opened.value = null;
      form.value = null;
    } else {
      form.value = read;
    }
  }

  function refresh(): void {
    readAll();
    picture.paint(false);
  }

  function readAll(): void {
    batch(() => {
      // Where the core failed, what was shown last stays until it works again.
      state.value = readState() ?? state.value;
      readForm();
      const aloud = state.value.announce;
      if (aloud !== null && aloud !== "") say(aloud);
    });
  }

  function tell(outcome: Outcome): void {
    const buttons = outcome.offers.map((offer) => ({
      label: offer.label,
      run: () => {
        notice.value = null;
        change((session) => session.saw_by_line(offer.part.id, offer.part.copy));
      },
    }));
    const sentence = outcome.problem ?? outcome.announce;
    if (sentence === null || sentence === "") {
      if (outcome.done) notice.value = null;
      return;
    }
    notice.value = { text: sentence, tone: outcome.problem === null ? "plain" : "problem", buttons };
    say(sentence);
  }

  /** Makes a thing and opens its form, ready for the first field. */
  function make(call: (session: Session) => Outcome): Outcome | null {
    const outcome = change(call);
    if (outcome?.done && outcome.thing !== null) {
      opened.value = { thing: outcome.thing, field: null };
      readForm();
      attention.value = { to: "form", field: null, fresh: true };
    }
    return outcome;
  }

  /** `typed`: what stands in the field now, for the ear. */
  function change(call: (session: Session) => Outcome, typed?: string): Outcome | null {
    const { undo: undoBefore, revision: before } = state.peek();
    const outcome = core.ask(call);
    if (outcome === null) return null;
    core.takeDown();
    batch(() => {
      changes.value += 1;
      tell(outcome);
    });
    refresh();
    // What is seen to change and has no sentence of its own is told to the ear: "thickness of board A: 27".
    const { undo, revision } = state.peek();
    const isSilent = (outcome.problem ?? outcome.announce ?? "") === "";
    if (outcome.done && isSilent && undo !== null && (undo !== undoBefore || revision !== before)) {
      say(typed === undefined ? undo : `${undo}: ${typed === "" ? "–" : typed}`);
    }
    return outcome;
  }

  return {
    place,
    chosen,
    state,
    opened,
    form,
    attention,
    notice,
    spoken,
    changes,
    hasWork,
    shownCut,
    showCut(tick) {
      shownCut.value = tick;
      picture.paint(false);
    },
    goTo(next) {
      if (next === place.value) return;
      batch(() => {
        place.value = next;
        opened.value = null;
        refresh();
      });
    },
    choose(next) {
      const now = chosen.value;
      if (now?.kind === next?.kind && now?.of.id === next?.of.id && now?.of.copy === next?.of.copy) return;
      batch(() => {
        chosen.value = next;
        // Choosing changes nothing else: the lists of a large job are not read again for it.
        const selection = core.ask((session) => session.selection(picture.view(false)) ?? null);
        state.value = { ...state.value, selection };
        readForm();
        picture.paint(false);
        // An open form follows what is chosen; it does not open by itself.
        const thing = state.value.selection?.thing ?? null;
        const now = opened.value?.thing;
        if (now !== undefined && thing !== null && thing.kind === now.kind && thing.row !== now.row) {
          opened.value = { thing, field: null };
          readForm();
        }
      });
    },
    openForm(thing, field = null) {
      batch(() => {
        const left = opened.value?.thing ?? null;
        opened.value = thing === null ? null : { thing, field };
        readForm();
        // The way back leads to the row that one came from.
        const isBack = left !== null && field === null && (thing === null || isOwner(thing, left));
        if (isBack) attention.value = { to: "row", thing: left };
        else if (thing !== null) attention.value = { to: "form", field, fresh: false };
      });
    },
    attend: (wish) => void (attention.value = wish),
    change,
    set: (thing, field, typed) => change((session) => session.set(thing, field, typed), typed),
    add: (kind, owner = null) => make((session) => session.add(kind, owner)),
    another: (thing) => make((session) => session.duplicate(thing)),
    ask: (call) => core.ask(call),
    formOf: (thing) => core.ask((session) => session.form(thing)),
    showOtherwise(call) {
      core.ask(call);
      refresh();
    },
    refresh() {
      core.takeDown();
      changes.value += 1;
      refresh();
    },
    async refreshGently(pause) {
      await pause();
      core.takeDown();
      changes.value += 1;
      await pause();
      readAll();
      await pause();
      picture.paint(false);
    },
    lookAgain() {
      state.value = readState() ?? state.value;
    },
    startAgain() {
      refresh();
      picture.paint(true);
    },
    paintWith: picture.paintWith,
    seenAt: picture.seenAt,
    shaped: picture.shaped,
    say,
  };
}

