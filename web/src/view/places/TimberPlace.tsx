// Timber: the boards in a table; each opens its form.

import type { BoardRow } from "../../protocol/generated";
import { text } from "../../text";
import { ActionButton } from "../ActionButton";
import { useApp } from "../app-context";
import { keyOf } from "../FormView";
import { ProblemList } from "../ProblemList";
import { intoView } from "../window";
import { NewSteps } from "../NewSteps";
import { QuickEdit } from "../QuickEdit";
import { SimpleRows } from "../SimpleRows";

export function TimberPlace() {
  const { desk } = useApp();
  const state = desk.state.value;
  return (
    <>
      <div class="sheet-head">
        <h2>{state.boards.length === 0 ? text.empty.boards : state.tabs.timber}</h2>
      </div>
      {state.boards.length === 0 && <NewSteps />}
      {state.boards.length > 0 && (
        <table class="list boards">
          <thead>
            <tr>
              <th scope="col">Board</th>
              <th scope="col" class="num">
                Thick
              </th>
              <th scope="col" class="num">
                Count
              </th>
            </tr>
          </thead>
          <tbody>
            {state.boards.map((board) => (
              <BoardLine key={keyOf(board.thing)} board={board} />
            ))}
          </tbody>
        </table>
      )}
      <div class="row-buttons">
        <ActionButton id="add-board" class={state.boards.length === 0 ? "primary" : ""} />
        <ActionButton id="workshop" class="quiet">
          <span>Workshop</span>
        </ActionButton>
      </div>
      <SimpleRows heading="Saws" hint={text.smallWorkshop} rows={state.tools} adds="tool" addLabel="Add a saw" quick={{ field: "kerf", label: "Kerf" }} />
      <ProblemList problems={state.problems} />
    </>
  );
}

function BoardLine({ board }: { board: BoardRow }) {
  const { desk } = useApp();
  const chosen = desk.chosen.value;
  const isChosen = chosen?.kind === "board" && chosen.of.id === board.id;
  const details = [board.size, board.species, board.use_word, board.price].filter((each) => each !== "");
  return (
    <tr class={isChosen ? "is-chosen" : ""} ref={isChosen ? intoView : null}>
      <th scope="row">
        <button
          type="button"
          class="row-open"
          data-row={keyOf(board.thing)}
          onClick={() => {
            desk.choose({ kind: "board", of: { id: board.id, copy: 1 } });
            desk.openForm(board.thing);
          }}
        >
          <span class="board-letter">{board.id}</span>
          <span class="row-words">
            {board.name !== "" && <b>{board.name}</b>}
            <span>{details.join(" · ")}</span>
            {board.used !== "" && <span>{board.used}</span>}
            {board.problems > 0 && (
              <em class="bad">{board.problems === 1 ? "1 thing to mend" : `${board.problems} things to mend`}</em>
            )}
            {!board.sound && <em class="bad">left out until it is mended</em>}
          </span>
        </button>
      </th>
      <td class="num">
        <QuickEdit thing={board.thing} field="thickness" shown={board.thickness} label={`Thickness of ${board.id}`} />
      </td>
      <td class="num">
        <QuickEdit thing={board.thing} field="count" shown={String(board.count)} label={`How many of ${board.id}`} />
      </td>
    </tr>
  );
}
