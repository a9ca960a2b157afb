// Laying the chosen part on a board without a pointer: the board is chosen first, and nothing
// moves before the button is pressed.

import { useSignal } from "@preact/signals";

import type { BoardRow, CopyOf } from "../protocol/generated";
import { text } from "../text";
import { useApp } from "./app-context";

/** Of boards that lie there many times, so many can be chosen. */
const MOST_COPIES = 50;

function copiesOf(board: BoardRow): { value: string; words: string }[] {
  return Array.from({ length: Math.min(board.count, MOST_COPIES) }, (_, index) => ({
    value: JSON.stringify([board.id, index + 1]),
    words: wordsOf(board, index + 1),
  }));
}

function wordsOf(board: BoardRow, copy: number): string {
  const which = board.count > 1 ? text.selection.copy(board.id, copy, board.count) : board.id;
  return board.name === "" ? which : text.selection.named(which, board.name);
}

export function LayOn({ part, placed }: { part: CopyOf; placed: boolean }) {
  const { desk } = useApp();
  const boards = desk.state.value.boards.filter((board) => !board.gone).flatMap(copiesOf);
  const wished = useSignal("");
  const first = boards[0];
  if (first === undefined) return null;
  const chosen = boards.some(({ value }) => value === wished.value) ? wished.value : first.value;
  return (
    <div class="lay-on">
      <label>
        <span>{placed ? text.selection.otherBoard : text.selection.board}</span>
        <select value={chosen} onChange={(event) => (wished.value = event.currentTarget.value)}>
          {boards.map(({ value, words }) => (
            <option key={value} value={value}>
              {words}
            </option>
          ))}
        </select>
      </label>
      <button
        type="button"
        class="button"
        data-lay-on="yes"
        onClick={() => {
          const [id, copy] = JSON.parse(chosen) as [string, number];
          desk.change((session) => session.lay_on(part.id, part.copy, id, copy));
        }}
      >
        {text.selection.layOn}
      </button>
    </div>
  );
}
