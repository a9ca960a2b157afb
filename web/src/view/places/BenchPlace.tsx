// Bench: the cuts in order, one line each under the heading of its set-up, to be ticked off.
// A line opens to the whole of its step, and its cut is picked out on the floor.

import type { Bench, BenchStep } from "../../protocol/generated";
import { text } from "../../text";
import { ActionButton } from "../ActionButton";
import { useApp } from "../app-context";

export function BenchPlace() {
  const { desk, ticks } = useApp();
  const { bench } = desk.state.value;
  const steps = bench.set_ups.flatMap((setUp) => setUp.steps);
  const done = steps.filter((step) => ticks.marked.value.has(step.tick)).length;
  if (steps.length === 0) {
    return (
      <>
        <div class="sheet-head">
          <h2>{text.bench.empty}</h2>
        </div>
        {bench.wrong.length === 0 ? <p class="lead">{text.bench.invite}</p> : <Wrong bench={bench} />}
        <ActionButton id="set-out" class="primary" />
      </>
    );
  }
  return (
    <>
      <div class="sheet-head">
        <h2>{bench.heading}</h2>
        <ActionButton id="print" class="quiet" />
      </div>
      <Wrong bench={bench} />
      <p class="lead">
        {done > 0 && text.bench.done(done, steps.length)}
        {text.bench.caution}
      </p>
      <Cautions bench={bench} />
      {bench.set_ups.map((setUp) => (
        <section key={setUp.steps[0]?.number} class="set-up">
          <h3>{setUp.heading}</h3>
          <ol class="steps">
            {setUp.steps.map((step) => (
              <Step key={step.number} step={step} />
            ))}
          </ol>
        </section>
      ))}
    </>
  );
}

/** Boards that are not to be cut as they are laid out, and why. */
function Wrong({ bench }: { bench: Bench }) {
  if (bench.wrong.length === 0) return null;
  return (
    <div class="bench-wrong" role="alert">
      <b>{text.bench.wrong}</b>
      <ul>
        {bench.wrong.map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
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
  const { desk, floor, ticks } = useApp();
  const ticked = ticks.marked.value.has(step.tick);
  const shown = desk.shownCut.value === step.tick;
  return (
    <li class={`step ${ticked ? "is-done" : ""} ${shown ? "is-chosen" : ""}`}>
      <label class="tick">
        <input
          type="checkbox"
          checked={ticked}
          aria-label={text.bench.cutDone(step.number)}
          onChange={(event) => ticks.mark(step.tick, event.currentTarget.checked)}
        />
      </label>
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
          {step.lines.map((line) => (
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
