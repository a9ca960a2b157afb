// A form in the sheet, with the way back to the list it came from.

import type { Form, Thing, ThingKind } from "../protocol/generated";
import { text } from "../text";
import { useApp } from "./app-context";
import { Faces } from "./Faces";
import { FormView, keyOf } from "./FormView";
import { MarkBar } from "./MarkBar";
import { Panels } from "./Panels";
import { WhatIf } from "./WhatIf";

/** The form one comes back to: a zone's board, a corner's part; else the place's list. */
function ownerOf(thing: Thing): Thing | null {
  const inner: readonly ThingKind[] = ["zone", "station", "corner"];
  if (!inner.includes(thing.kind)) return null;
  return { kind: thing.of_part ? "part" : "board", row: thing.row ?? 0, index: null, of_part: false };
}

export function FormSheet({ form, focus }: { form: Form; focus: string | null }) {
  const { desk } = useApp();
  const thing = form.thing;
  if (thing === null) return null;
  const owner = ownerOf(thing);
  const ownerTitle = owner === null ? text.places[desk.place.value] : (desk.formOf(owner)?.title ?? "");
  const part = thing.kind === "part" ? desk.state.value.parts[thing.row ?? 0] : undefined;
  const canCopy = thing.kind === "board" || thing.kind === "part" || thing.kind === "zone";
  return (
    <section key={keyOf(thing)}>
      <button type="button" class="button quiet back" onClick={() => desk.openForm(owner)}>
        {text.forms.backTo(ownerTitle)}
      </button>
      <div class="sheet-head">
        <h2 class={thing.kind === "dimension" ? "as-typed" : ""}>{form.title}</h2>
        <div class="sheet-head-tools">
          {canCopy && (
            <button
              type="button"
              class="button quiet small"
              aria-label={text.forms.anotherLike(form.title)}
              title={text.forms.anotherKeys}
              onClick={() => desk.another(thing)}
            >
              {text.forms.another}
            </button>
          )}
          {form.removable && (
            <button
              type="button"
              class="button quiet small"
              aria-label={text.forms.removeWhat(form.title)}
              onClick={() => {
                const outcome = desk.change((session) => session.remove(thing));
                if (outcome?.done) desk.openForm(owner);
              }}
            >
              {text.forms.remove}
            </button>
          )}
        </div>
      </div>
      <FormView form={form} focus={focus} another={canCopy ? () => desk.another(thing) : null} />
      {thing.kind === "board" && <Faces thing={thing} />}
      {(thing.kind === "board" || thing.kind === "zone") && <MarkBar drawn />}
      {thing.kind === "dimension" && <WhatIf thing={thing} />}
      {part?.glued !== undefined && part.glued !== "" && <Panels of={part.id} />}
    </section>
  );
}
