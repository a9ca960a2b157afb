// Runs the searches. A round is a fixed number of steps of each worker, after which their
// plans are merged in worker order and the best goes to all of them. Within a round they make
// a few steps at a time, all as many, so that the best plan is seen several times a second
// however long a step takes. What is seen depends on the job, the seed, the number of workers
// and the number of steps, and not on which worker was quicker. Stopping waits for nobody: it keeps
// what all have made, and before that the best that any has placed.

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

/** After this many crashes of one search it is the job and not an accident. */
const MOST_CRASHES = 3;

/** How long the workers work between two looks at their plans, in milliseconds: long beside what a look costs. */
const BETWEEN_LOOKS = 250;

/** How long a new worker has to say that it is there, in milliseconds. It says so before it does anything else. */
const MOST_SILENCE = 8_000;

interface Hand {
  worker: Worker;
  isHere: boolean;
  silence: ReturnType<typeof setTimeout>;
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
  crashes: number;
}

/** `now` tells milliseconds; it decides how often one looks, and nothing of the plans. */
export function makeSolverClient(
  startWorker: () => Worker,
  core: WebAssembly.Module,
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
    const hand: Hand = { worker, isHere: false, silence, answered: false, best: null, placed: 0, finished: false };
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
    hand.isHere = true;
    clearTimeout(hand.silence);
    if (message.say === "here") return;
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
    const best = bestOf(current, current.hands);
    current.best = best;
    const isFinished = current.hands.every((each) => each.finished);
    const isBegun = current.hasLooked || current.left === 0 || isFinished || current.hands.some((each) => each.placed > 0);
    if (isBegun) {
      current.hasLooked = true;
      const goOn = current.judge.look(best);
      if (run !== current) return;
      if (!goOn) return end(current, "stopped", null);
    }
    if (isFinished) return end(current, "finished", null);
    const isQuick = now() - current.askedAt < BETWEEN_LOOKS;
    current.atATime = isQuick
      ? Math.min(2 * current.atATime, current.start.stepsPerRound)
      : Math.max(Math.floor(current.atATime / 2), 1);
    goOnFrom(current);
  }

  /** The best of what some have found in this round, and of what all went on from. */
  function bestOf(current: Run, hands: readonly Hand[]): string | null {
    let best = current.exchanged;
    for (const hand of hands) {
      if (hand.best !== null && (best === null || current.judge.better(hand.best, best))) best = hand.best;
    }
    return best;
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
    const old = current.hands[index];
    if (old !== undefined) dismiss(old);
    current.crashes += 1;
    // One that fell before its first word was never a search.
    if (old?.isHere !== true && current.crashes > MOST_CRASHES) return end(current, "no_worker", message);
    if (current.crashes > MOST_CRASHES) return end(current, "failed", message);
    // The new one catches up with a round that is under way, as nearly as it can.
    const next = engage(current, index, current.start.stepsPerRound - current.left);
    if (next !== null) current.hands[index] = next;
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
        crashes: 0,
      };
      run = current;
      running.value = true;
      const steps = nextSteps(current);
      for (let index = 0; index < start.workers; index += 1) {
        const hand = engage(current, index, steps);
        if (hand === null) return;
        current.hands.push(hand);
      }
    },
    stop() {
      const current = run;
      if (current === null) return;
      if (!current.hasLooked) {
        const placed = current.hands.filter((each) => each.placed > 0);
        if (placed.length > 0) current.judge.look(bestOf(current, placed));
      }
      end(current, "stopped", null);
    },
    abandon() {
      if (run !== null) end(run, "stopped", null);
    },
  };
}
