// What is being typed and not yet handed over, kept beside the job so that a reload or a crash
// gives it back into the very field.

import type { Ask, Thing } from "../protocol/generated";
import type { Marks } from "./shelf";

/** Text on its way into a field. */
export interface Draft {
  readonly thing: Thing;
  readonly field: string;
  readonly text: string;
  /** The question at the bench that it belongs to, with what was answered before. */
  readonly ask: Ask | null;
}

/** The name under which the list in the window for pasting is kept. */
export const PASTED_LIST = "pasted list";
/** The name under which boards typed as lines are kept. */
export const TYPED_BOARDS = "typed boards";
/** What belongs to the job as a whole. */
export const WHOLE_JOB: Thing = { kind: "job", row: 0, index: null, of_part: false };
/** What the fields of a question at the bench belong to. */
export const QUESTION: Thing = { kind: "job", row: 0, index: 0, of_part: false };

export interface Drafts {
  /** Somebody types: this is what stands in the field now. */
  typed(thing: Thing, field: string, text: string): void;
  /** A question is open at the bench, with these answers; none: it was handed over or given up. */
  asks(ask: Ask | null): void;
  /** The field was left; what stood in it was handed over or given up. */
  left(): void;
  /** Text given back for this field, once. */
  take(thing: Thing, field: string): string | null;
  /** Reads what was being typed when the job was last open here. */
  read(): Promise<Draft | null>;
  /** Holds a draft until its field asks for it. */
  giveBack(draft: Draft): void;
  /** The job was kept: a draft that went into it is needed no more. */
  jobKept(): void;
  /** Whether something is being typed that the browser does not hold. */
  unkept(): boolean;
}

/** What the drafts need to know of the job on the floor. */
export interface DraftedJob {
  id(): string;
  /** Whether this tab writes what belongs to the job. */
  owns(): boolean;
  /** Whether changes are still to be written. */
  unkept(): boolean;
}

const keyOf = (job: string): string => `draft ${job}`;

function isSame(one: Thing, other: Thing): boolean {
  return (
    one.kind === other.kind &&
    (one.row ?? 0) === (other.row ?? 0) &&
    (one.index ?? null) === (other.index ?? null) &&
    (one.of_part ?? false) === (other.of_part ?? false)
  );
}

export function makeDrafts(marks: Marks, job: DraftedJob): Drafts {
  let now: Draft | null = null;
  let asked: Ask | null = null;
  let offered: Draft | null = null;
  /** The job for which the store holds a draft. */
  let stored: string | null = null;
  let failed = false;

  /**
   * Hands what is typed to the store at every key, without waiting for the key before: a page that
   * is loaded again has no later moment. The store keeps their order.
   */
  function write(draft: Draft): void {
    if (!job.owns()) return;
    const id = job.id();
    stored = id;
    marks.set(keyOf(id), JSON.stringify(draft)).then(
      () => (failed = false),
      () => (failed = true),
    );
  }

  function writeQuestion(ask: Ask): void {
    write({ thing: QUESTION, field: "", text: "", ask });
  }

  function clear(): void {
    const before = stored;
    if (before === null || now !== null || asked !== null) return;
    stored = null;
    // A draft that stays behind is offered once more; nothing is lost by it.
    marks.remove(keyOf(before)).catch(() => undefined);
  }

  return {
    typed(thing, field, text) {
      now = { thing, field, text, ask: isSame(thing, QUESTION) ? asked : null };
      write(now);
    },
    asks(ask) {
      // A line lies on this window's floor and on no other.
      asked = ask === null ? null : { ...ask, line: null };
      if (asked === null) clear();
      // What is still to be given back stays in the store until its field has it.
      else if (offered === null) writeQuestion(asked);
    },
    left() {
      now = null;
      if (asked !== null) writeQuestion(asked);
      else if (!job.unkept()) clear();
    },
    take(thing, field) {
      const draft = offered;
      if (draft === null || draft.field !== field || !isSame(draft.thing, thing)) return null;
      offered = null;
      now = draft;
      return draft.text;
    },
    async read() {
      const id = job.id();
      if (!job.owns()) return null;
      const text = await marks.get(keyOf(id)).catch(() => undefined);
      if (text === undefined || now !== null || job.id() !== id) return null;
      stored = id;
      return readDraft(text);
    },
    giveBack(draft) {
      offered = draft;
    },
    jobKept() {
      if (now === null && offered === null) clear();
    },
    unkept: () => now !== null && (failed || !job.owns()),
  };
}

function readDraft(text: string): Draft | null {
  try {
    const draft = JSON.parse(text) as Partial<Draft>;
    if (typeof draft.field !== "string" || typeof draft.text !== "string") return null;
    if (typeof draft.thing !== "object" || typeof draft.thing.kind !== "string") return null;
    return { thing: draft.thing, field: draft.field, text: draft.text, ask: draft.ask ?? null };
  } catch {
    return null;
  }
}
