// The sheet that labels are printed on: a usual one or one by its measures, and where a sheet begun goes on.

import { useId } from "preact/hooks";

import type { FilesOut } from "../../protocol/generated";
import { text } from "../../text";
import { useApp } from "../app-context";
import { Typed, wrongIn } from "./Typed";

const OWN = "own";
const PLAIN = "plain";

export function LabelSheet({ out }: { out: FilesOut }) {
  const { filesOut } = useApp();
  const id = useId();
  const { measures } = filesOut.wanted.value;
  const wrong = wrongIn(out, "grid");

  function choose(grid: string): void {
    // One's own sheet begins with the measures of the one before.
    filesOut.choose(grid === OWN && measures.length === 0 ? { grid, measures: out.measures } : { grid });
  }

  return (
    <>
      <div class="field field-long">
        <label for={id}>{text.filesOut.grid}</label>
        <select id={id} value={out.grid} aria-invalid={wrong !== null} aria-describedby={wrong === null ? undefined : `${id}-problem`} onChange={(event) => choose(event.currentTarget.value)}>
          {out.grids.map(({ value, label }) => (
            <option key={value} value={value}>
              {value === PLAIN ? text.filesOut.plain(label) : label}
            </option>
          ))}
          <option value={OWN}>{text.filesOut.own}</option>
        </select>
        {wrong !== null && (
          <p class="problem" id={`${id}-problem`}>
            {wrong}
          </p>
        )}
      </div>
      {out.grid === OWN && (
        <div class="label-measures">
          {text.filesOut.measures.map((label, at) => (
            <Typed
              key={label}
              label={label}
              value={measures[at] ?? ""}
              wrong={wrongIn(out, String(at))}
              change={(typed) => filesOut.choose({ measures: text.filesOut.measures.map((_, k) => (k === at ? typed : (measures[k] ?? ""))) })}
            />
          ))}
        </div>
      )}
      <Typed
        label={text.filesOut.first}
        value={filesOut.first.value}
        whenEmpty="1"
        hint={out.on_a_sheet === 0 ? "" : text.filesOut.firstHint(out.on_a_sheet)}
        wrong={wrongIn(out, "first")}
        change={(typed) => (filesOut.first.value = typed)}
      />
    </>
  );
}
