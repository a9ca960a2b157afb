// A small sign in the header that says whether the work is kept; a press says more.

import { text } from "../text";
import type { Keeping } from "../state/keeping";
import { useApp } from "./app-context";

export function keepingWords(keeping: Keeping): string {
  switch (keeping.kind) {
    case "keeping":
      return text.keeping.keeping;
    case "kept":
      return text.keeping.kept;
    case "off":
      if (keeping.reason === "no answer") return text.keeping.silentShort;
      return /quota/i.test(keeping.reason) ? text.keeping.full : text.keeping.off;
    case "reader":
      return text.keeping.reader;
    case "clash":
      return text.keeping.clash;
  }
}

export function KeepingMark() {
  const app = useApp();
  const keeping = app.keeper.status.value;
  const words = keepingWords(keeping);
  const fine = keeping.kind === "kept" || keeping.kind === "keeping";
  return (
    <button
      type="button"
      class={`button quiet keeping keeping-${keeping.kind}`}
      data-keeping={keeping.kind}
      title={words}
      onClick={() => (app.dialog.value = keeping.kind === "reader" || keeping.kind === "clash" ? "clash" : "keeping")}
    >
      <i aria-hidden="true" />
      <span class={fine ? "wide-only" : ""}>{fine ? text.keeping.short[keeping.kind] : text.keeping.short.not}</span>
      {fine && <span class="narrow-hidden-text">{words}</span>}
    </button>
  );
}
