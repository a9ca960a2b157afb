// Windows that say something: about, whether work is kept, what went wrong.

import { useSignal } from "@preact/signals";

import type { FaultShown } from "../../state/app";
import { text } from "../../text";
import { ActionButton } from "../ActionButton";
import { useApp } from "../app-context";
import { keepingWords } from "../KeepingMark";
import { Dialog } from "./Dialog";
import { version } from "../../protocol/generated";

export function AboutDialog({ close }: { close: () => void }) {
  return (
    <Dialog heading={text.about.heading} close={close}>
      {text.about.lines.map((line) => (
        <p key={line}>{line}</p>
      ))}
      <p class="made">{text.about.made(version())}</p>
    </Dialog>
  );
}

export function KeepingDialog({ close }: { close: () => void }) {
  const app = useApp();
  const tidied = useSignal<string | null>(null);
  const tidy = (): void =>
    void app.photos.tidy(app.desk.ask((session) => session.photo_files()) ?? []).then(
      (count) => (tidied.value = text.keeping.tidied(count)),
      () => (tidied.value = text.keeping.off),
    );
  return (
    <Dialog heading={text.actions.kept} close={close}>
      <p>
        <b>{keepingWords(app.keeper.status.value)}</b>
      </p>
      <p>{text.keeping.explain}</p>
      <div class="row-buttons">
        <ActionButton id="save" class="primary" after={close} />
        <ActionButton id="kept-jobs" class="" />
        <button type="button" class="button" onClick={tidy}>
          {text.keeping.tidy}
        </button>
      </div>
      <p aria-live="polite">{tidied.value}</p>
    </Dialog>
  );
}

/** Asks before a job that is kept nowhere makes room for another. */
export function LeavingDialog({ close }: { close: () => void }) {
  const app = useApp();
  function answer(goOn: boolean): void {
    const waiting = app.leaving.value;
    app.leaving.value = null;
    close();
    waiting?.(goOn);
  }
  return (
    <Dialog heading={text.leaving.heading} close={() => answer(false)}>
      <p>{text.leaving.explain}</p>
      <div class="row-buttons column">
        <button
          type="button"
          class="button primary"
          data-leaving="save"
          onClick={() => {
            app.files.save();
            answer(true);
          }}
        >
          {text.leaving.save}
        </button>
        <button type="button" class="button" data-leaving="go" onClick={() => answer(true)}>
          {text.leaving.go}
        </button>
        <button type="button" class="button" data-leaving="stay" onClick={() => answer(false)}>
          {text.leaving.stay}
        </button>
      </div>
    </Dialog>
  );
}

export function FaultDialog({ fault, close }: { fault: FaultShown; close: () => void }) {
  return (
    <Dialog heading={text.trouble.heading} close={close}>
      <p>{fault.message}</p>
      <div class="row-buttons">
        <ActionButton id="save" class={fault.mended ? "" : "primary"} />
        {!fault.mended && (
          <button type="button" class="button primary" onClick={() => window.location.reload()}>
            {text.trouble.reload}
          </button>
        )}
        {fault.mended && (
          <button type="button" class="button primary" onClick={close}>
            {text.trouble.goOn}
          </button>
        )}
      </div>
      <details>
        <summary>{text.trouble.details}</summary>
        <pre>{fault.details}</pre>
      </details>
    </Dialog>
  );
}
