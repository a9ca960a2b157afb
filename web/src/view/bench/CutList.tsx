// The cuts in order, one line each under the heading of its set-up. A line opens to the whole of its
// step, and its cut is picked out on the floor; the box beside it says that it is made.

import type { Bench, BenchStep } from "../../protocol/generated";
import { stepsOf } from "../../state/at-bench";
import { text } from "../../text";
import { useApp } from "../app-context";

export function CutList({ bench }: { bench: Bench }) {
  return (
    <section class="cut-list" onKeyDown={walk}>
      <h3>{bench.heading}</h3>
      <Order bench={bench} />
      <p class="lead">{text.bench.caution}</p>
      <Cautions bench={bench} />
      {bench.set_ups.map((setUp) => (
        <div key={setUp.steps[0]?.tick} class="set-up">
          {setUp.board !== null && <h4 class="set-up-board">{setUp.board}</h4>}
          <h4>{setUp.heading}</h4>
          <ol class="steps">
            {setUp.steps.map((step) => (
              <Step key={step.tick} step={step} />
            ))}
          </ol>
        </div>
      ))}
    </section>
  );
}

/** Arrows go from line to line, along the boxes or along the words. */
function walk(event: KeyboardEvent & { currentTarget: HTMLElement }): void {
  const here = event.target instanceof HTMLElement ? event.target.closest<HTMLElement>(".tick, .step-words") : null;
  if (here === null || event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return;
  const all = [...event.currentTarget.querySelectorAll<HTMLElement>(here.matches(".tick") ? ".tick" : ".step-words")];
  const at = all.indexOf(here);
  const to = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: all.length - 1 }[event.key];
  if (to === undefined) return;
  event.preventDefault();
  event.stopPropagation();
  all[Math.max(0, Math.min(to, all.length - 1))]?.focus();
}

function Order({ bench }: { bench: Bench }) {
  const { bench: atBench } = useApp();
  if (bench.saves === null) return null;
  const button = (byBoard: boolean, words: string) => (
    <button
      type="button"
      class={`button small ${bench.by_board === byBoard ? "is-on" : ""}`}
      aria-pressed={bench.by_board === byBoard}
      onClick={() => atBench.order(byBoard)}
    >
      {words}
    </button>
  );
  return (
    <div class="cut-order" role="group" aria-label={text.bench.order}>
      {button(true, text.bench.byBoard)}
      {button(false, text.bench.bySetUp)}
      <p class="hint">{bench.saves}</p>
    </div>
  );
}

/** Every caution once, to be read before the first cut. */
function Cautions({ bench }: { bench: Bench }) {
  if (bench.cautions.length === 0) return null;
  return (
    <details class="all-cautions">
      <summary>
        <b>{text.bench.care}:</b> {[...new Set(bench.cautions.map((each) => each.label))].join(", ")}
      </summary>
      {bench.cautions.map((each) => (
        <p key={each.value}>{each.value}</p>
      ))}
    </details>
  );
}

function Step({ step }: { step: BenchStep }) {
  const { desk, floor, bench } = useApp();
  const shown = desk.shownCut.value === step.tick;
  return (
    <li class={`step ${shown ? "is-chosen" : ""}`}>
      {/* One that is pressed too early is refused in words: which cut comes first. */}
      <button
        type="button"
        class={`tick ${step.ready ? "" : "is-later"}`}
        data-tick={step.tick}
        aria-label={text.bench.cutDone(step.number)}
        onKeyDown={(event) => event.repeat && event.key === "Enter" && event.preventDefault()}
        onClick={() => {
          const at = stepsOf(desk.state.peek().bench).findIndex((each) => each.tick === step.tick);
          // The line goes with its cut, and the next one has moved up.
          if (bench.cut(step.tick)) desk.attend({ to: "tick", at });
        }}
      />
      <button
        type="button"
        class="step-words"
        aria-expanded={shown}
        onClick={() => {
          desk.showCut(shown ? null : step.tick);
          if (!shown) floor.reveal("chosen-cut");
        }}
      >
        <span class="cut-number">{step.number}</span>
        <span class="step-line">
          <b>{step.brief}</b>{" "}
          {step.gives !== "" && <span class="gives">{step.gives}</span>}
          {step.grave.length > 0 && <em>{step.grave.join(", ")}</em>}
        </span>
        {step.care.length > 0 && <span class="care" role="img" aria-label={text.bench.careOf(step.care.join(", "))} />}
      </button>
      {shown && (
        <div class="step-whole">
          {[...step.lines, ...step.marks, ...(step.look === null ? [] : [step.look])].map((line) => (
            <p key={line}>{line}</p>
          ))}
          {step.cautions.length > 0 && (
            <div class="cautions">
              {step.cautions.map((caution) => (
                <p key={caution}>{caution}</p>
              ))}
            </div>
          )}
        </div>
      )}
    </li>
  );
}
