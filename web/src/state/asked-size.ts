// What one size would cost over its range: a worker looks at its values one by one, and is ended to stop it.

import { computed, signal, type ReadonlySignal } from "@preact/signals";

import type { WhatIf } from "../protocol/generated";
import { PROTOCOL, type AskSize, type OfSize } from "../protocol/messages";
import { text } from "../text";
import type { Desk } from "./desk";

export interface AskedSize {
  readonly running: ReadonlySignal<boolean>;
  /** What is known; null where nothing was asked of the job as it is now. */
  readonly seen: ReadonlySignal<WhatIf | null>;
  ask(row: number): void;
  /** Keeps what is known. */
  stop(): void;
  /** Stops and forgets it. */
  leave(): void;
  /** Puts the plan of one of the values on the floor. */
  take(index: number): void;
}

interface Known {
  readonly row: number;
  readonly revision: number;
  readonly seen: WhatIf;
}

export function makeAskedSize(desk: Desk, startWorker: () => Worker, core: WebAssembly.Module): AskedSize {
  const known = signal<Known | null>(null);
  const worker = signal<Worker | null>(null);
  let plans = new Map<number, string>();
  const seen = computed(() => (known.value?.revision === desk.state.value.revision ? known.value.seen : null));

  function stop(): void {
    worker.value?.terminate();
    worker.value = null;
  }

  function fail(words: string): void {
    stop();
    desk.notice.value = { text: words, tone: "problem", buttons: [] };
    desk.say(words);
  }

  return {
    running: computed(() => worker.value !== null),
    seen,
    stop,
    ask(row) {
      stop();
      plans = new Map();
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
      hired.onmessage = ({ data }: MessageEvent<OfSize>) => {
        if (worker.peek() !== hired) return;
        // What was asked of another job has no answer.
        if (desk.state.peek().revision !== revision) return stop();
        if (data.say === "failed") return fail(text.whatIf.failed);
        if (data.plan !== null) plans.set(data.index, data.plan);
        known.value = { row, revision, seen: data.seen };
        if (!data.seen.done) return;
        stop();
        desk.say(data.seen.better_text === "" ? data.seen.sentence : data.seen.better_text);
      };
      hired.onerror = (event) => {
        event.preventDefault();
        if (worker.peek() === hired) fail(text.whatIf.failed);
      };
      worker.value = hired;
      hired.postMessage({ say: "ask_size", protocol: PROTOCOL, core, document, row } satisfies AskSize);
    },
    leave() {
      stop();
      known.value = null;
    },
    take(index) {
      stop();
      const row = known.peek()?.row;
      const plan = plans.get(index);
      if (row !== undefined && plan !== undefined) desk.change((session) => session.take_size(row, plan));
    },
  };
}
