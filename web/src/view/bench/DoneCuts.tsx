// What is cut: the cut made last with what it left, and all of them board by board.

import type { Bench, DoneRow, PieceLeft } from "../../protocol/generated";
import { text } from "../../text";
import { useApp } from "../app-context";
import { PhotoOf } from "./PhotoOf";

/** The cut made last: what to look at and to mark, and its pieces to be measured. */
export function LastCut({ cut }: { cut: DoneRow }) {
  const { bench } = useApp();
  const after = bench.after.value?.cut === cut.id ? bench.after.value : null;
  return (
    <section class="last-cut">
      <h3>
        {text.bench.last} <span>{text.bench.lastCut(cut.number, cut.text)}</span>
      </h3>
      {after?.look != null && <p>{after.look}</p>}
      {after?.marks.map((mark) => (
        <p key={mark}>{mark}</p>
      ))}
      <Pieces cut={cut} />
      <TakeBack cut={cut} />
    </section>
  );
}

/** Every cut that was made, under the board it was made in. */
export function DoneCuts({ bench }: { bench: Bench }) {
  const count = bench.done.reduce((sum, board) => sum + board.cuts.length, 0);
  if (count === 0) return null;
  return (
    <details class="done-cuts">
      <summary>{text.bench.done(count)}</summary>
      {bench.done.map((board) => (
        <section key={board.name}>
          <h4>{board.name}</h4>
          <ol>
            {board.cuts.map((cut) => (
              <li key={cut.id}>
                <p>
                  <span class="cut-number">{cut.number}</span> <b>{cut.text}</b> <small>{cut.how}</small>
                </p>
                <Pieces cut={cut} />
                <TakeBack cut={cut} />
              </li>
            ))}
          </ol>
        </section>
      ))}
    </details>
  );
}

function Pieces({ cut }: { cut: DoneRow }) {
  return (
    <ul class="pieces">
      {cut.pieces.map((piece) => (
        <li key={piece.name}>
          <span class="row-words">
            <b>{piece.name}</b>
            <span>{piece.measured ? `${piece.state}, ${text.bench.measured}` : piece.state}</span>
          </span>
          <MeasurePiece piece={piece} />
          {piece.board !== null && <PhotoOf board={piece.board} name={piece.name} />}
        </li>
      ))}
    </ul>
  );
}

function MeasurePiece({ piece }: { piece: PieceLeft }) {
  const { bench } = useApp();
  const { board } = piece;
  if (board === null) return null;
  return (
    <button
      type="button"
      class="button small"
      data-measure={board.id}
      aria-label={text.bench.measureWhat(piece.name)}
      onClick={() => bench.open({ kind: "measure", board }, "length")}
    >
      {text.actions.measure}
    </button>
  );
}

function TakeBack({ cut }: { cut: DoneRow }) {
  const { bench } = useApp();
  if (cut.stays_because !== null) return <p class="hint stays">{cut.stays_because}</p>;
  return (
    <button
      type="button"
      class="button quiet small"
      data-not-cut={cut.id}
      aria-label={text.bench.notCutOf(cut.text)}
      onClick={() => bench.notCut(cut.id)}
    >
      {text.bench.notCut}
    </button>
  );
}
