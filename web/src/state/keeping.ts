// Keeps the job in the browser after each change and says plainly whether it is kept.

import { signal, type ReadonlySignal, type Signal } from "@preact/signals";

import { freshId } from "./fresh-id";
import type { KeptJob, Shelf } from "./shelf";
import { openTabs, type Word } from "./tabs";

export type Keeping =
  | { readonly kind: "keeping" }
  | { readonly kind: "kept" }
  | { readonly kind: "off"; readonly reason: string }
  | { readonly kind: "reader" }
  | { readonly kind: "clash"; readonly theirs: KeptJob };

/** What the keeper needs to know of the job on the floor. */
export interface JobOnFloor {
  text(): string;
  title(): string;
}

/** Long enough to join the keystrokes of one number, short enough that a killed tab loses nothing typed before. */
const PAUSE_MS = 250;
/** How long changes that follow each other without a pause may wait together. */
const LONGEST_PAUSE_MS = 1000;
/** How long to wait for another tab to answer that it has this job. */
const ANSWER_MS = 200;
/** How long somebody who wants to go on waits for the store; the write itself goes on. */
const PATIENCE_MS = 400;
/** A write that takes longer counts as not kept until it is done. */
const SLOW_MS = 2500;

export interface Keeper {
  readonly status: ReadonlySignal<Keeping>;
  /** Whether something was done here that neither the browser nor a saved file holds. */
  unkept(): boolean;
  /** Whether this tab writes the job, as far as it knows. */
  owns(): boolean;
  /**
   * Begins to keep a job under `id`, which was read at `stamp` (0: never written). Asks other tabs first.
   *
   * `show` puts it on the floor: what the floor held before is written under its own name
   * first, and showing is no edit.
   */
  begin(id: string, stamp: number, show?: () => void): Promise<void>;
  /** Goes back to a job that lay on this tab's floor before, as undo does, from the stamp it had when it was left. */
  back(id: string, show: () => void): Promise<void>;
  /** The job was changed: keep it soon. */
  changed(): void;
  /** Keep the job as it is, though nobody changed it. */
  keep(): void;
  /** Keeps at once what is not kept yet; waits for the store as long as a person would. */
  flush(): Promise<void>;
  /** This tab keeps the job from now on; another tab that kept it stops. */
  takeOver(stamp: number, show?: () => void): Promise<void>;
  /** The job was saved as a file. */
  savedAsFile(): void;
  /** The browser's store does not answer; what is done here is not kept until it does. */
  storeIsSilent(): void;
  /** It answers again. `keep`: put the job into it as it is. */
  storeAnswers(keep: boolean): void;
  /** The tab goes away: others may keep the job. */
  leave(): void;
  jobId(): string;
}

/** One job while it lies on the floor of this tab. */
interface Held {
  readonly id: string;
  /** The stamp of what this tab last read or wrote. */
  seen: number;
  /** Whether this tab has kept the job since it was begun here. */
  hasWritten: boolean;
  /** Whether the shelf lacks something. */
  toWrite: boolean;
  /** Changes made here, and how many of them are held by the shelf or a file. */
  edits: number;
  safe: number;
  /** The write that is under way. */
  out: Promise<void> | null;
}

const later = (milliseconds: number): Promise<void> => new Promise((done) => setTimeout(done, milliseconds));

function held(id: string, seen: number): Held {
  return { id, seen, hasWritten: false, toWrite: false, edits: 0, safe: 0, out: null };
}

export function makeKeeper(shelf: Shelf, job: JobOnFloor, now: () => number): Keeper {
  const tab = freshId();
  const status: Signal<Keeping> = signal({ kind: "keeping" });
  let current = held(freshId(), 0);
  /** Jobs that lay here before. */
  const before = new Map<string, Held>();
  let timer: ReturnType<typeof setTimeout> | null = null;
  let waitingSince = 0;
  let heardOwner = false;
  let isAsking = false;
  let isShowing = false;
  const owns = (): boolean => status.value.kind === "keeping" || status.value.kind === "kept";

  const tabs = openTabs(tab, (word, about, from) => {
    if (about !== current.id) return;
    switch (word) {
      case "opened":
        // Of two tabs that ask at the same time one answers.
        if (owns() && !(isAsking && from < tab)) note("mine");
        break;
      case "mine":
        heardOwner = true;
        // A busy tab may answer late; what this one has written by then is settled by the stamps.
        if (!current.hasWritten && owns()) status.value = { kind: "reader" };
        break;
      case "taking":
        if (owns()) status.value = { kind: "reader" };
        break;
      case "gone":
        if (status.value.kind === "reader") void inherit();
        break;
    }
  });

  const note = (word: Word): void => tabs?.say(word, current.id);

  type Entry = Omit<KeptJob, "stamp">;

  const entryOf = (mine: Held): Entry => ({ id: mine.id, title: job.title(), text: job.text(), writer: tab, at: now() });

  /** Writes one job: as it is now, or as it was when another took its place on the floor. */
  function put(mine: Held, entry: Entry = entryOf(mine)): Promise<void> {
    mine.toWrite = false;
    const edits = mine.edits;
    const show = (next: Keeping): void => {
      if (mine === current && owns()) status.value = next;
    };
    const fail = (error: unknown): void => {
      mine.toWrite = true;
      show({ kind: "off", reason: error instanceof Error ? `${error.name}: ${error.message}` : String(error) });
    };
    const slow = setTimeout(() => show({ kind: "off", reason: "no answer" }), SLOW_MS);
    const answer = shelf.write(entry, mine.seen).then((written) => {
      if (written.kind === "clash") {
        mine.toWrite = true;
        show({ kind: "clash", theirs: written.theirs });
        return;
      }
      mine.seen = written.stamp;
      mine.hasWritten = true;
      mine.safe = Math.max(mine.safe, edits);
      if (mine !== current) return;
      // A store that answered late is in use again.
      if (status.value.kind === "off") status.value = { kind: "keeping" };
      if (mine.toWrite) soon();
      else show({ kind: "kept" });
    }, fail);
    mine.out = answer.finally(() => {
      clearTimeout(slow);
      mine.out = null;
    });
    return mine.out;
  }

  function write(): Promise<void> {
    if (timer !== null) clearTimeout(timer);
    timer = null;
    const mine = current;
    if (mine.out !== null) {
      return mine.out.then(() => (mine === current && mine.toWrite && owns() ? put(mine) : undefined));
    }
    return mine.toWrite && owns() ? put(mine) : Promise.resolve();
  }

  function soon(): void {
    const time = now();
    if (timer === null) waitingSince = time;
    else if (time - waitingSince >= LONGEST_PAUSE_MS) return;
    else clearTimeout(timer);
    timer = setTimeout(() => void write(), PAUSE_MS);
  }

  function keep(): void {
    current.toWrite = true;
    // A write that is not answered is not tried again before it is.
    const again = status.value.kind === "off" && current.out === null;
    if (status.value.kind === "kept" || again) status.value = { kind: "keeping" };
    if (owns() && current.out === null) soon();
  }

  /** Whether another tab says within a moment that it keeps this job. */
  async function isKeptElsewhere(): Promise<boolean> {
    if (tabs === null) return false;
    const mine = current;
    heardOwner = false;
    isAsking = true;
    note("opened");
    await later(ANSWER_MS);
    isAsking = false;
    return mine === current && heardOwner;
  }

  /** The tab that kept this job went away. */
  async function inherit(): Promise<void> {
    const mine = current;
    if (await isKeptElsewhere()) return;
    const theirs = await shelf.read(mine.id).catch(() => undefined);
    if (mine !== current || status.value.kind !== "reader") return;
    if (theirs !== undefined && theirs.stamp !== mine.seen) {
      status.value = { kind: "clash", theirs };
      return;
    }
    status.value = { kind: mine.toWrite ? "keeping" : "kept" };
    void write();
  }

  function showing(show: (() => void) | undefined): void {
    isShowing = true;
    try {
      show?.();
    } finally {
      isShowing = false;
    }
  }

  /** Another job comes to the floor. */
  async function change(mine: Held, show: (() => void) | undefined): Promise<void> {
    // What the floor held until now goes under its own name, before anything else lies there.
    if (timer !== null) clearTimeout(timer);
    timer = null;
    if (current.toWrite && owns()) {
      const left = current;
      const entry = entryOf(left);
      if (left.out === null) void put(left, entry);
      else void left.out.then(() => put(left, entry));
    }
    if (current.id !== mine.id && owns()) note("gone");
    before.set(current.id, current);
    mine.hasWritten = false;
    current = mine;
    if (status.value.kind !== "off") status.value = { kind: "keeping" };
    showing(show);
    // A job that was never written cannot be open anywhere else.
    if (mine.seen === 0 && mine.out === null) return;
    const elsewhere = await isKeptElsewhere();
    if (mine !== current) return;
    if (elsewhere && !mine.hasWritten) status.value = { kind: "reader" };
    else if (!mine.toWrite && mine.out === null && status.value.kind === "keeping") status.value = { kind: "kept" };
  }

  return {
    status,
    owns,
    unkept: () => current.edits > current.safe,
    jobId: () => current.id,
    begin: (id, stamp, show) => change(held(id, stamp), show),
    back: (id, show) => change(before.get(id) ?? held(id, 0), show),
    changed() {
      if (!isShowing) current.edits += 1;
      keep();
      // The tab that kept it may have died without a word.
      if (status.value.kind === "reader" && !isAsking) void inherit();
    },
    keep,
    async flush() {
      await Promise.race([write(), later(PATIENCE_MS)]);
    },
    async takeOver(stamp, show) {
      current.seen = stamp;
      current.hasWritten = true;
      status.value = { kind: "keeping" };
      note("taking");
      if (show !== undefined) {
        current.edits = 0;
        current.safe = 0;
      }
      showing(show);
      current.toWrite = true;
      await write();
    },
    savedAsFile() {
      current.safe = current.edits;
    },
    storeIsSilent() {
      status.value = { kind: "off", reason: "no answer" };
    },
    storeAnswers(keepIt) {
      if (keepIt || current.toWrite) keep();
      else if (status.value.kind === "off") status.value = { kind: "kept" };
    },
    leave() {
      if (owns()) note("gone");
    },
  };
}
