// What a size would cost over its range: asked for, watched while it is worked out, and stopped at will.

import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";

import type { Thing, WhatIf as Seen } from "../protocol/generated";
import { text } from "../text";
import { useApp } from "./app-context";

/** Long enough for the page to take a press in between. */
const PAUSE = 4;

export function WhatIf({ thing }: { thing: Thing }) {
  const { desk, settingOut } = useApp();
  const seen = useSignal<Seen | null>(null);
  const running = useSignal(false);
  const stop = (): void => void (running.value = false);
  // What is asked of another job, or of a form that is left, has no answer.
  useEffect(() => stop, []);

  function look(): void {
    if (settingOut.running.value) settingOut.stop();
    seen.value = desk.ask((session) => session.what_if(thing.row ?? 0)) ?? null;
    running.value = seen.value !== null && !seen.value.done;
    desk.refresh();
    const more = (): void => {
      if (!running.value) return;
      const now = desk.ask((session) => session.what_if_more()) ?? null;
      if (now === null || now.points.length === 0) return stop();
      seen.value = now;
      if (now.done) return stop();
      setTimeout(more, PAUSE);
    };
    setTimeout(more, PAUSE);
  }

  const points = seen.value?.points ?? [];
  const costs = points.flatMap((point) => (point.cost === null ? [] : [point.cost]));
  const most = Math.max(...costs, 1e-9);
  return (
    <section class="what-if" aria-label={text.whatIf.heading}>
      <h3>{text.whatIf.heading}</h3>
      <p class="hint">{text.whatIf.hint}</p>
      <div class="row-buttons">
        <button type="button" class="button small" onClick={running.value ? stop : look}>
          {running.value ? text.whatIf.stop : text.whatIf.look}
        </button>
      </div>
      {seen.value !== null && (
        <p class="hint" aria-live="off">
          {seen.value.sentence}
        </p>
      )}
      {points.length > 0 && (
        <ol class="rows">
          {points.map((point) => (
            <li key={point.index} class={point.is_here ? "is-chosen" : ""}>
              <span class="row-words">
                <span>
                  <b>{point.value_text}</b> {point.text === "" ? "…" : point.text}
                  {point.is_preferred && <i> · {text.whatIf.preferred}</i>}
                  {point.is_here && <i> · {text.whatIf.here}</i>}
                </span>
                {point.cost !== null && <span class="what-if-bar" style={{ width: `${((100 * point.cost) / most).toFixed(1)}%` }} />}
                {point.why !== "" && <span>{text.whatIf.inTheWay(point.why)}</span>}
              </span>
              {point.may_be_taken && !point.is_here ? (
                <button
                  type="button"
                  class="button quiet small"
                  aria-label={text.whatIf.takeIt(point.value_text)}
                  onClick={() => {
                    stop();
                    const outcome = desk.change((session) => session.what_if_take(point.index));
                    if (outcome?.done) seen.value = null;
                  }}
                >
                  {text.whatIf.take}
                </button>
              ) : (
                <span class="no-button" />
              )}
            </li>
          ))}
        </ol>
      )}
    </section>
  );
}
