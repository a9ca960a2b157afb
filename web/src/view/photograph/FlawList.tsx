// The marked areas of a photograph as a list, and what the program saw: accepted or refused one by one, or all.

import type { Flaw, SeenLines } from "../../state/tracing";
import { text } from "../../text";
import { useApp } from "../app-context";

export function FlawList() {
  const { tracing, marks, looking, notSeen } = useApp().photographing;
  const { traced, picked, canGoBack, open } = tracing;
  const { flaws, seenOutline, seenGrain, outline } = traced.value;
  const now = picked.value;
  /** As the job shows lengths. */
  const shown = (mm: number): string => marks.read(`${mm.toFixed()}mm`).shown ?? "";
  const named = (flaw: Flaw): string => text.photograph.area(text.photograph.kinds[flaw.kind], shown(flaw.to.x - flaw.from.x), shown(flaw.to.y - flaw.from.y));
  return (
    <>
      {looking.value !== null && (
        <label class="photo-making">
          {text.photograph.looking}
          <progress value={looking.value} />
        </label>
      )}
      {notSeen.value !== null && <p class="hint">{notSeen.value}</p>}
      {open.value > 0 && (
        <div class="row-buttons">
          <button type="button" class="button" onClick={tracing.acceptAll}>
            {text.photograph.acceptAll(open.value)}
          </button>
        </div>
      )}
      <ul class="photo-flaws">
        {seenOutline !== null && <SeenRow name={text.photograph.seenOutline} seen={seenOutline} accept={tracing.acceptOutline} refuse={() => tracing.change({ seenOutline: null })} />}
        {seenGrain !== null && <SeenRow name={text.photograph.seenGrain} seen={seenGrain} accept={tracing.acceptGrain} refuse={() => tracing.change({ seenGrain: null })} />}
        {flaws.map((flaw, at) => (
          <li key={at} class={now?.what === "flaw" && now.at === at ? "is-chosen" : ""}>
            <button type="button" class="row-open" onClick={() => (picked.value = { what: "flaw", at })}>
              <span class="row-words">
                <span>{named(flaw)}</span>
                {flaw.proposed !== null && <span class="hint">{flaw.proposed}</span>}
              </span>
            </button>
            {flaw.proposed !== null && (
              <button type="button" class="button small" aria-label={text.photograph.ofArea(text.photograph.accept, named(flaw))} onClick={() => tracing.accept(flaw)}>
                {text.photograph.accept}
              </button>
            )}
            <button
              type="button"
              class="button quiet small"
              aria-label={text.photograph.ofArea(flaw.proposed === null ? text.photograph.removePicked : text.photograph.refuse, named(flaw))}
              onClick={() => tracing.remove({ what: "flaw", at })}
            >
              {flaw.proposed === null ? text.photograph.removePicked : text.photograph.refuse}
            </button>
          </li>
        ))}
      </ul>
      <div class="row-buttons">
        {now?.what === "corner" && outline.length > 3 && (
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

function SeenRow({ name, seen, accept, refuse }: { name: string; seen: SeenLines; accept: () => void; refuse: () => void }) {
  return (
    <li>
      <span class="row-words">
        <span>{name}</span>
        <span class="hint">{seen.because}</span>
      </span>
      <button type="button" class="button small" aria-label={text.photograph.ofArea(text.photograph.accept, name)} onClick={accept}>
        {text.photograph.accept}
      </button>
      <button type="button" class="button quiet small" aria-label={text.photograph.ofArea(text.photograph.refuse, name)} onClick={refuse}>
        {text.photograph.refuse}
      </button>
    </li>
  );
}
