// The piece as one list: what is in hand, what is to saw, what waits, and the work after the saw.

import type { Bench, BenchCopy, BenchPart } from "../../protocol/generated";
import { text } from "../../text";
import { useApp } from "../app-context";
import { keyOf } from "../FormView";
import { PhotoOf } from "./PhotoOf";

export function PieceState({ bench }: { bench: Bench }) {
  if (bench.parts.length === 0) return null;
  return (
    <section class="piece-state">
      <h3>
        {text.bench.piece} <span>{bench.tally}</span>
      </h3>
      {bench.parts.map((part) => (
        <Part key={keyOf(part.thing)} part={part} />
      ))}
    </section>
  );
}

function Part({ part }: { part: BenchPart }) {
  return (
    <details class="piece-part">
      <summary>
        <span class="row-words">
          <b>{part.name}</b>
          <span>{part.text}</span>
        </span>
      </summary>
      <ul class="copies">
        {part.copies.map((copy) => (
          <CopyRow key={copy.part.copy} copy={copy} />
        ))}
      </ul>
      {part.work.length > 0 && (
        <>
          <h4>{text.bench.after}</h4>
          <ol class="work-after">
            {part.work.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ol>
        </>
      )}
    </details>
  );
}

/** How far one copy of a part is, and what can be done with it. */
export function CopyRow({ copy }: { copy: BenchCopy }) {
  return (
    <li class={`copy copy-${copy.state}`}>
      <span class="row-words">
        <b>
          {copy.name} <i>{text.bench.states[copy.state]}</i>
        </b>
        <span>{copy.text}</span>
        {copy.broken !== null && <em class="bad">{copy.broken}</em>}
      </span>
      <CopyButtons copy={copy} />
    </li>
  );
}

function CopyButtons({ copy }: { copy: BenchCopy }) {
  const { bench, desk, floor } = useApp();
  const { board, part, tick } = copy;
  if (copy.state === "in_hand") {
    return (
      <span class="copy-buttons">
        {board !== null && (
          <button
            type="button"
            class="button small"
            aria-label={text.bench.measureWhat(copy.name)}
            onClick={() => bench.open({ kind: "measure", board }, "length")}
          >
            {text.actions.measure}
          </button>
        )}
        {board !== null && <PhotoOf board={board} name={copy.name} />}
        <button
          type="button"
          class="button quiet small"
          data-spoiled={`${part.id}#${part.copy}`}
          aria-label={text.bench.spoiledWhat(copy.name)}
          onClick={() => bench.spoiled(part)}
        >
          {text.bench.spoiled}
        </button>
      </span>
    );
  }
  if (tick === null) return null;
  return (
    <button
      type="button"
      class="button quiet small"
      aria-label={text.bench.itsCutOf(copy.name)}
      onClick={() => {
        desk.showCut(tick);
        floor.reveal("chosen-cut");
      }}
    >
      {text.bench.itsCut}
    </button>
  );
}
