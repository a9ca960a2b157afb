// A length typed beside a photograph: kept as typed, and read as the job reads lengths.

import { useId } from "preact/hooks";

import { useApp } from "../app-context";

export function SizeField({ label, value, change, whenEmpty = "", focus = false }: { label: string; value: string; change: (typed: string) => void; whenEmpty?: string; focus?: boolean }) {
  const { photographing } = useApp();
  const id = useId();
  const { shown, problem } = photographing.marks.read(value);
  return (
    <div class="field field-length">
      <label for={id}>{label}</label>
      <div class="control">
        <input
          id={id}
          class="measure"
          type="text"
          autocomplete="off"
          spellcheck={false}
          autofocus={focus}
          placeholder={whenEmpty}
          aria-invalid={problem !== null}
          aria-describedby={problem === null ? undefined : `${id}-problem`}
          value={value}
          onInput={(event) => change(event.currentTarget.value)}
        />
        {shown !== null && !shown.startsWith(value.trim()) && <span class="reads-as">{shown}</span>}
      </div>
      {problem !== null && (
        <p class="problem" id={`${id}-problem`}>
          {problem}
        </p>
      )}
    </div>
  );
}
