// The three things to do in a job of one's own, each with its button.

import { text } from "../text";
import { ActionButton } from "./ActionButton";

export function NewSteps() {
  return (
    <section class="first-steps" aria-label={text.newSteps.heading}>
      <ol>
        <li>{text.newSteps.boards}</li>
        <li>
          {text.newSteps.parts} <ActionButton id="paste-parts" class="small" />
        </li>
        <li>{text.newSteps.setOut}</li>
      </ol>
    </section>
  );
}
