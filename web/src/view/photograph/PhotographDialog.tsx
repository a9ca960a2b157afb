// The window in which a photograph becomes a board: the photo, its marks, and what is traced over it. What was
// done so far stays when the window is closed, until the photo is taken or given up.

import { text } from "../../text";
import { useApp } from "../app-context";
import { Dialog } from "../dialogs/Dialog";
import { AskPhoto } from "./AskPhoto";
import { MarksStage } from "./MarksStage";
import { TraceStage } from "./TraceStage";

export function PhotographDialog({ close }: { close: () => void }) {
  const { photographing } = useApp();
  const stage = photographing.stage.value;
  const waiting = photographing.waiting.value;
  return (
    <Dialog heading={text.photograph.heading} close={close} class="photo-dialog">
      {stage.at === "ask" && <AskPhoto />}
      {stage.at === "reading" && <p role="status">{text.photograph.reading}</p>}
      {stage.at === "marks" && <MarksStage />}
      {stage.at === "making" && (
        <>
          <label class="photo-making">
            {text.photograph.making}
            <progress value={stage.share} />
          </label>
          <div class="row-buttons">
            <button type="button" class="button" onClick={photographing.toMarks}>
              {text.photograph.stop}
            </button>
          </div>
        </>
      )}
      {stage.at === "trace" && <TraceStage />}
      {stage.at !== "ask" && (
        <div class="row-buttons photo-foot">
          {stage.at === "trace" && (
            <button type="button" class="button small" onClick={photographing.toMarks}>
              {text.photograph.back}
            </button>
          )}
          <button type="button" class="button quiet small" onClick={photographing.next}>
            {text.photograph.giveUp}
          </button>
          {waiting > 0 && <span class="hint">{text.photograph.waiting(waiting)}</span>}
        </div>
      )}
    </Dialog>
  );
}
