// Keeps the job in the browser after each change and says plainly whether it is kept.

import { signal, type ReadonlySignal, type Signal } from "@preact/signals";

import type { KeptJob, Shelf } from "./shelf";

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

type Note =
  | { readonly say: "opened"; readonly job: string; readonly tab: string }
  | { readonly say: "mine"; readonly job: string; readonly tab: string }
  | { readonly say: "taking"; readonly job: string; readonly tab: string };

/** Long enough to join the keystrokes of one number, short enough that a killed tab loses nothing typed before. */
const PAUSE_MS = 250;
/** How long to wait for another tab to answer that it has this job. */
const ANSWER_MS = 200;

export interface Keeper {
  readonly status: ReadonlySignal<Keeping>;
  /** Begins to keep a job under `id`, which was read at `stamp` (0: never written). Asks other tabs first. */
  begin(id: string, stamp: number): Promise<void>;
  /** The job was changed: keep it soon. */
  changed(): void;
  /** Keeps at once what is not kept yet. */
  flush(): Promise<void>;
  /** This tab keeps the job from now on; another tab that kept it stops. */
  takeOver(stamp: number): Promise<void>;
  jobId(): string;
}

function freshId(): string {
  return crypto.randomUUID();
}

export function makeKeeper(shelf: Shelf, job: JobOnFloor, now: () => number): Keeper {
  const tab = freshId();
  const status: Signal<Keeping> = signal({ kind: "keeping" });
  let id = freshId();
  let seen = 0;
  let timer: ReturnType<typeof setTimeout> | null = null;
  let dirty = false;
  let writing: Promise<void> = Promise.resolve();
  let heardOwner = false;
  let isAsking = false;
  /** Whether this tab has kept the job since it was begun here. */
  let hasWritten = false;
  const channel = openChannel();

  function openChannel(): BroadcastChannel | null {
    try {
      return new BroadcastChannel("heartside");
    } catch {
      // Without it a second tab is noticed at its first write, by the stamp.
      return null;
    }
  }

  const owns = (): boolean => status.value.kind === "keeping" || status.value.kind === "kept";

  if (channel !== null) {
    channel.onmessage = (event: MessageEvent<Note>) => {
      const note = event.data;
      if (note.job !== id || note.tab === tab) return;
      switch (note.say) {
        case "opened":
          // Of two tabs that ask at the same time one answers.
          if (owns() && !(isAsking && note.tab < tab)) channel.postMessage({ say: "mine", job: id, tab } satisfies Note);
          break;
        case "mine":
          heardOwner = true;
          // A busy tab may answer late; what this one has written by then is settled by the stamps.
          if (!hasWritten && owns()) status.value = { kind: "reader" };
          break;
        case "taking":
          if (owns()) status.value = { kind: "reader" };
          break;
      }
    };
  }

  async function write(): Promise<void> {
    if (!dirty || !owns()) return;
    dirty = false;
    try {
      const written = await shelf.write({ id, title: job.title(), text: job.text(), writer: tab, at: now() }, seen);
      if (written.kind === "clash") {
        dirty = true;
        status.value = { kind: "clash", theirs: written.theirs };
        return;
      }
      seen = written.stamp;
      hasWritten = true;
      if (!dirty && owns()) status.value = { kind: "kept" };
    } catch (error) {
      dirty = true;
      status.value = { kind: "off", reason: error instanceof Error ? `${error.name}: ${error.message}` : String(error) };
    }
  }

  function queue(): Promise<void> {
    if (timer !== null) clearTimeout(timer);
    timer = null;
    writing = writing.then(write);
    return writing;
  }

  return {
    status,
    jobId: () => id,
    async begin(newId, stamp) {
      await queue();
      id = newId;
      seen = stamp;
      dirty = false;
      heardOwner = false;
      hasWritten = false;
      if (status.value.kind !== "off") status.value = { kind: "keeping" };
      // A job that was never written cannot be open anywhere else.
      if (channel === null || stamp === 0) return;
      channel.postMessage({ say: "opened", job: id, tab } satisfies Note);
      isAsking = true;
      await new Promise((done) => setTimeout(done, ANSWER_MS));
      isAsking = false;
      if (heardOwner && id === newId) status.value = { kind: "reader" };
      else if (!dirty && status.value.kind === "keeping") status.value = { kind: "kept" };
    },
    changed() {
      dirty = true;
      if (status.value.kind === "kept" || status.value.kind === "off") status.value = { kind: "keeping" };
      if (!owns()) return;
      if (timer !== null) clearTimeout(timer);
      timer = setTimeout(() => void queue(), PAUSE_MS);
    },
    flush: queue,
    async takeOver(stamp) {
      seen = stamp;
      hasWritten = true;
      status.value = { kind: "keeping" };
      channel?.postMessage({ say: "taking", job: id, tab } satisfies Note);
      dirty = true;
      await queue();
    },
  };
}
