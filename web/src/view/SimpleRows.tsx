// A short list of named things that open a form each: tools, dimensions, matches, species.

import type { SimpleRow, ThingKind } from "../protocol/generated";
import { text } from "../text";
import { useApp } from "./app-context";
import { keyOf, RemoveButton } from "./FormView";
import { QuickEdit } from "./QuickEdit";

export function SimpleRows({
  heading,
  rows,
  adds,
  addLabel,
  hint,
  onOpen,
  quick,
}: {
  heading: string;
  rows: readonly SimpleRow[];
  adds: ThingKind;
  addLabel: string;
  hint?: string;
  onOpen?: () => void;
  /** A length that can be typed over in its row. */
  quick?: { readonly field: string; readonly labelOf: (name: string) => string };
}) {
  const { desk } = useApp();
  return (
    <section class="simple-rows">
      <h3>{heading}</h3>
      {hint !== undefined && <p class="hint">{hint}</p>}
      {rows.length > 0 && (
        <ul class="rows">
          {rows.map((row) => (
            <li key={keyOf(row.thing)}>
              <button
                type="button"
                class="row-open"
                data-row={keyOf(row.thing)}
                onClick={() => {
                  onOpen?.();
                  desk.openForm(row.thing);
                }}
              >
                <span class="row-words">
                  <b>{row.name}</b>
                  <span>{row.text}</span>
                  {row.problems > 0 && <em class="bad">{text.rows.toMend}</em>}
                </span>
              </button>
              {quick !== undefined && (
                <QuickEdit
                  thing={row.thing}
                  field={quick.field}
                  shown={desk.formOf(row.thing)?.fields.find((each) => each.name === quick.field)?.text ?? ""}
                  label={quick.labelOf(row.name)}
                />
              )}
              <RemoveButton thing={row.thing} title={row.name} />
            </li>
          ))}
        </ul>
      )}
      <button
        type="button"
        class="button quiet small"
        onClick={() => {
          onOpen?.();
          desk.add(adds);
        }}
      >
        {addLabel}
      </button>
    </section>
  );
}
