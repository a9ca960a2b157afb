// More: everything that has no button of its own in sight, and the jobs to look at.

import { actions } from "../../state/actions";
import type { Group } from "../../state/actions/action";
import { text } from "../../text";
import { ActionButton } from "../ActionButton";
import { useApp } from "../app-context";
import { Dialog } from "./Dialog";

const shown: readonly Group[] = ["file", "board", "plan", "page"];
const elsewhere = new Set(["menu", "duplicate", "open-chosen", "set-out"]);

export function Menu({ close }: { close: () => void }) {
  const app = useApp();
  return (
    <Dialog heading={text.menu.heading} close={close} class="menu">
      {shown.map((group) => (
        <section key={group}>
          <h3>{text.groups[group]}</h3>
          <div class="menu-rows">
            {actions
              .filter((action) => action.group === group && !elsewhere.has(action.id))
              .map((action) => (
                <ActionButton key={action.id} id={action.id} class="menu-row" showKey after={close} />
              ))}
          </div>
          {group === "file" && (
            <>
              <h3>{text.menu.demos}</h3>
              <div class="menu-rows">
                {app.files.demos().map((demo) => (
                  <button
                    key={demo.name}
                    type="button"
                    class="button menu-row"
                    data-demo={demo.name}
                    onClick={() => {
                      close();
                      void app.files.demo(demo.name);
                    }}
                  >
                    <span>{demo.title}</span>
                  </button>
                ))}
              </div>
            </>
          )}
        </section>
      ))}
    </Dialog>
  );
}
