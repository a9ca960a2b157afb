// Runs the searches. Each worker makes a fixed number of steps a round; when all have
// answered, their plans are merged in worker order and the best goes to all of them. What
// comes out depends on the job, the seed, the number of workers and the number of rounds,
// and not on which worker was quicker. Stopping keeps the last whole round.

import { signal, type ReadonlySignal } from "@preact/signals";

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
  /** A round is over and this is the best plan so far, or null while there is none. False ends the search. */
  roundOver(best: string | null): boolean;
  ended(why: "stopped" | "finished" | "failed", message: string | null): void;
}

export interface SolverClient {
  readonly running: ReadonlySignal<boolean>;
  readonly rounds: ReadonlySignal<number>;
  start(start: Start, judge: Judge): void;
  /** Keeps the last whole round; before the first one is over it waits for that. */
  stop(): void;
  /** Ends at once: the job that is searched is not on the floor any more. */
  abandon(): void;
}

/** After this many crashes of one search it is the job and not an accident. */
const MOST_CRASHES = 3;

interface Hand {
  worker: Worker;
  answered: boolean;
  best: string | null;
  finished: boolean;
}

export function makeSolverClient(startWorker: () => Worker, core: WebAssembly.Module): SolverClient {
  const running = signal(false);
  const rounds = signal(0);
  let run: Run | null = null;

  interface Run {
    readonly number: number;
    readonly start: Start;
    readonly judge: Judge;
    readonly hands: Hand[];
    best: string | null;
    stopping: boolean;
    crashes: number;
  }
  let runNumber = 0;

  function post(hand: Hand, message: ToWorker): void {
    hand.worker.postMessage(message);
  }

  function engage(now: Run, index: number): Hand {
    const hand: Hand = { worker: startWorker(), answered: false, best: null, finished: false };
    hand.worker.onmessage = (event: MessageEvent<FromWorker>) => heard(now, index, event.data);
    hand.worker.onerror = (event) => {
      event.preventDefault();
      crashed(now, index, event.message);
    };
    post(hand, {
      say: "begin",
      protocol: PROTOCOL,
      core,
      run: now.number,
      document: now.start.document,
      settings: { seed: now.start.seed, worker: index, workers: now.start.workers, way: "as_job" },
      steps: now.start.stepsPerRound,
      from: now.best,
    });
    return hand;
  }

  function heard(now: Run, index: number, message: FromWorker): void {
    if (run !== now || message.run !== now.number) return;
    const hand = now.hands[index];
    if (hand === undefined) return;
    if (message.say === "failed") {
      if (message.refused) end(now, "failed", message.message);
      else crashed(now, index, message.message);
      return;
    }
    hand.answered = true;
    hand.best = message.best;
    hand.finished = message.finished;
    if (now.hands.every((each) => each.answered)) roundOver(now);
  }

  function roundOver(now: Run): void {
    let best = now.best;
    for (const hand of now.hands) {
      if (hand.best !== null && (best === null || now.judge.better(hand.best, best))) best = hand.best;
    }
    now.best = best;
    rounds.value += 1;
    const goOn = now.judge.roundOver(best);
    if (run !== now) return;
    if (!goOn || now.stopping) return end(now, "stopped", null);
    if (now.hands.every((each) => each.finished)) return end(now, "finished", null);
    for (const hand of now.hands) {
      hand.answered = false;
      post(hand, { say: "round", run: now.number, adopt: best });
    }
  }

  function crashed(now: Run, index: number, message: string): void {
    if (run !== now) return;
    now.hands[index]?.worker.terminate();
    now.crashes += 1;
    if (now.crashes > MOST_CRASHES) return end(now, "failed", message);
    now.hands[index] = engage(now, index);
  }

  function end(now: Run, why: "stopped" | "finished" | "failed", message: string | null): void {
    if (run !== now) return;
    run = null;
    for (const hand of now.hands) hand.worker.terminate();
    running.value = false;
    now.judge.ended(why, message);
  }

  return {
    running,
    rounds,
    start(start, judge) {
      if (run !== null) return;
      runNumber += 1;
      const now: Run = { number: runNumber, start, judge, hands: [], best: start.from, stopping: false, crashes: 0 };
      run = now;
      rounds.value = 0;
      running.value = true;
      for (let index = 0; index < start.workers; index += 1) now.hands.push(engage(now, index));
    },
    stop() {
      const now = run;
      if (now === null) return;
      now.stopping = true;
      // Whole rounds only; but a first round that was never answered has nothing to keep.
      if (rounds.value === 0 && now.best === null) return;
      end(now, "stopped", null);
    },
    abandon() {
      if (run !== null) end(run, "stopped", null);
    },
  };
}
