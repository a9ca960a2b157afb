// Better faces: a worker looks for them, and is ended to stop it.

import { computed, signal, type ReadonlySignal } from "@preact/signals";

import type { FaceBalance, FacePictures, FacesFound } from "../protocol/generated";
import { PROTOCOL, type AskFace, type OfFace } from "../protocol/messages";
import { text } from "../text";
import type { Desk } from "./desk";

export interface Faces {
  /** The face that is looked for just now. */
  readonly running: ReadonlySignal<string | null>;
  /** What is known of which face; null where nothing was asked. */
  readonly seen: ReadonlySignal<Seen | null>;
  /** How well a face of the plan on the floor is balanced; worked out once for each state of the job. */
  balance(key: string, stands: boolean): FaceBalance | null;
  /** Looks for better ones of a face, or for more that are like one that was found. */
  ask(key: string, like?: number): void;
  /** Keeps what is known. */
  stop(): void;
  /** How a face that was found will look. */
  pictures(index: number): FacePictures | null;
  /** Puts the plan of a face that was found on the floor, its parts pinned. */
  take(index: number): void;
}

export interface Seen {
  readonly key: string;
  readonly found: FacesFound;
  /** The job has changed since: what was found is gone. */
  readonly changed: boolean;
}

interface Known {
  readonly key: string;
  readonly revision: number;
  readonly found: FacesFound;
}

export function makeFaces(desk: Desk, startWorker: () => Worker, core: WebAssembly.Module): Faces {
  const known = signal<Known | null>(null);
  const worker = signal<{ readonly hired: Worker; readonly key: string } | null>(null);
  let plans = new Map<number, string>();
  let drawn = new Map<number, FacePictures | null>();
  let balances: { readonly state: object; readonly of: Map<string, FaceBalance | null> } = { state: {}, of: new Map() };

  function stop(): void {
    worker.value?.hired.terminate();
    worker.value = null;
  }

  function fail(words: string): void {
    stop();
    desk.notice.value = { text: words, tone: "problem", buttons: [] };
    desk.say(words);
  }

  function ask(key: string, like?: number): void {
    stop();
    const likePlan = like === undefined ? null : (plans.get(like) ?? null);
    plans = new Map();
    drawn = new Map();
    known.value = null;
    const document = desk.ask((session) => session.save());
    if (document === null) return;
    const { revision } = desk.state.value;
    let hired: Worker;
    try {
      hired = startWorker();
    } catch {
      return fail(text.trouble.noWorker);
    }
    hired.onmessage = ({ data }: MessageEvent<OfFace>) => {
      if (worker.peek()?.hired !== hired) return;
      // What was asked of another job has no answer.
      if (desk.state.peek().revision !== revision) return stop();
      if (data.say === "failed") return fail(text.figure.failed);
      for (const [index, plan] of data.plans) plans.set(index, plan);
      known.value = { key, revision, found: data.found };
      if (!data.found.done) return;
      stop();
      desk.say(data.found.sentence);
    };
    hired.onerror = (event) => {
      event.preventDefault();
      if (worker.peek()?.hired === hired) fail(text.figure.failed);
    };
    worker.value = { hired, key };
    hired.postMessage({ say: "ask_face", protocol: PROTOCOL, core, document, key, like: likePlan } satisfies AskFace);
  }

  return {
    running: computed(() => worker.value?.key ?? null),
    seen: computed(() => {
      const of = known.value;
      return of === null ? null : { key: of.key, found: of.found, changed: of.revision !== desk.state.value.revision };
    }),
    balance(key, stands) {
      const state = desk.state.value;
      if (balances.state !== state) balances = { state, of: new Map() };
      const shown = `${key} ${stands}`;
      if (!balances.of.has(shown)) balances.of.set(shown, desk.ask((session) => session.balance(key, stands)) ?? null);
      return balances.of.get(shown) ?? null;
    },
    ask,
    stop,
    pictures(index) {
      const of = known.peek();
      const plan = plans.get(index);
      if (of === null || plan === undefined) return null;
      if (!drawn.has(index)) drawn.set(index, desk.ask((session) => session.face_pictures(of.key, plan)) ?? null);
      return drawn.get(index) ?? null;
    },
    take(index) {
      stop();
      const key = known.peek()?.key;
      const plan = plans.get(index);
      if (key === undefined || plan === undefined) return;
      known.value = null;
      desk.change((session) => session.take_face(key, plan));
    },
  };
}
