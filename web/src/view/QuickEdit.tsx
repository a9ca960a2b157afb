// A value in a row that can be pressed and typed over in place.

import { useSignal } from "@preact/signals";

import type { Thing } from "../protocol/generated";
import { useApp } from "./app-context";
import { FieldInput } from "./FieldInput";

export function QuickEdit({ thing, field, shown, label }: { thing: Thing; field: string; shown: string; label: string }) {
  const { desk } = useApp();
  const editing = useSignal(false);
  if (!editing.value) {
    return (
      <button
        type="button"
        class="quick"
        data-quick={field}
        aria-label={`${label}: ${shown === "" ? "not set" : shown}. Change it`}
        onClick={(event) => {
          event.stopPropagation();
          editing.value = true;
        }}
      >
        {shown === "" ? "–" : shown}
      </button>
    );
  }
  const found = desk.formOf(thing)?.fields.find((each) => each.name === field);
  if (found === undefined) return <span>{shown}</span>;
  return (
    <span
      class="quick-editing"
      onFocusOut={() => {
        // After the field itself has handed over what was typed.
        setTimeout(() => (editing.value = false));
      }}
      onKeyDown={(event) => {
        if (event.key === "Enter" || event.key === "Escape") editing.value = false;
      }}
    >
      <FieldInput bare focusNow field={found} commit={(typed) => desk.set(thing, field, typed)} />
    </span>
  );
}
