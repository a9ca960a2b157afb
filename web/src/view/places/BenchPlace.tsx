// Bench: the cuts in order, to be ticked off one by one.

import type { BenchStep } from "../../protocol/generated";
import { text } from "../../text";
import { ActionButton } from "../ActionButton";
import { useApp } from "../app-context";

/** Names a cut with its measure, so that the tick of a cut that is planned anew is gone. */
function tickOf(step: BenchStep): string {
  return `${step.board.id}#${step.board.copy}#${step.number}#${step.title}`;
}

export function BenchPlace() {
  const { desk, ticks } = useApp();
  const state = desk.state.value;
  const steps = state.bench.flatMap((board) => board.steps);
  const done = steps.filter((step) => ticks.value.has(tickOf(step))).length;
  if (steps.length === 0) {
    return (
      <>
        <div class="sheet-head">
          <h2>{text.empty.bench}</h2>
        </div>
        <p class="lead">{text.empty.benchInvite}</p>
        <ActionButton id="set-out" class="primary" />
      </>
    );
  }
  return (
    <>
      <div class="sheet-head">
        <h2>{state.tabs.bench}</h2>
        <ActionButton id="print" class="quiet" />
      </div>
      <p class="lead">
        {done === 0 ? text.bench.ticks : `${done} of ${steps.length} done.`} {text.bench.caution}
      </p>
      {state.bench.map((board) => (
        <section key={board.steps[0]?.number} class="bench-board">
          <h3>{board.title}</h3>
          <ol class="steps">
            {board.steps.map((step) => (
              <Step key={step.number} step={step} />
            ))}
          </ol>
        </section>
      ))}
    </>
  );
}

function Step({ step }: { step: BenchStep }) {
  const app = useApp();
  const tick = tickOf(step);
  const ticked = app.ticks.value.has(tick);
  const shown = app.shownCut.value === tick;
  return (
    <li class={`step ${ticked ? "is-done" : ""} ${shown ? "is-chosen" : ""}`}>
      <label class="tick">
        <input
          type="checkbox"
          checked={ticked}
          aria-label={`Cut ${step.number} is done`}
          onChange={(event) => {
            const next = new Set(app.ticks.value);
            if (event.currentTarget.checked) next.add(tick);
            else next.delete(tick);
            app.ticks.value = next;
          }}
        />
      </label>
      <button
        type="button"
        class="step-words"
        aria-pressed={shown}
        onClick={() => {
          app.shownCut.value = shown ? null : tick;
          if (!shown && step.fragment !== null) app.floor.reveal(step.fragment);
        }}
      >
        <span class="cut-number">{step.number}</span>
        <span class="row-words">
          <b>{step.title}</b>
          {step.lines.map((line) => (
            <span key={line}>{line}</span>
          ))}
        </span>
      </button>
      {step.cautions.length > 0 && (
        <div class="cautions">
          {step.cautions.map((caution) => (
            <p key={caution}>{caution}</p>
          ))}
        </div>
      )}
    </li>
  );
}
