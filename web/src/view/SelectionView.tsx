// What is chosen, in words, and what can be done with it.

import { text } from "../text";
import { ActionButton } from "./ActionButton";
import { useApp } from "./app-context";
import { LayOn } from "./LayOn";

export function SelectionView() {
  const { desk } = useApp();
  const state = desk.state.value;
  const selection = state.selection;
  if (selection === null) return null;
  const part = selection.part;
  return (
    <section class="selection" aria-label={text.selection.name}>
      <h3>
        {selection.title} <span>{selection.subtitle}</span>
      </h3>
      <dl class="figures">
        {selection.lines.map((line) => (
          <div key={line.label}>
            <dt>{line.label}</dt>
            <dd>{line.value}</dd>
          </div>
        ))}
      </dl>
      {part !== null && (
        <>
          {selection.placed && (
            <div class="part-buttons" role="group" aria-label={text.selection.buttons}>
              <ActionButton id="turn-left" shown={text.shown.turnLeft} />
              <ActionButton id="turn-right" shown={text.shown.turnRight} />
              <ActionButton id="turn-over" />
              <ActionButton id="pin" class={selection.pinned ? "is-on" : ""} />
              <ActionButton id="to-trestle" />
              {!selection.sawn && <ActionButton id="saw-by-line" />}
            </div>
          )}
          <LayOn part={part} placed={selection.placed} />
        </>
      )}
      {selection.thing !== null && <ActionButton id="open-chosen" class="quiet small" />}
    </section>
  );
}
