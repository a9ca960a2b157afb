// Pasting a list of parts: what was understood is shown before anything is added.

import { useComputed, useSignal } from "@preact/signals";
import { useLayoutEffect } from "preact/hooks";

import { Session, type BadRow, type OpenColumn, type PartRow } from "../../protocol/generated";
import { PASTED_LIST, WHOLE_JOB } from "../../state/drafts";
import { text } from "../../text";
import { useApp } from "../app-context";
import { Dialog } from "./Dialog";

interface Understood {
  readonly rows: readonly PartRow[];
  readonly bad: readonly BadRow[];
  readonly columns: readonly OpenColumn[];
  readonly problem: string | null;
}

export function PasteDialog({ close }: { close: () => void }) {
  const { desk, drafts } = useApp();
  const typed = useSignal(drafts.take(WHOLE_JOB, PASTED_LIST) ?? "");
  /** What columns mean that the list leaves open, in their order. */
  const meanings = useSignal<readonly string[]>([]);
  // A list that was put away or taken over is not given back, however soon: an effect after the paint may never have begun.
  useLayoutEffect(() => () => drafts.left(), []);

  const understood = useComputed<Understood | null>(() => {
    const list = typed.value;
    if (list.trim() === "") return null;
    // Tried on a copy of the job, so that the core says exactly what it would do.
    return desk.ask((session) => {
      const trial = new Session();
      try {
        trial.open(session.save());
        const before = trial.state("piece", null).parts.length;
        const outcome = trial.paste_parts(list, [...meanings.value]);
        return {
          rows: trial.state("piece", null).parts.slice(before),
          bad: outcome.bad_rows,
          columns: outcome.columns,
          problem: outcome.problem,
        };
      } finally {
        trial.free();
      }
    });
  });

  function take(): void {
    desk.goTo("piece");
    const outcome = desk.change((session) => session.paste_parts(typed.value, [...meanings.value]));
    if (outcome?.done) close();
  }

  const now = understood.value;
  const canTake = (now?.rows.length ?? 0) > 0;
  return (
    <Dialog heading={text.paste.heading} close={close} class="wide-dialog">
      <p>{text.paste.explain}</p>
      <textarea
        class="paste"
        aria-label={text.paste.list}
        rows={7}
        spellcheck={false}
        placeholder={text.paste.example}
        value={typed.value}
        onInput={(event) => {
          typed.value = event.currentTarget.value;
          drafts.typed(WHOLE_JOB, PASTED_LIST, typed.value);
        }}
        onKeyDown={(event) => {
          if (event.key === "Enter" && (event.ctrlKey || event.metaKey) && canTake) {
            event.preventDefault();
            take();
          }
        }}
        autofocus
      />
      {now !== null && (
        <div class="understood" aria-live="polite">
          {now.problem !== null && <p class="problem">{now.problem}</p>}
          {now.columns.map((column) => (
            <div class="field field-long" key={column.at}>
              <label for={`column-${column.at}`}>
                {text.paste.column(column.heading)}
              </label>
              <select
                id={`column-${column.at}`}
                value={meanings.value[column.at] || "note"}
                onChange={(event) => {
                  const next = [...meanings.value];
                  while (next.length <= column.at) next.push("");
                  next[column.at] = event.currentTarget.value;
                  meanings.value = next;
                }}
              >
                {column.meanings.map((meaning) => (
                  <option key={meaning.value} value={meaning.value}>
                    {meaning.label}
                  </option>
                ))}
              </select>
            </div>
          ))}
          {now.bad.length > 0 && (
            <ul class="bad-rows">
              {now.bad.map((row) => (
                <li key={row.line} class="problem">
                  {text.paste.badLine(row.line, row.message)}
                </li>
              ))}
            </ul>
          )}
          {now.rows.length > 0 && (
            <div class="table-scroll">
              <table class="compare">
                <thead>
                  <tr>
                    <th scope="col">{text.paste.heads.part}</th>
                    <th scope="col">{text.paste.heads.count}</th>
                    <th scope="col">{text.paste.heads.finished}</th>
                    <th scope="col">{text.paste.heads.blank}</th>
                  </tr>
                </thead>
                <tbody>
                  {now.rows.map((row) => (
                    <tr key={row.id}>
                      <th scope="row">{row.name}</th>
                      <td>{row.count}</td>
                      <td>{row.finished}</td>
                      <td>{row.blank}</td>
                    </tr>
                  ))}
                </tbody>
              </table>
            </div>
          )}
        </div>
      )}
      <div class="row-buttons">
        <button type="button" class="button primary" title={text.paste.takeKeys} aria-disabled={!canTake} onClick={() => canTake && take()}>
          {now !== null && now.rows.length > 0 ? text.paste.takeSome(now.rows.length) : text.paste.take}
        </button>
        <button type="button" class="button" onClick={close}>
          {text.paste.cancel}
        </button>
      </div>
    </Dialog>
  );
}
