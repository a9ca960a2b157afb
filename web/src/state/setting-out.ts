// Set out, stop, keep improving: joins the desk and the searches.

import { computed, signal, type ReadonlySignal } from "@preact/signals";

import type { SolverClient, Why } from "../solver-client";
import { text } from "../text";
import type { Desk } from "./desk";
import { breath, makePace } from "./pace";

export interface SettingOut {
  readonly running: ReadonlySignal<boolean>;
  /** True where a stopped search can go on from its plan. */
  readonly canGoOn: ReadonlySignal<boolean>;
  /** What is being done just now, in words; of no meaning while nothing runs. */
  readonly doing: ReadonlySignal<string>;
  start(): void;
  stop(): void;
}

/** Better plans are read out with so much time between them at least, in milliseconds. */
const BETWEEN_WORDS = 5_000;

/** After so long without a plan it is said that the job is a large one. */
const LONG = 8_000;

/** While a part is carried the plan that came meanwhile is asked for again after so long. */
const CARRIED = 250;

interface Run {
  readonly revision: number;
  /** The newest plan, where it has not been shown yet. */
  waiting: string | null;
  /** Something of this run was shown. */
  shown: boolean;
  edited: boolean;
  saidAt: number;
}

/** `inHand`: whether a part is being carried; plans wait until it is put down. */
export function makeSettingOut(desk: Desk, solver: SolverClient, inHand: () => boolean): SettingOut {
  const last = signal<{ readonly plan: string; readonly revision: number } | null>(null);
  const canGoOn = computed(() => last.value !== null && last.value.revision === desk.state.value.revision);
  const doing = signal("");
  let seed = 0;
  let run: Run | null = null;
  let long: ReturnType<typeof setTimeout> | undefined;

  /** The plan that waits is judged and takes the place of the one before; true where it did. */
  function take(now: Run): boolean {
    const plan = now.waiting;
    now.waiting = null;
    if (plan === null) return false;
    const taken = desk.ask((session) => session.offer(plan, now.revision));
    if (taken === null) {
      solver.stop();
      return false;
    }
    if (taken.problem !== null) desk.notice.value = { text: taken.problem, tone: "problem", buttons: [] };
    if (!taken.taken) return false;
    if (taken.announce !== null) tell(now, taken.announce);
    now.shown = true;
    return true;
  }

  function tell(now: Run, plan: string): void {
    clearTimeout(long);
    doing.value = text.search.better;
    const at = performance.now();
    if (now.shown && at - now.saidAt < BETWEEN_WORDS) return;
    now.saidAt = at;
    desk.say(now.shown ? text.search.betterPlan(plan) : text.search.firstPlan(plan));
  }

  // Each piece is a task of its own, so that the page can be used meanwhile.
  const pace = makePace(async () => {
    const now = run;
    if (now === null || now.waiting === null) return;
    if (inHand()) {
      setTimeout(() => pace.ask(), CARRIED);
      return;
    }
    if (!take(now)) return;
    await desk.refreshGently(breath);
  });

  function start(): void {
    if (solver.running.value) return;
    const begun = desk.ask((session) => session.begin_set_out());
    if (begun === null) return;
    if (!begun.ready) {
      const problem = begun.problem ?? text.search.noWork;
      desk.notice.value = { text: problem, tone: "problem", buttons: [] };
      desk.say(problem);
      return;
    }
    const before = last.value;
    const goesOn = before !== null && before.revision === begun.revision;
    // The same job gives the same plan; going on tries another way from where it stopped.
    seed = goesOn ? seed + 1 : 1;
    const from = goesOn ? before.plan : null;
    let newest = from;
    const now: Run = { revision: begun.revision, waiting: null, shown: from !== null, edited: false, saidAt: -Infinity };
    run = now;
    desk.notice.value = null;
    doing.value = from === null ? text.search.looking(begun.what) : text.search.better;
    desk.say(doing.value);
    long = setTimeout(() => {
      doing.value = text.search.longLook(begun.what);
      desk.say(doing.value);
    }, LONG);
    if (from !== null) clearTimeout(long);
    solver.start(
      { document: begun.document, seed, workers: begun.workers, stepsPerRound: begun.steps_per_round, from },
      {
        better: (first, second) => desk.ask((session) => session.better(first, second)) ?? false,
        look(best) {
          if (desk.state.value.revision !== begun.revision) {
            now.edited = true;
            return false;
          }
          if (best === null || best === newest) return true;
          newest = best;
          now.waiting = best;
          last.value = { plan: best, revision: begun.revision };
          pace.ask();
          return true;
        },
        ended: (why, message) => ended(now, why, message),
      },
    );
    void desk.refreshGently(breath);
  }

  function ended(now: Run, why: Why, message: string | null): void {
    clearTimeout(long);
    pace.cancel();
    // What waited to be drawn is kept too; the change below shows it.
    if (!now.edited && desk.state.value.revision === now.revision) take(now);
    run = null;
    const plan = desk.change((session) => session.end_set_out());
    if (why === "failed" || why === "no_worker") {
      const said = why === "no_worker" ? text.trouble.noWorker : (message ?? text.trouble.workerGivesUp);
      return say(said, "problem");
    }
    if (now.edited) return say(text.search.stale, "plain");
    const placed = desk.state.value.plan?.placed_count ?? 0;
    if (why === "finished") return say(text.search.finished, "plain");
    if (placed === 0 && !now.shown) return say(text.search.stoppedEmpty, "plain");
    const sentence = desk.state.value.plan?.sentence ?? "";
    if (plan?.announce == null) desk.say(text.search.stopped(sentence));
  }

  /** Said after the last change: a change puts away the notice before it. */
  function say(words: string, tone: "plain" | "problem"): void {
    desk.notice.value = { text: words, tone, buttons: [] };
    desk.say(words);
  }

  return { running: solver.running, canGoOn, doing, start, stop: () => solver.stop() };
}
