// The marked areas of a photograph as a list: what the program saw is accepted or refused here, one by one or all.

import type { Flaw } from "../../state/tracing";
import { text } from "../../text";
import { useApp } from "../app-context";

export function FlawList() {
  const { tracing, marks } = useApp().photographing;
  const { traced, picked, canGoBack } = tracing;
  const { flaws } = traced.value;
  const open = flaws.filter((flaw) => flaw.proposed !== null).length;
  const now = picked.value;
  /** As the job shows lengths. */
  const shown = (mm: number): string => marks.read(`${mm.toFixed()}mm`).shown ?? "";
  const named = (flaw: Flaw): string => text.photograph.area(text.photograph.kinds[flaw.kind], shown(flaw.to.x - flaw.from.x), shown(flaw.to.y - flaw.from.y));
  return (
    <>
      {flaws.length > 0 && (
        <ul class="photo-flaws">
          {flaws.map((flaw, at) => (
            <li key={at} class={now?.what === "flaw" && now.at === at ? "is-chosen" : ""}>
              <button type="button" class="row-open" onClick={() => (picked.value = { what: "flaw", at })}>
                {flaw.proposed === null ? named(flaw) : text.photograph.proposed(named(flaw), flaw.proposed.because)}
              </button>
              {flaw.proposed !== null && (
                <button type="button" class="button small" onClick={() => tracing.accept((each) => each === flaw)}>
                  {text.photograph.accept}
                </button>
              )}
              <button type="button" class="button quiet small" aria-label={`${flaw.proposed === null ? text.photograph.removePicked : text.photograph.refuse}: ${named(flaw)}`} onClick={() => tracing.remove({ what: "flaw", at })}>
                {flaw.proposed === null ? text.photograph.removePicked : text.photograph.refuse}
              </button>
            </li>
          ))}
        </ul>
      )}
      <div class="row-buttons">
        {open > 0 && (
          <button type="button" class="button" onClick={() => tracing.accept(() => true)}>
            {text.photograph.acceptAll(open)}
          </button>
        )}
        {now?.what === "corner" && traced.value.outline.length > 3 && (
          <button type="button" class="button small" onClick={() => tracing.remove(now)}>
            {text.photograph.removePicked}
          </button>
        )}
        {canGoBack.value && (
          <button type="button" class="button small" onClick={tracing.back}>
            {text.photograph.undo}
          </button>
        )}
      </div>
    </>
  );
}
