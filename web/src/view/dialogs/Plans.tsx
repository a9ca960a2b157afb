// Keeping a plan under a name, and two plans side by side.

import { useSignal } from "@preact/signals";

import { text } from "../../text";
import { useApp } from "../app-context";
import { pictured } from "../small-picture";
import { Dialog } from "./Dialog";

/** The plan that lies on the floor has no name; an empty one stands for it. */
const ON_FLOOR = "";

export function KeepPlanDialog({ close }: { close: () => void }) {
  const { desk } = useApp();
  const kept = desk.state.value.kept;
  const name = useSignal(text.plans.usual(kept.length + 1));
  const problem = useSignal<string | null>(null);
  function keep(): void {
    const outcome = desk.change((session) => session.keep_plan(name.value));
    if (outcome?.done) close();
    else problem.value = outcome?.problem ?? null;
  }
  return (
    <Dialog heading={text.plans.keep} close={close}>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          keep();
        }}
      >
        <div class="field">
          <label for="plan-name">{text.plans.name}</label>
          <div class="control">
            <input id="plan-name" value={name.value} onInput={(event) => (name.value = event.currentTarget.value)} autofocus />
          </div>
        </div>
        {problem.value !== null && <p class="problem">{problem.value}</p>}
        {kept.some((row) => row.name === name.value) && <p class="hint">{text.plans.taken}</p>}
        <div class="row-buttons">
          <button type="submit" class="button primary">
            {text.plans.keepIt}
          </button>
        </div>
      </form>
    </Dialog>
  );
}

export function CompareDialog({ close }: { close: () => void }) {
  const { desk } = useApp();
  const state = desk.state.value;
  const names = state.kept.map((row) => row.name);
  const first = useSignal(names[0] ?? ON_FLOOR);
  const second = useSignal(names[1] ?? ON_FLOOR);
  const comparison = desk.ask((session) => session.compare(first.value, second.value));
  const content = desk.ask((session) => session.save());
  const picture = (name: string) => {
    const source = content === null ? null : (pictured(desk, content, name === ON_FLOOR ? null : name)?.source ?? null);
    return source !== null && <img class="plan-picture" src={source} alt={name === ON_FLOOR ? text.plans.pictureOnFloor : text.plans.picture(name)} />;
  };
  const options = [...names, ...(state.plan === null ? [] : [ON_FLOOR])];
  const chooser = (value: typeof first, label: string) => (
    <select aria-label={label} value={value.value} onChange={(event) => (value.value = event.currentTarget.value)}>
      {options.map((name) => (
        <option key={name} value={name}>
          {name === ON_FLOOR ? text.plans.onFloor : name}
        </option>
      ))}
    </select>
  );
  return (
    <Dialog heading={text.plans.compare} close={close} class="wide-dialog">
      {comparison !== null && (
        <>
          <p class="lead">{comparison.sentence}</p>
          <div class="table-scroll">
            <table class="compare">
              <thead>
                <tr>
                  <td />
                  <th scope="col">{chooser(first, text.plans.first)}</th>
                  <th scope="col">{chooser(second, text.plans.second)}</th>
                </tr>
              </thead>
              <tbody>
                <tr>
                  <th scope="row">{text.plans.boards}</th>
                  <td>{picture(first.value)}</td>
                  <td>{picture(second.value)}</td>
                </tr>
                {comparison.rows.map((row) => (
                  <tr key={row.label}>
                    <th scope="row">{row.label}</th>
                    <td class={row.better < 0 ? "better" : ""}>{row.first}</td>
                    <td class={row.better > 0 ? "better" : ""}>{row.second}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </>
      )}
    </Dialog>
  );
}
