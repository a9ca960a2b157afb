// Runs the searches. A round is a fixed number of steps of each worker, after which their
// plans are merged in worker order and the best goes to all of them. Within a round they make
// a few steps at a time, all as many, so that the best plan is seen several times a second
// however long a step takes. What is seen depends on the job, the seed, the number of workers
// and the number of steps, and not on which worker was quicker. Stopping keeps what all have made.

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
  /** All have made as many steps, and this is the best plan so far, or null while there is none. False ends the search. */
  look(best: string | null): boolean;
  ended(why: "stopped" | "finished" | "failed", message: string | null): void;
}

export interface SolverClient {
  readonly running: ReadonlySignal<boolean>;
  start(start: Start, judge: Judge): void;
  /** Keeps what all have made; before anything is placed it waits for that, or for the first round. */
  stop(): void;
  /** Ends at once: the job that is searched is not on the floor any more. */
  abandon(): void;
}

/** After this many crashes of one search it is the job and not an accident. */
const MOST_CRASHES = 3;

/** How long the workers work between two looks at their plans, in milliseconds: long beside what a look costs. */
const BETWEEN_LOOKS = 250;

interface Hand {
  worker: Worker;
  answered: boolean;
  /** The best it has found in this round. */
  best: string | null;
  placed: number;
  finished: boolean;
}

interface Run {
  readonly number: number;
  readonly start: Start;
  readonly judge: Judge;
  readonly hands: Hand[];
  /** What all went on from when this round began. */
  exchanged: string | null;
  /** The best plan when they were last looked at. */
  best: string | null;
  /** Steps of this round that are still to be asked for. */
  left: number;
  /** Steps asked for at a time, where as many are left. */
  atATime: number;
  askedAt: number;
  hasLooked: boolean;
  stopping: boolean;
  crashes: number;
}

/** `now` tells milliseconds; it decides how often one looks, and nothing of the plans. */
export function makeSolverClient(startWorker: () => Worker, core: WebAssembly.Module, now = () => performance.now()): SolverClient {
  const running = signal(false);
  let run: Run | null = null;
  let runNumber = 0;

  function post(hand: Hand, message: ToWorker): void {
    hand.worker.postMessage(message);
  }

  function engage(current: Run, index: number, steps: number): Hand {
    const hand: Hand = { worker: startWorker(), answered: false, best: null, placed: 0, finished: false };
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
      from: current.best,
    });
    return hand;
  }

  function heard(current: Run, index: number, message: FromWorker): void {
    if (run !== current || message.run !== current.number) return;
    const hand = current.hands[index];
    if (hand === undefined) return;
    if (message.say === "failed") {
      if (message.refused) end(current, "failed", message.message);
      else crashed(current, index, message.message);
      return;
    }
    hand.answered = true;
    hand.best = message.better ?? hand.best;
    hand.placed = message.placed;
    hand.finished = message.finished;
    if (current.hands.every((each) => each.answered)) look(current);
  }

  /** All have made what they were asked for. An empty floor is shown only when the first round has brought nothing else. */
  function look(current: Run): void {
    let best = current.exchanged;
    for (const hand of current.hands) {
      if (hand.best !== null && (best === null || current.judge.better(hand.best, best))) best = hand.best;
    }
    current.best = best;
    const isFinished = current.hands.every((each) => each.finished);
    const isBegun = current.hasLooked || current.left === 0 || isFinished || current.hands.some((each) => each.placed > 0);
    if (isBegun) {
      current.hasLooked = true;
      const goOn = current.judge.look(best);
      if (run !== current) return;
      if (!goOn || current.stopping) return end(current, "stopped", null);
    }
    if (isFinished) return end(current, "finished", null);
    const isQuick = now() - current.askedAt < BETWEEN_LOOKS;
    current.atATime = isQuick
      ? Math.min(2 * current.atATime, current.start.stepsPerRound)
      : Math.max(Math.floor(current.atATime / 2), 1);
    goOnFrom(current);
  }

  /** Asks for more steps, as the next round where this one is over. */
  function goOnFrom(current: Run): void {
    let adopt: string | null = null;
    if (current.left === 0) {
      current.exchanged = current.best;
      current.left = current.start.stepsPerRound;
      adopt = current.best;
      for (const hand of current.hands) hand.best = null;
    }
    const steps = nextSteps(current);
    for (const hand of current.hands) {
      hand.answered = false;
      post(hand, { say: "go_on", run: current.number, steps, adopt });
    }
  }

  /** How many steps all are to make now. */
  function nextSteps(current: Run): number {
    const steps = Math.min(current.atATime, current.left);
    current.left -= steps;
    current.askedAt = now();
    return steps;
  }

  function crashed(current: Run, index: number, message: string): void {
    if (run !== current) return;
    current.hands[index]?.worker.terminate();
    current.crashes += 1;
    if (current.crashes > MOST_CRASHES) return end(current, "failed", message);
    // The new one catches up with a round that is under way, as nearly as it can.
    current.hands[index] = engage(current, index, current.start.stepsPerRound - current.left);
  }

  function end(current: Run, why: "stopped" | "finished" | "failed", message: string | null): void {
    if (run !== current) return;
    run = null;
    for (const hand of current.hands) hand.worker.terminate();
    running.value = false;
    current.judge.ended(why, message);
  }

  return {
    running,
    start(start, judge) {
      if (run !== null) return;
      runNumber += 1;
      const current: Run = {
        number: runNumber,
        start,
        judge,
        hands: [],
        exchanged: start.from,
        best: start.from,
        left: start.stepsPerRound,
        atATime: 1,
        askedAt: 0,
        hasLooked: false,
        stopping: false,
        crashes: 0,
      };
      run = current;
      running.value = true;
      const steps = nextSteps(current);
      for (let index = 0; index < start.workers; index += 1) current.hands.push(engage(current, index, steps));
    },
    stop() {
      const current = run;
      if (current === null) return;
      current.stopping = true;
      // Only what all have made; but before anything was shown there is nothing to keep.
      if (!current.hasLooked && current.start.from === null) return;
      end(current, "stopped", null);
    },
    abandon() {
      if (run !== null) end(run, "stopped", null);
    },
  };
}
