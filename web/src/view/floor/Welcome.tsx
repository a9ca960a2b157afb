// What is said on the floor at the first opening, and what an empty floor invites to.

import { text } from "../../text";
import { useApp } from "../app-context";

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
  if (!app.firstSteps.value) return null;
  return (
    <section class="welcome" aria-label={text.firstSteps.heading}>
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
