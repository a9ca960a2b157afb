// Choosing the paper and printing.

import { useSignal } from "@preact/signals";

import { text } from "../../text";
import { useApp } from "../app-context";
import { Dialog } from "./Dialog";
import { OneOf } from "./OneOf";

export function PrintDialog({ close }: { close: () => void }) {
  const { files, desk } = useApp();
  const paper = useSignal<"a4" | "letter">(desk.state.value.units === "in" ? "letter" : "a4");
  return (
    <Dialog heading={text.print.heading} close={close}>
      <p>{desk.state.value.plan === null ? text.print.nothing : text.print.explain}</p>
      <OneOf legend={text.print.paper} name="paper" values={["a4", "letter"]} words={text.filesOut.papers} value={paper.value} choose={(chosen) => (paper.value = chosen)} />
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
