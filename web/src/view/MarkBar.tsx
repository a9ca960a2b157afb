// What the next taps on a board mark: chosen once, then dropped as often as needed.

import type { MarkKind } from "../protocol/generated";
import { text } from "../text";
import { ActionButton } from "./ActionButton";
import { useApp } from "./app-context";

const KINDS: readonly MarkKind[] = ["knot", "split", "sapwood", "fixing", "figure"];

/** `drawn`: a board is open, which can also be drawn on. */
export function MarkBar({ drawn = false }: { drawn?: boolean }) {
  const { marking } = useApp();
  const now = marking.value;
  return (
    <section class="mark-bar" role="group" aria-label={text.marking.heading}>
      <h3>{text.marking.heading}</h3>
      <div class="row-buttons">
        {KINDS.map((kind) => (
          <button
            key={kind}
            type="button"
            class="button small"
            data-mark-kind={kind}
            aria-pressed={now === kind}
            onClick={() => (marking.value = now === kind ? null : kind)}
          >
            {text.marking.kinds[kind]}
          </button>
        ))}
      </div>
      <p class="hint">{now === null ? text.marking.choose : text.marking.tap[now]}</p>
      {drawn && (
        <>
          <h3>{text.drawing.heading}</h3>
          <div class="row-buttons">
            <ActionButton id="draw-outline" class="small" />
            <ActionButton id="draw-area" class="small" />
            <ActionButton id="draw-grain" class="small" />
          </div>
        </>
      )}
    </section>
  );
}
