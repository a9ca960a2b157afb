// Runs the searches: makes the workers, carries out what the core's rounds order, and has the
// clock. The rounds decide who steps, who merges and what is shown (crates/app/src/rounds.rs); the
// best plan is looked at several times a second however long a step takes. Stopping waits for
// nobody: it keeps what all have made, and before that the best that any has placed.

import { signal, type ReadonlySignal } from "@preact/signals";

import type { Rounds } from "./protocol/generated";
import type { FromWorker, ToWorker } from "./protocol/messages";
import { PROTOCOL } from "./protocol/messages";

export interface Start {
  readonly document: string;
  readonly seed: number;
  readonly workers: number;
  readonly stepsPerRound: number;
  /** A plan to go on from. */
  readonly from: string | null;
}

/** What the client does with the plans; all of it is the core's business. */
export interface Judge {
  /** Whether the first plan is better than the second. */
  better(first: string, second: string): boolean;
  /** All have made as many steps, and this is the best plan so far, or null while there is none. False ends the search. */
  look(best: string | null): boolean;
  ended(why: Why, message: string | null): void;
}

/** How a search ends. `no_worker`: none could be made, or it never answered that it is there. */
export type Why = "stopped" | "finished" | "failed" | "no_worker";

export interface SolverClient {
  readonly running: ReadonlySignal<boolean>;
  start(start: Start, judge: Judge): void;
  /** Ends at once and keeps what there is. */
  stop(): void;
  /** Ends at once: the job that is searched is not on the floor any more. */
  abandon(): void;
}

/** How long the workers work between two looks at their plans, in milliseconds: long beside what a look costs. */
const BETWEEN_LOOKS = 250;

/** How long a new worker has to say that it is there, in milliseconds. It says so before it does anything else. */
const MOST_SILENCE = 8_000;

interface Hand {
  worker: Worker;
  isHere: boolean;
  silence: ReturnType<typeof setTimeout>;
}

interface Run {
  readonly number: number;
  readonly start: Start;
  readonly judge: Judge;
  readonly rounds: Rounds;
  readonly hands: Hand[];
  askedAt: number;
}

/** `now` tells milliseconds; it decides how often one looks, and nothing of the plans. */
export function makeSolverClient(
  startWorker: () => Worker,
  core: WebAssembly.Module,
  makeRounds: (workers: number, stepsPerRound: number, from: string | null) => Rounds,
  now = () => performance.now(),
  mostSilence = MOST_SILENCE,
): SolverClient {
  const running = signal(false);
  let run: Run | null = null;
  let runNumber = 0;

  function post(hand: Hand, message: ToWorker): void {
    hand.worker.postMessage(message);
  }

  /** A new worker that has been told to begin; null where none can be made, which ends the search. */
  function engage(current: Run, index: number, steps: number): Hand | null {
    let worker: Worker;
    try {
      worker = startWorker();
    } catch (error) {
      end(current, "no_worker", String(error));
      return null;
    }
    const silence = setTimeout(() => end(current, "no_worker", null), mostSilence);
    const hand: Hand = { worker, isHere: false, silence };
    hand.worker.onmessage = (event: MessageEvent<FromWorker>) => heard(current, index, event.data);
    hand.worker.onerror = (event) => {
      event.preventDefault();
      crashed(current, index, event.message);
    };
    post(hand, {
      say: "begin",
      protocol: PROTOCOL,
      core,
      run: current.number,
      document: current.start.document,
      settings: { seed: current.start.seed, worker: index, workers: current.start.workers, way: "as_job" },
      steps,
      from: current.rounds.adopt() ?? null,
    });
    return hand;
  }

  function heard(current: Run, index: number, message: FromWorker): void {
    if (run !== current || message.run !== current.number) return;
    const hand = current.hands[index];
    if (hand === undefined) return;
    hand.isHere = true;
    clearTimeout(hand.silence);
    if (message.say === "here") return;
    if (message.say === "failed") {
      if (message.refused) end(current, "failed", message.message);
      else crashed(current, index, message.message);
      return;
    }
    asked(current, () => {
      if (current.rounds.made(index, message.better, message.placed > 0, message.finished)) look(current);
    });
  }

  /** All have made what they were asked for. */
  function look(current: Run): void {
    const { rounds, judge } = current;
    if (rounds.look(judge.better)) {
      const goOn = judge.look(rounds.best() ?? null);
      if (run !== current) return;
      if (!goOn) return end(current, "stopped", null);
    }
    if (rounds.is_over()) return end(current, "finished", null);
    const steps = rounds.next(now() - current.askedAt < BETWEEN_LOOKS);
    if (steps === undefined) return;
    current.askedAt = now();
    const adopt = rounds.adopt() ?? null;
    for (const hand of current.hands) post(hand, { say: "go_on", run: current.number, steps, adopt });
  }

  function crashed(current: Run, index: number, message: string): void {
    if (run !== current) return;
    const old = current.hands[index];
    if (old !== undefined) dismiss(old);
    asked(current, () => {
      const steps = current.rounds.fallen(index);
      // One that fell before its first word was never a search.
      if (steps === undefined) return end(current, old?.isHere === true ? "failed" : "no_worker", message);
      const next = engage(current, index, steps);
      if (next !== null) current.hands[index] = next;
    });
  }

  /** The rounds live in the core's instance: where that was started again, they are gone and the search ends. */
  function asked(current: Run, call: () => void): void {
    try {
      call();
    } catch (error) {
      end(current, "stopped", null);
      if (!(error instanceof Error && error.message.includes("stale"))) throw error;
    }
  }

  function dismiss(hand: Hand): void {
    clearTimeout(hand.silence);
    hand.worker.terminate();
  }

  function end(current: Run, why: Why, message: string | null): void {
    if (run !== current) return;
    run = null;
    current.hands.forEach(dismiss);
    running.value = false;
    current.judge.ended(why, message);
  }

  return {
    running,
    start(start, judge) {
      if (run !== null) return;
      runNumber += 1;
      const rounds = makeRounds(start.workers, start.stepsPerRound, start.from);
      const current: Run = { number: runNumber, start, judge, rounds, hands: [], askedAt: now() };
      run = current;
      running.value = true;
      asked(current, () => {
        const steps = rounds.next(true);
        for (let index = 0; index < start.workers && steps !== undefined; index += 1) {
          const hand = engage(current, index, steps);
          if (hand === null) return;
          current.hands.push(hand);
        }
      });
    },
    stop() {
      const current = run;
      if (current === null) return;
      asked(current, () => {
        const kept = current.rounds.unshown(current.judge.better);
        if (kept !== undefined) current.judge.look(kept);
      });
      end(current, "stopped", null);
    },
    abandon() {
      if (run !== null) end(run, "stopped", null);
    },
  };
}
