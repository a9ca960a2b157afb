// Shows any form without knowing its fields.

import { useRef } from "preact/hooks";

import type { Field, FieldPlace, Form, Ripped, Table, Thing } from "../protocol/generated";
import { useApp } from "./app-context";
import { text } from "../text";
import { FieldInput } from "./FieldInput";

interface Folding {
  readonly of: string;
  readonly wanted: string | null;
  readonly key: string;
  readonly open: boolean;
}

/**
 * Whether details are open, and their key. They are made anew, and open, where something in them is wanted and they are
 * folded; never while they are open, or the keyboard would be lost with what it is on.
 */
function useFolding(of: string, wanted: string | null, fold: { readonly current: HTMLDetailsElement | null }): Folding {
  const last = useRef<Folding | null>(null);
  const before = last.current;
  if (before === null || before.of !== of) {
    last.current = { of, wanted, key: of, open: wanted !== null };
  } else if (before.wanted !== wanted) {
    const opens = wanted !== null && fold.current?.open !== true;
    last.current = { of, wanted, key: opens ? `${before.key}+` : before.key, open: before.open || opens };
  }
  return last.current as Folding;
}

function groupsOf(fields: readonly Field[]): { name: string; fields: Field[] }[] {
  const groups: { name: string; fields: Field[] }[] = [];
  for (const field of fields) {
    const last = groups.at(-1);
    if (last !== undefined && last.name === field.group) last.fields.push(field);
    else groups.push({ name: field.group, fields: [field] });
  }
  return groups;
}

/** The next field that is typed into, in the order of the form. */
function nextField(from: HTMLElement): HTMLElement | null {
  const form = from.closest("form");
  if (form === null) return null;
  const typed = "input:not([type=checkbox], [type=radio]), textarea";
  const fields = [...form.querySelectorAll<HTMLElement>(`${typed}, [data-at-end]`)].filter((each) => each.getClientRects().length > 0);
  return fields[fields.indexOf(from) + 1] ?? null;
}

/** Enter goes to the next field. */
function goOn(from: HTMLElement): void {
  const next = nextField(from);
  if (next === null) return;
  next.focus();
  if (next instanceof HTMLInputElement) next.select();
  next.scrollIntoView({ block: "nearest" });
}

export interface FormViewProps {
  readonly form: Form;
  readonly focus: string | null;
  /** Makes another thing like this one. */
  readonly another?: (() => void) | null;
}

export function FormView({ form, focus, another = null }: FormViewProps) {
  const { desk } = useApp();
  const fold = useRef<HTMLDetailsElement>(null);
  const thing = form.thing;
  const details = form.fields.filter((field) => field.place === "details");
  const inDetails = details.some((field) => field.name === focus || field.problem !== null);
  const folding = useFolding(thing === null ? "" : keyOf(thing), inDetails ? (focus ?? "") : null, fold);
  if (thing === null) return null;
  const of = thing;
  const commit = (field: string, typed: string): void => void desk.set(of, field, typed);
  const at = (place: FieldPlace): Field[] => form.fields.filter((field) => field.place === place);
  return (
    <form
      class="form"
      onSubmit={(event) => event.preventDefault()}
      onKeyDown={(event) => {
        if (another === null || event.key !== "Enter" || !(event.ctrlKey || event.metaKey)) return;
        event.preventDefault();
        event.stopPropagation();
        another();
      }}
      aria-label={form.title}
    >
      {form.problems.map((problem) => (
        <p class="problem" key={problem}>
          {problem}
        </p>
      ))}
      <Groups fields={at("start")} of={of} focus={focus} commit={commit} />
      {form.tables.map((table) => (
        <FormTable key={table.label} table={table} owner={of} focus={focus} />
      ))}
      <Groups fields={at("below")} of={of} focus={focus} commit={commit} />
      {another !== null && (
        <div class="row-buttons">
          <button type="button" class="button" data-at-end title={text.forms.anotherKeys} onClick={another}>
            {text.forms.another}
          </button>
        </div>
      )}
      {details.length > 0 && (
        <details class="details" ref={fold} open={folding.open || undefined} key={folding.key}>
          <summary>{text.forms.details}</summary>
          <Groups fields={details} of={of} focus={focus} commit={commit} ripped={form.ripped} />
        </details>
      )}
    </form>
  );
}

/** What a cupped board finishes at in more and more staves. */
function RippedTable({ rows }: { rows: readonly Ripped[] }) {
  return (
    <table class="ripped">
      <caption>{text.forms.ripped.heading}</caption>
      <thead>
        <tr>
          <th scope="col">{text.forms.ripped.staves}</th>
          <th scope="col">{text.forms.ripped.width}</th>
          <th scope="col">{text.forms.ripped.finishes}</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.staves}>
            <td>{row.staves === 1 ? text.forms.ripped.whole : row.staves}</td>
            <td class="measure">{row.width}</td>
            <td class="measure">{row.finishes_at}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

interface GroupsProps {
  readonly fields: readonly Field[];
  readonly of: Thing;
  readonly focus: string | null;
  readonly commit: (field: string, typed: string) => void;
  /** Shown under the warp. */
  readonly ripped?: readonly Ripped[];
}

/** Fields under the headings of their groups. */
export function Groups({ fields, of, focus, commit, ripped = [] }: GroupsProps) {
  return (
    <>
      {groupsOf(fields).map((group, index) => (
        <fieldset key={`${index} ${group.name}`}>
          {group.name !== "" && <legend>{group.name}</legend>}
          <div class="fields">
            {group.fields.map((field) => (
              <FieldInput
                key={`${keyOf(of)} ${field.name}`}
                field={field}
                thing={of}
                focusNow={focus === field.name}
                commit={(typed) => commit(field.name, typed)}
                entered={goOn}
              />
            ))}
          </div>
          {ripped.length > 0 && group.fields.some((field) => field.name === "warp") && <RippedTable rows={ripped} />}
        </fieldset>
      ))}
    </>
  );
}

export function keyOf(thing: Thing): string {
  return `${thing.kind} ${thing.row} ${thing.index ?? ""} ${thing.of_part ? "part" : ""}`;
}

function FormTable({ table, owner, focus }: { table: Table; owner: Thing; focus: string | null }) {
  const { desk } = useApp();
  function add(): void {
    // Only rows with a form of their own take the person there; others are filled in place.
    if (table.opens) {
      desk.add(table.adds, owner);
      return;
    }
    const outcome = desk.change((session) => session.add(table.adds, owner));
    const row = outcome?.done ? outcome.thing?.index : null;
    if (row == null) return;
    const now = desk.formOf(owner)?.tables.find((each) => each.label === table.label);
    const first = now?.rows[row]?.cells[0];
    if (first !== undefined) desk.openForm(owner, first.name);
  }

  /** Enter in the last cell adds the next row and goes there, while one is still to come. */
  function entered(from: HTMLElement, isLast: boolean): void {
    const now = desk.formOf(owner)?.tables.find((each) => each.label === table.label);
    if (isLast && now?.goes_on === true) add();
    else goOn(from);
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
                {row.cells.some((cell) => cell.problem !== null) && <em class="bad">{text.rows.toMend}</em>}
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
                  <span class="narrow-hidden-text">{text.forms.remove}</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {table.rows.map((row, at) => (
                <tr key={keyOf(row.thing)}>
                  {row.cells.map((cell, column) => (
                    <td key={cell.name}>
                      <FieldInput
                        bare
                        field={cell}
                        thing={owner}
                        focusNow={focus === cell.name}
                        commit={(typed) => desk.set(owner, cell.name, typed)}
                        entered={(from) => entered(from, at === table.rows.length - 1 && column === row.cells.length - 1)}
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
                  {text.forms.ofCell(row.title, cell.label, cell.problem ?? "")}
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
      aria-label={text.forms.removeWhat(title)}
      onClick={() => desk.change((session) => session.remove(thing))}
    >
      {text.forms.remove}
    </button>
  );
}
