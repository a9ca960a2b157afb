// Choosing the paper and printing.

import { useSignal } from "@preact/signals";

import { text } from "../../text";
import { useApp } from "../app-context";
import { Dialog } from "./Dialog";

export function PrintDialog({ close }: { close: () => void }) {
  const { files, desk } = useApp();
  const paper = useSignal<"a4" | "letter">(desk.state.value.units === "in" ? "letter" : "a4");
  return (
    <Dialog heading={text.print.heading} close={close}>
      <p>{desk.state.value.plan === null ? text.print.nothing : text.print.explain}</p>
      <fieldset class="choices">
        <legend>{text.print.paper}</legend>
        {(["a4", "letter"] as const).map((each) => (
          <label key={each}>
            <input type="radio" name="paper" checked={paper.value === each} onChange={() => (paper.value = each)} />
            <span>{text.print[each]}</span>
          </label>
        ))}
      </fieldset>
      <div class="row-buttons">
        <button
          type="button"
          class="button primary"
          onClick={() => {
            close();
            files.print(paper.value);
          }}
        >
          {text.print.go}
        </button>
      </div>
    </Dialog>
  );
}
