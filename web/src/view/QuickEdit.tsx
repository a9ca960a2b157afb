// A value in a row that can be pressed and typed over in place.

import { useSignal } from "@preact/signals";
import { useLayoutEffect, useRef } from "preact/hooks";

import type { Thing } from "../protocol/generated";
import { text } from "../text";
import { useApp } from "./app-context";
import { FieldInput } from "./FieldInput";

export function QuickEdit({ thing, field, shown, label }: { thing: Thing; field: string; shown: string; label: string }) {
  const { desk } = useApp();
  const editing = useSignal(false);
  /** Whether a key closed the field: then the keyboard goes on from the value it left. */
  const closedByKey = useRef(false);
  const button = useRef<HTMLButtonElement>(null);
  useLayoutEffect(() => {
    if (editing.value || !closedByKey.current) return;
    closedByKey.current = false;
    button.current?.focus();
  }, [editing.value]);

  if (!editing.value) {
    return (
      <button
        ref={button}
        type="button"
        class="quick"
        data-quick={field}
        aria-label={text.forms.changeIt(label, shown === "" ? text.forms.notSet : shown)}
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
    <span class="quick-editing">
      <FieldInput
        bare
        focusNow
        field={found}
        thing={thing}
        commit={(typed) => desk.set(thing, field, typed)}
        left={(byKey) => {
          if (!editing.value) return;
          closedByKey.current = byKey;
          editing.value = false;
        }}
      />
    </span>
  );
}
