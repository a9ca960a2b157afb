// Set out, stop, keep improving: joins the desk and the searches.

import { computed, signal, type ReadonlySignal } from "@preact/signals";

import type { SolverClient } from "../solver-client";
import { text } from "../text";
import type { Desk } from "./desk";

export interface SettingOut {
  readonly running: ReadonlySignal<boolean>;
  /** True where a stopped search can go on from its plan. */
  readonly canGoOn: ReadonlySignal<boolean>;
  start(): void;
  stop(): void;
}

/** `inHand`: whether a part is being carried; plans wait until it is put down. */
export function makeSettingOut(desk: Desk, solver: SolverClient, inHand: () => boolean): SettingOut {
  const last = signal<{ readonly plan: string; readonly revision: number } | null>(null);
  const canGoOn = computed(() => last.value !== null && last.value.revision === desk.state.value.revision);
  let seed = 0;
  let offered: string | null = null;

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
    offered = from;
    let edited = false;
    desk.notice.value = null;
    solver.start(
      { document: begun.document, seed, workers: begun.workers, stepsPerRound: begun.steps_per_round, from },
      {
        better: (first, second) => desk.ask((session) => session.better(first, second)) ?? false,
        look(best) {
          if (desk.state.value.revision !== begun.revision) {
            edited = true;
            return false;
          }
          if (best === null || best === offered || inHand()) return true;
          offered = best;
          last.value = { plan: best, revision: begun.revision };
          const taken = desk.ask((session) => session.offer(best, begun.revision));
          if (taken === null) return false;
          if (taken.taken) desk.refresh();
          else if (taken.problem !== null) {
            desk.notice.value = { text: taken.problem, tone: "problem", buttons: [] };
          }
          return true;
        },
        ended(why, message) {
          desk.change((session) => session.end_set_out());
          // Said afterwards: a change puts away the notice before it.
          if (why === "failed") {
            const said = message ?? text.trouble.workerGivesUp;
            desk.notice.value = { text: said, tone: "problem", buttons: [] };
            desk.say(said);
          } else if (why === "finished") {
            desk.notice.value = { text: text.search.finished, tone: "plain", buttons: [] };
          } else if (edited) {
            desk.notice.value = { text: text.search.stale, tone: "plain", buttons: [] };
          }
        },
      },
    );
    desk.refresh();
  }

  return { running: solver.running, canGoOn, start, stop: () => solver.stop() };
}
