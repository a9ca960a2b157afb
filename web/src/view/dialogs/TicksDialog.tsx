// The question before wood moves on a board whose cuts are ticked.

import { text } from "../../text";
import { useApp } from "../app-context";
import { Dialog } from "./Dialog";

export function TicksDialog({ close }: { close: () => void }) {
  const { ticks } = useApp();
  const asked = ticks.asked.value;
  const answer = (go: boolean): void => {
    close();
    ticks.answer(go);
  };
  if (asked === null) return null;
  return (
    <Dialog heading={text.ticks.heading} close={() => answer(false)}>
      <p>{text.ticks.explain(asked.boards, asked.cuts)}</p>
      <div class="row-buttons">
        <button type="button" class="button primary" onClick={() => answer(false)}>
          {asked.leave}
        </button>
        <button type="button" class="button" onClick={() => answer(true)}>
          {asked.go}
        </button>
      </div>
    </Dialog>
  );
}
