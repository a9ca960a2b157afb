// The list of keys, made from the list of actions.

import { actions } from "../../state/actions";
import type { Group } from "../../state/actions/action";
import { isLetter, keyText } from "../../state/keys";
import { text } from "../../text";
import { useApp } from "../app-context";
import { Dialog } from "./Dialog";

export function KeysDialog({ close }: { close: () => void }) {
  const app = useApp();
  return (
    <Dialog heading={text.keys.heading} close={close} class="keys-dialog">
      <div class="field field-flag">
        <label>
          <input
            type="checkbox"
            data-letter-keys="yes"
            checked={app.letterKeys.value}
            onChange={(event) => {
              app.letterKeys.value = event.currentTarget.checked;
              app.remember("letter-keys", app.letterKeys.value ? "on" : "off");
            }}
          />
          <span>{text.keys.letters}</span>
        </label>
        <p class="hint">{text.keys.lettersHint}</p>
      </div>
      <div class="key-lists">
        {(Object.keys(text.groups) as Group[]).map((group) => (
          <section key={group}>
            <h3>{text.groups[group]}</h3>
            <dl class="keys">
              {actions
                .filter((action) => action.group === group)
                .map((action) => (
                  <div key={action.id}>
                    <dt>
                      {action.keys.map((wanted) => (
                        <kbd key={keyText(wanted)} class={!app.letterKeys.value && isLetter(wanted) ? "is-off" : ""}>{keyText(wanted)}</kbd>
                      ))}
                    </dt>
                    <dd>{action.label(app)}</dd>
                  </div>
                ))}
              {group === "floor" &&
                text.keys.floorLines.map(([keys, what]) => (
                  <div key={keys}>
                    <dt>{keys}</dt>
                    <dd>{what}</dd>
                  </div>
                ))}
            </dl>
          </section>
        ))}
      </div>
    </Dialog>
  );
}
