// Timber: the boards in a table; each opens its form.

import type { BoardRow } from "../../protocol/generated";
import { text } from "../../text";
import { ActionButton } from "../ActionButton";
import { useApp } from "../app-context";
import { keyOf } from "../FormView";
import { ProblemList } from "../ProblemList";
import { intoView } from "../window";
import { NewSteps } from "../NewSteps";
import { MarkBar } from "../MarkBar";
import { QuickEdit } from "../QuickEdit";
import { SimpleRows } from "../SimpleRows";
import { BoardLines } from "./BoardLines";

export function TimberPlace() {
  const { desk } = useApp();
  const state = desk.state.value;
  return (
    <>
      <div class="sheet-head">
        <h2>{state.boards.length === 0 ? text.timber.empty : state.tabs.timber}</h2>
      </div>
      {state.boards.length === 0 && <NewSteps />}
      {state.boards.length > 0 && (
        <table class="list boards">
          <thead>
            <tr>
              <th scope="col">{text.timber.board}</th>
              <th scope="col" class="num">
                {text.timber.thick}
              </th>
              <th scope="col" class="num">
                {text.rows.count}
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
      <BoardLines />
      {state.boards.length > 0 && <MarkBar />}
      <div class="row-buttons">
        <ActionButton id="add-board" />
        <ActionButton id="from-photo" />
        <ActionButton id="board-files" />
        <ActionButton id="workshop" class="quiet">
          <span>{text.shown.workshop}</span>
        </ActionButton>
      </div>
      <SimpleRows heading={text.timber.saws} hint={text.timber.smallWorkshop} rows={state.tools} adds="tool" addLabel={text.timber.addSaw} quick={{ field: "kerf", labelOf: text.timber.kerfOf }} />
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
    <tr class={`${isChosen ? "is-chosen" : ""} ${board.gone ? "is-gone" : ""}`} ref={isChosen ? intoView : null}>
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
            {board.state !== "" && <span class="board-state">{board.state}</span>}
            {board.used !== "" && !board.gone && <span>{board.used}</span>}
            {board.problems > 0 && <em class="bad">{text.rows.thingsToMend(board.problems)}</em>}
            {!board.sound && <em class="bad">{text.rows.leftOut}</em>}
          </span>
        </button>
      </th>
      <td class="num">
        {!board.gone && <QuickEdit thing={board.thing} field="thickness" shown={board.thickness} label={text.timber.thicknessOf(board.id)} />}
      </td>
      <td class="num">
        {!board.gone && <QuickEdit thing={board.thing} field="count" shown={String(board.count)} label={text.rows.howMany(board.id)} />}
      </td>
    </tr>
  );
}
