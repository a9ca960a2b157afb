// What is chosen, in words, and what can be done with it.

import { ActionButton } from "./ActionButton";
import { useApp } from "./app-context";
import { Icon } from "./Icon";

export function SelectionView() {
  const { desk, ticks } = useApp();
  const state = desk.state.value;
  const selection = state.selection;
  if (selection === null) return null;
  const part = selection.part;
  return (
    <section class="selection" aria-label="Chosen">
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
            <div class="part-buttons" role="group" aria-label="Move and turn">
              <ActionButton id="turn-left" class="icon-only">
                <Icon name="turn" />
              </ActionButton>
              <ActionButton id="turn-right" class="icon-only">
                <Icon name="turnRight" />
              </ActionButton>
              <ActionButton id="turn-over" class="icon-only">
                <Icon name="over" />
              </ActionButton>
              <ActionButton id="pin" class={selection.pinned ? "is-on" : ""} />
              <ActionButton id="to-trestle" />
              {!selection.sawn && <ActionButton id="saw-by-line" />}
            </div>
          )}
          {state.boards.length > 0 && (
            <label class="lay-on">
              <span>{selection.placed ? "Lay it on another board" : "Lay it on a board"}</span>
              <select
                value=""
                onKeyDown={(event) => event.stopPropagation()}
                onChange={(event) => {
                  const [id, copy] = JSON.parse(event.currentTarget.value) as [string, number];
                  event.currentTarget.value = "";
                  ticks.before({ part, to: { id, copy } }, () => desk.change((session) => session.lay_on(part.id, part.copy, id, copy)));
                }}
              >
                <option value="" disabled>
                  choose…
                </option>
                {state.boards.flatMap((board) =>
                  Array.from({ length: Math.min(board.count, 50) }, (_, index) => (
                    <option key={`${board.id} ${index}`} value={JSON.stringify([board.id, index + 1])}>
                      {board.count > 1 ? `${board.id}, the ${index + 1}. of ${board.count}` : board.id}
                      {board.name === "" ? "" : ` – ${board.name}`}
                    </option>
                  )),
                )}
              </select>
            </label>
          )}
        </>
      )}
      {selection.thing !== null && <ActionButton id="open-chosen" class="quiet small" />}
    </section>
  );
}
