// A button for an action: its label, its key and whether it can be done come from the list.

import type { ComponentChildren } from "preact";

import { actionOf } from "../state/actions";
import type { ActionId } from "../state/actions/action";
import { isLetter, keyText } from "../state/keys";
import { text } from "../text";
import { useApp } from "./app-context";

export function ActionButton({
  id,
  class: extra = "",
  children,
  shown,
  showKey = false,
  after,
}: {
  id: ActionId;
  class?: string;
  /** A picture or a shorter word in place of the label. */
  children?: ComponentChildren;
  /** The shorter word, where the label does not hold it: it is then spoken before the label. */
  shown?: string;
  showKey?: boolean;
  after?: () => void;
}) {
  const app = useApp();
  const action = actionOf(id);
  const label = action.label(app);
  // Keys that are switched off are not shown.
  const first = action.keys.find((each) => app.letterKeys.value || !isLetter(each));
  const enabled = action.enabled(app);
  return (
    <button
      type="button"
      class={`button ${extra}`}
      data-action={id}
      aria-label={shown === undefined ? (children === undefined ? undefined : label) : label.startsWith(shown) ? label : text.shown.spoken(shown, label)}
      title={first === undefined ? label : text.shown.withKey(label, keyText(first))}
      aria-disabled={!enabled}
      onClick={() => {
        if (!action.enabled(app)) return;
        after?.();
        action.run(app);
      }}
    >
      {children ?? <span>{shown ?? label}</span>}
      {showKey && first !== undefined && <kbd>{keyText(first)}</kbd>}
    </button>
  );
}
