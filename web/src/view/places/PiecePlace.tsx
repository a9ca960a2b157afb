// Piece: the parts in a table; each opens its form.

import type { PartRow } from "../../protocol/generated";
import { text } from "../../text";
import { ActionButton } from "../ActionButton";
import { useApp } from "../app-context";
import { keyOf } from "../FormView";
import { ProblemList } from "../ProblemList";
import { intoView } from "../window";
import { QuickEdit } from "../QuickEdit";
import { SimpleRows } from "../SimpleRows";

export function PiecePlace() {
  const { desk } = useApp();
  const state = desk.state.value;
  const empty = state.parts.length === 0;
  return (
    <>
      <div class="sheet-head">
        <h2>{empty ? text.piece.empty : state.tabs.piece}</h2>
      </div>
      {empty && <p class="lead">{text.piece.invite}</p>}
      {!empty && (
        <table class="list parts">
          <thead>
            <tr>
              <th scope="col">{text.rows.part}</th>
              <th scope="col" class="num">
                {text.rows.count}
              </th>
            </tr>
          </thead>
          <tbody>
            {state.parts.map((part) => (
              <PartLine key={keyOf(part.thing)} part={part} />
            ))}
          </tbody>
        </table>
      )}
      <div class="row-buttons">
        <ActionButton id="add-part" class={empty ? "primary" : ""} />
        <ActionButton id="paste-parts" class={empty ? "" : "quiet"} />
      </div>
      <SimpleRows heading={text.piece.dimensions} rows={state.dimensions} adds="dimension" addLabel={text.piece.addDimension} />
      <SimpleRows heading={text.piece.matches} rows={state.matches} adds="match" addLabel={text.piece.addMatch} />
      <ProblemList problems={state.problems} />
    </>
  );
}

function PartLine({ part }: { part: PartRow }) {
  const { desk } = useApp();
  const chosen = desk.chosen.value;
  const isChosen = chosen?.kind === "part" && chosen.of.id === part.id;
  return (
    <tr class={isChosen ? "is-chosen" : ""} ref={isChosen ? intoView : null}>
      <th scope="row">
        <button
          type="button"
          class="row-open"
          data-row={keyOf(part.thing)}
          onClick={() => {
            desk.choose({ kind: "part", of: { id: part.id, copy: 1 } });
            desk.openForm(part.thing);
          }}
        >
          <span class="row-words">
            <b>{part.name === "" ? part.id : part.name}</b>
            <span class="sizes">
              <span>
                <i>{text.rows.finished}</i> {part.finished}
              </span>
              {part.glued === "" && (
                <span>
                  <i>{text.rows.blank}</i> {part.blank}
                </span>
              )}
            </span>
            {part.glued !== "" && <span>{part.glued}</span>}
            <span>{[part.grain, part.faces, part.cut].filter((each) => each !== "").join(" · ")}</span>
            {part.thickest !== null && <span class={part.classes.some((each) => each.enough) ? "" : "bad"}>{part.thickest}</span>}
            {part.placed !== "" && <span>{part.placed}</span>}
            {part.glued !== "" &&
              part.copies.map((stave) => (
                <span class="stave" key={stave.part.id}>
                  {stave.name} <i>{stave.size}</i> {stave.place}
                </span>
              ))}
            {part.problems > 0 && <em class="bad">{text.rows.thingsToMend(part.problems)}</em>}
            {!part.sound && <em class="bad">{text.rows.leftOut}</em>}
          </span>
        </button>
      </th>
      <td class="num">
        <QuickEdit thing={part.thing} field="count" shown={String(part.count)} label={text.rows.howMany(part.name)} />
      </td>
    </tr>
  );
}
