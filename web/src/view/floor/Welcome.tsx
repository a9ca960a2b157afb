// What an empty floor invites to, and the three things to do at the first opening.

import { text } from "../../text";
import { useApp } from "../app-context";

/** An empty floor's invitation. */
export function Welcome() {
  const app = useApp();
  if (app.desk.state.value.boards.length > 0) return null;
  return (
    <div class="welcome">
      <h2>{text.timber.empty}</h2>
      <p>{text.timber.invite}</p>
      <button type="button" class="button primary" onClick={() => app.desk.add("board")}>
        {text.timber.addFirst}
      </button>
    </div>
  );
}

/** Three plain sentences of what to do, in the sheet: over the floor they would cover boards. */
export function FirstSteps() {
  const app = useApp();
  return (
    <section class="first-steps" aria-label={text.firstSteps.heading}>
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
