// The workshop: what cuts, what it turns to dust, what is trimmed and allowed for.

import { useSignal } from "@preact/signals";

import type { Thing } from "../../protocol/generated";
import { text } from "../../text";
import { useApp } from "../app-context";
import { FormView } from "../FormView";
import { SimpleRows } from "../SimpleRows";
import { Dialog } from "./Dialog";

const tabs: readonly { readonly name: string; readonly thing: Thing }[] = [
  { name: text.workshop.tabs.saws, thing: { kind: "workshop", row: 0, index: null, of_part: false } },
  { name: text.workshop.tabs.allowances, thing: { kind: "allowances", row: 0, index: null, of_part: false } },
  { name: text.workshop.tabs.job, thing: { kind: "job", row: 0, index: null, of_part: false } },
];

export function WorkshopDialog({ close }: { close: () => void }) {
  const { desk } = useApp();
  const tab = useSignal(0);
  // Read so that the form is asked for again after each change.
  const state = desk.state.value;
  const thing = tabs[tab.value]?.thing;
  const form = thing === undefined ? null : desk.formOf(thing);
  return (
    <Dialog heading={text.workshop.heading} close={close} class="wide-dialog">
      <div class="tabs" role="tablist">
        {tabs.map((each, index) => (
          <button
            key={each.name}
            type="button"
            role="tab"
            aria-selected={tab.value === index}
            class="tab"
            onClick={() => (tab.value = index)}
          >
            {each.name}
          </button>
        ))}
      </div>
      <div role="tabpanel" aria-label={tabs[tab.value]?.name}>
        {tab.value === 0 && (
          <SimpleRows
            heading={text.workshop.saws}
            hint={text.timber.smallWorkshop}
            rows={state.tools}
            adds="tool"
            addLabel={text.timber.addSaw}
            onOpen={close}
          />
        )}
        {form !== null && <FormView key={tab.value} form={form} focus={null} />}
        {tab.value === 2 && (
          <SimpleRows heading={text.workshop.species} rows={state.species} adds="species" addLabel={text.workshop.addSpecies} onOpen={close} />
        )}
      </div>
    </Dialog>
  );
}
