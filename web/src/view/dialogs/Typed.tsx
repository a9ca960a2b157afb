// A number or length that is typed and read by the core when its field is left; what is wrong stands below.

import { useId } from "preact/hooks";

import type { FilesOut } from "../../protocol/generated";

/** What is wrong with a field; none where nothing is. */
export const wrongIn = (out: FilesOut, field: string): string | null => out.wrong.find((wrong) => wrong.field === field)?.words ?? null;

export function Typed({
  label,
  value,
  whenEmpty = "",
  hint = "",
  wrong,
  change,
}: {
  label: string;
  value: string;
  whenEmpty?: string;
  hint?: string;
  wrong: string | null;
  change: (typed: string) => void;
}) {
  const id = useId();
  const described = [wrong === null ? "" : `${id}-problem`, hint === "" ? "" : `${id}-hint`].filter(Boolean).join(" ");
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        class="measure"
        type="text"
        inputMode="decimal"
        autocomplete="off"
        spellcheck={false}
        placeholder={whenEmpty}
        value={value}
        aria-invalid={wrong !== null}
        aria-describedby={described === "" ? undefined : described}
        onChange={(event) => change(event.currentTarget.value)}
      />
      {wrong !== null && (
        <p class="problem" id={`${id}-problem`}>
          {wrong}
        </p>
      )}
      {hint !== "" && (
        <p class="hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
    </div>
  );
}
