// What is said on the floor at the first opening, and what an empty floor invites to.

import { text } from "../../text";
import { useApp } from "../app-context";
import { narrow } from "../window";

export function Welcome() {
  const app = useApp();
  const state = app.desk.state.value;
  if (state.boards.length === 0) {
    return (
      <div class="welcome welcome-empty">
        <h2>{text.empty.boards}</h2>
        <p>{text.empty.boardsInvite}</p>
        <button type="button" class="button primary" onClick={() => app.desk.add("board")}>
          {text.empty.addFirstBoard}
        </button>
      </div>
    );
  }
  if (!app.firstSteps.value || narrow.value) return null;
  return <FirstSteps />;
}

/** Three plain sentences of what to do: over the floor, or in the sheet where the floor is small. */
export function FirstSteps() {
  const app = useApp();
  return (
    <section class="welcome first-steps" aria-label={text.firstSteps.heading}>
      <ol>
        {text.firstSteps.lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ol>
      <button type="button" class="button" onClick={() => (app.firstSteps.value = false)}>
        {text.firstSteps.dismiss}
      </button>
    </section>
  );
}
