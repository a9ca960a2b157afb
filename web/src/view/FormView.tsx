// Shows any form without knowing its fields.

import type { Field, Form, Table, Thing } from "../protocol/generated";
import { useApp } from "./app-context";
import { text } from "../text";
import { FieldInput } from "./FieldInput";

function groupsOf(fields: readonly Field[]): { name: string; fields: Field[] }[] {
  const groups: { name: string; fields: Field[] }[] = [];
  for (const field of fields) {
    const last = groups.at(-1);
    if (last !== undefined && last.name === field.group) last.fields.push(field);
    else groups.push({ name: field.group, fields: [field] });
  }
  return groups;
}

export function FormView({ form, focus }: { form: Form; focus: string | null }) {
  const { desk } = useApp();
  const thing = form.thing;
  if (thing === null) return null;
  return (
    <form class="form" onSubmit={(event) => event.preventDefault()} aria-label={form.title}>
      {form.problems.map((problem) => (
        <p class="problem" key={problem}>
          {problem}
        </p>
      ))}
      {groupsOf(form.fields).map((group, index) => (
        <fieldset key={`${index} ${group.name}`}>
          {group.name !== "" && <legend>{group.name}</legend>}
          <div class="fields">
            {group.fields.map((field) => (
              <FieldInput
                key={`${keyOf(thing)} ${field.name}`}
                field={field}
                thing={thing}
                focusNow={focus === field.name}
                commit={(typed) => desk.set(thing, field.name, typed)}
              />
            ))}
          </div>
        </fieldset>
      ))}
      {form.tables.map((table) => (
        <FormTable key={table.label} table={table} owner={thing} focus={focus} />
      ))}
    </form>
  );
}

export function keyOf(thing: Thing): string {
  return `${thing.kind} ${thing.row} ${thing.index ?? ""} ${thing.of_part ? "part" : ""}`;
}

function FormTable({ table, owner, focus }: { table: Table; owner: Thing; focus: string | null }) {
  const { desk } = useApp();
  function add(): void {
    // Only rows with a form of their own take the person there; others are filled in place.
    if (table.opens) desk.add(table.adds, owner);
    else desk.change((session) => session.add(table.adds, owner));
  }
  return (
    <section class="form-table" aria-label={table.label}>
      <h3>{table.label}</h3>
      {table.hint !== null && <p class="hint">{table.hint}</p>}
      {table.rows.length > 0 && table.opens && (
        <ul class="rows">
          {table.rows.map((row) => (
            <li key={keyOf(row.thing)}>
              <button type="button" class="row-open" data-row={keyOf(row.thing)} onClick={() => desk.openForm(row.thing)}>
                <b>{row.title}</b>
                <span>
                  {row.cells
                    .map((cell) => cell.reads_as ?? cell.text)
                    .filter((each) => each !== "")
                    .join(" · ")}
                </span>
                {row.cells.some((cell) => cell.problem !== null) && <em class="bad">to mend</em>}
              </button>
              <RemoveButton thing={row.thing} title={row.title} />
            </li>
          ))}
        </ul>
      )}
      {table.rows.length > 0 && !table.opens && (
        <div class="table-scroll">
          <table class="cells">
            <thead>
              <tr>
                {table.columns.map((column) => (
                  <th key={column} scope="col">
                    {column}
                  </th>
                ))}
                <th>
                  <span class="narrow-hidden-text">Remove</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {table.rows.map((row) => (
                <tr key={keyOf(row.thing)}>
                  {row.cells.map((cell) => (
                    <td key={cell.name}>
                      <FieldInput
                        bare
                        field={cell}
                        thing={owner}
                        focusNow={focus === cell.name}
                        commit={(typed) => desk.set(owner, cell.name, typed)}
                      />
                    </td>
                  ))}
                  <td>
                    <RemoveButton thing={row.thing} title={row.title} />
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
          {table.rows.flatMap((row) =>
            row.cells
              .filter((cell) => cell.problem !== null)
              .map((cell) => (
                <p class="problem" key={`${keyOf(row.thing)} ${cell.name}`}>
                  {row.title}, {cell.label}: {cell.problem}
                </p>
              )),
          )}
        </div>
      )}
      <button type="button" class="button small" onClick={add}>
        {table.add_label}
      </button>
    </section>
  );
}

export function RemoveButton({ thing, title }: { thing: Thing; title: string }) {
  const { desk } = useApp();
  return (
    <button
      type="button"
      class="button quiet small"
      aria-label={`Remove ${title}`}
      onClick={() => desk.change((session) => session.remove(thing))}
    >
      {text.remove}
    </button>
  );
}
