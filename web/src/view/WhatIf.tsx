// What a size would cost over its range: asked for, watched while it is worked out, and stopped at will.

import { useEffect } from "preact/hooks";

import type { Thing, WhatIfPoint } from "../protocol/generated";
import { text } from "../text";
import { useApp } from "./app-context";

export function WhatIf({ thing }: { thing: Thing }) {
  const { askedSize, settingOut } = useApp();
  const running = askedSize.running.value;
  const seen = askedSize.seen.value;
  // What is asked of a form that is left has no answer.
  useEffect(() => askedSize.leave, []);

  function look(): void {
    if (settingOut.running.value) settingOut.stop();
    askedSize.ask(thing.row ?? 0);
  }

  const points = seen?.ranges.flatMap((range) => range.points) ?? [];
  const costs = points.flatMap((point) => (point.cost === null ? [] : [point.cost]));
  const most = Math.max(...costs, 1e-9);
  const better = points.find((point) => point.index === seen?.better);
  return (
    <section class="what-if" aria-label={text.whatIf.heading}>
      <h3>{text.whatIf.heading}</h3>
      <p class="hint">{text.whatIf.hint}</p>
      <div class="row-buttons">
        <button type="button" class="button small" onClick={running ? askedSize.stop : look}>
          {running ? text.whatIf.stop : text.whatIf.look}
        </button>
      </div>
      {seen !== null && (
        <p class="hint" aria-live="off">
          {seen.sentence}
        </p>
      )}
      {seen !== null && better !== undefined && (
        <div class="better">
          <p>{seen.better_text}.</p>
          <Take point={better} />
        </div>
      )}
      {points.length > 0 && (
        <ol class="rows">
          {seen?.ranges.map((range) => (
            <li key={range.points[0]?.index} class={range.why === "" ? "" : "in-the-way"}>
              {range.why !== "" && <p>{range.why}.</p>}
              <ol>
                {range.points.map((point) => (
                  <li key={point.index} class={point.is_here ? "is-chosen" : ""}>
                    <span class="row-words">
                      <span>
                        <b>{point.value_text}</b> {point.text === "" ? "…" : point.text}
                        {point.is_preferred && <i> · {text.whatIf.preferred}</i>}
                        {point.is_here && <i> · {text.whatIf.here}</i>}
                      </span>
                      {point.cost !== null && <span class="what-if-bar" style={{ width: `${((100 * point.cost) / most).toFixed(1)}%` }} />}
                    </span>
                    {point.may_be_taken && !point.is_here ? <Take point={point} /> : <span class="no-button" />}
                  </li>
                ))}
              </ol>
            </li>
          ))}
        </ol>
      )}
    </section>
  );
}

function Take({ point }: { point: WhatIfPoint }) {
  const { askedSize } = useApp();
  return (
    <button
      type="button"
      class="button quiet small"
      aria-label={text.whatIf.takeIt(point.value_text)}
      onClick={() => askedSize.take(point.index)}
    >
      {text.whatIf.take}
    </button>
  );
}
