// Where a photograph goes: a new board or one that is there, which face; and the one step that takes it.

import { useSignal } from "@preact/signals";

import type { TruePhoto } from "../../protocol/messages";
import { text } from "../../text";
import { useApp } from "../app-context";
import { SizeField } from "./SizeField";

export function TakeIt({ photo }: { photo: TruePhoto }) {
  const app = useApp();
  const { target, tracing } = app.photographing;
  const { boards } = app.desk.state.value;
  const problem = useSignal<string | null>(null);
  const isBusy = useSignal(false);
  const open = tracing.open.value;
  const now = target.value;

  async function take(withPhoto: boolean): Promise<void> {
    if (isBusy.value) return;
    isBusy.value = true;
    problem.value = await app.takePhoto(photo, withPhoto, problem.peek() !== null);
    isBusy.value = false;
  }

  return (
    <div class="photo-take">
      <div class="field field-choice field-long">
        <label for="photo-board">{text.photograph.board}</label>
        <select id="photo-board" value={now.board ?? ""} onChange={(event) => (target.value = { ...now, board: event.currentTarget.value || null })}>
          <option value="">{text.photograph.newBoard}</option>
          {boards
            .filter((board) => !board.gone)
            .map((board) => (
              <option key={board.id} value={board.id}>
                {[board.id, board.name, board.size].filter((each) => each !== "").join(" · ")}
              </option>
            ))}
        </select>
      </div>
      <div class="field field-choice">
        <label for="photo-face">{text.photograph.face}</label>
        <select id="photo-face" value={now.face} onChange={(event) => (target.value = { ...now, face: event.currentTarget.value as "up" | "down" })}>
          <option value="up">{text.photograph.faces.up}</option>
          <option value="down">{text.photograph.faces.down}</option>
        </select>
      </div>
      {now.board === null && (
        <SizeField label={text.photograph.thickness} value={now.thickness} whenEmpty={boards.length > 0 ? text.photograph.asLast : ""} change={(thickness) => (target.value = { ...now, thickness })} />
      )}
      {/* A piece keeps the outline that it was cut to. */}
      {boards.some((board) => board.id === now.board && !board.is_piece) && (
        <>
          <Flag label={text.photograph.newOutline} checked={now.newOutline} change={(newOutline) => (target.value = { ...now, newOutline })} />
          <Flag label={text.photograph.part} checked={now.part} change={(part) => (target.value = { ...now, part })} />
        </>
      )}
      {open > 0 && <p class="hint">{text.photograph.leftOut(open)}</p>}
      {problem.value !== null && (
        <p class="problem" role="alert">
          {problem.value}
        </p>
      )}
      <div class="row-buttons">
        <button type="button" class="button primary" aria-disabled={isBusy.value} onClick={() => void take(true)}>
          {text.photograph.take}
        </button>
        {problem.value !== null && (
          <button type="button" class="button" onClick={() => void take(false)}>
            {text.photograph.takeWithout}
          </button>
        )}
      </div>
    </div>
  );
}

function Flag({ label, checked, change }: { label: string; checked: boolean; change: (checked: boolean) => void }) {
  return (
    <div class="field field-flag">
      <label>
        <input type="checkbox" checked={checked} onChange={(event) => change(event.currentTarget.checked)} />
        <span>{label}</span>
      </label>
    </div>
  );
}
