// Boards typed as lines, read back as words and pictures before they are taken. Enter takes them and
// the field is ready for the next; Shift+Enter begins another line.

import { useComputed } from "@preact/signals";
import { useId, useRef } from "preact/hooks";

import type { BoardsRead, LineTold } from "../../protocol/generated";
import { TYPED_BOARDS, WHOLE_JOB } from "../../state/drafts";
import { pageOrder } from "../../state/keys";
import { text } from "../../text";
import { useApp } from "../app-context";
import { asPicture } from "../small-picture";

/** Where a place of a line begins in all that was typed. */
function placeOf(typed: string, told: LineTold): number {
  const before = typed.split("\n").slice(0, told.line - 1);
  const line = typed.split("\n")[told.line - 1] ?? "";
  // Columns count characters as they are read, which may be two of the browser's.
  const within = [...line].slice(0, told.column - 1).join("").length;
  return before.reduce((sum, each) => sum + each.length + 1, 0) + within;
}

export function BoardLines() {
  const { desk, drafts, typedBoards } = useApp();
  const id = useId();
  const field = useRef<HTMLTextAreaElement>(null);
  const typed = typedBoards.value;
  const read = useComputed<BoardsRead | null>(() => {
    void desk.changes.value;
    const lines = typedBoards.value;
    return lines.trim() === "" ? null : desk.ask((session) => session.read_boards(lines));
  });
  const now = read.value;
  const isWrong = now?.told.some((told) => !told.harmless && !told.unfinished) ?? false;
  const isOne = typed.trim().split("\n").length === 1;
  const units = desk.state.value.units;

  function type(lines: string): void {
    typedBoards.value = lines;
    if (lines.trim() === "") drafts.left();
    else drafts.typed(WHOLE_JOB, TYPED_BOARDS, lines);
  }

  function goTo(told: LineTold): void {
    const at = placeOf(typed, told);
    const next = /^\S*/.exec(typed.slice(at))?.[0].length ?? 0;
    field.current?.focus();
    field.current?.setSelectionRange(at, at + next);
  }

  function take(): void {
    const wrong = now?.told.find((told) => !told.harmless);
    if (wrong !== undefined) {
      desk.say(wrong.message);
      goTo(wrong);
      return;
    }
    if (now === null || !now.ready) return;
    const outcome = desk.change((session) => session.take_boards(typed));
    if (!outcome?.done) return;
    type("");
    field.current?.focus();
  }

  return (
    <section class="board-lines" aria-label={text.boardLines.heading}>
      <label for={id}>{text.boardLines.heading}</label>
      <textarea
        id={id}
        ref={field}
        class="measure"
        data-field="board-lines"
        rows={Math.min(8, typed.split("\n").length)}
        spellcheck={false}
        autocomplete="off"
        placeholder={text.boardLines.example(units)}
        aria-invalid={isWrong}
        aria-describedby={[`${id}-hint`, `${id}-told`].join(" ")}
        value={typed}
        onInput={(event) => type(event.currentTarget.value)}
        onKeyDown={(event) => {
          if (pageOrder(event) !== null) return;
          event.stopPropagation();
          if (event.key === "Enter" && !event.shiftKey) {
            event.preventDefault();
            take();
          }
          if (event.key === "Escape") event.currentTarget.blur();
        }}
      />
      <p class="hint" id={`${id}-hint`}>
        {text.boardLines.explain(units)}
      </p>
      <details class="details">
        <summary>{text.boardLines.more}</summary>
        <ul class="hint">
          {text.boardLines.forms(units).map(([line, means]) => (
            <li key={line}>
              <kbd>{line}</kbd> {means}
            </li>
          ))}
        </ul>
      </details>
      {now !== null && (
        <>
          <div id={`${id}-told`}>
            {now.told.map((told) => (
              <button
                type="button"
                key={`${told.line} ${told.column} ${told.message}`}
                class={`line-told ${told.harmless || told.unfinished ? "" : "problem"}`}
                data-column={told.column}
                onClick={() => goTo(told)}
              >
                {isOne ? told.message : text.paste.badLine(told.line, told.message)}
              </button>
            ))}
          </div>
          {now.boards.map((board) => (
            <figure key={board.line} class="line-board" data-mark={board.mark}>
              {board.svg !== "" && <img src={asPicture(board.svg)} alt="" />}
              <figcaption>
                <b class="board-letter">{board.mark}</b> {board.words}
              </figcaption>
            </figure>
          ))}
          <div class="row-buttons">
            <button type="button" class="button primary" data-take-boards title={text.boardLines.takeKeys} aria-disabled={!now.ready} onClick={take}>
              {text.boardLines.take(now.boards.length)}
            </button>
          </div>
        </>
      )}
    </section>
  );
}
