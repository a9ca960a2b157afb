// What is drawn on a board: the lines on the floor, the strip with what can be done, the numbers that can be
// typed beside the point they are about, and the loupe under a finger.

import { useComputed, useSignal, type ReadonlySignal } from "@preact/signals";
import { useRef } from "preact/hooks";

import type { Drawing, DrawWay } from "../../protocol/generated";
import type { Viewport } from "../../gestures/viewport";
import { text } from "../../text";
import { ActionButton } from "../ActionButton";
import { useApp } from "../app-context";
import { narrow } from "../window";
import type { Size } from "./looking";
import { RULER_HEIGHT } from "./measures";

const WAYS: readonly DrawWay[] = ["points", "freehand", "oval", "from_middle"];

export function DrawLines({ view }: { view: ReadonlySignal<Viewport> }) {
  const { drawing } = useApp();
  const svg = useComputed(() => drawing.seen.value?.svg ?? "");
  if (svg.value === "") return null;
  const { scale, x, y } = view.value;
  return <g transform={`translate(${x} ${y}) scale(${scale})`} dangerouslySetInnerHTML={{ __html: svg.value }} />;
}

export function DrawBar({ view, size }: { view: ReadonlySignal<Viewport>; size: ReadonlySignal<Size> }) {
  const { drawing } = useApp();
  const now = drawing.seen.value;
  if (now === null) return null;
  const ways = now.what === "grain" ? WAYS.slice(0, 2) : WAYS;
  return (
    <div class="draw-dock">
      <DrawFields now={now} view={view.value} size={size.value} />
      <section
        class="draw-bar"
        role="group"
        aria-label={text.drawing.name(now.on)}
        tabIndex={-1}
        onKeyDown={(event) => {
          // A choice would keep it to itself.
          if (event.key !== "Escape") return;
          event.preventDefault();
          drawing.back();
        }}
      >
        <p class={now.wrong ? "bad" : ""}>{now.sentence}</p>
        <div class="row-buttons">
          <ActionButton id="draw-done" class="small primary" shown={text.drawing.done} />
          <ActionButton id="undo" class="small" shown={text.actions.undo} />
          <select aria-label={text.drawing.how} value={now.way} onChange={(event) => drawing.way(event.currentTarget.value as DrawWay)}>
            {ways.map((way) => (
              <option key={way} value={way}>
                {text.drawing.ways[way]}
              </option>
            ))}
          </select>
          <button type="button" class={`button small ${now.snaps ? "is-on" : ""}`} aria-pressed={now.snaps} title={text.drawing.marksHint} onClick={() => drawing.order("snap")}>
            {text.drawing.marks}
          </button>
          {now.open && <ActionButton id="draw-close" class="small" />}
          {!now.open && now.what === "outline" && (
            <button type="button" class="button small" onClick={() => drawing.order("another")}>
              {text.drawing.hole}
            </button>
          )}
          <ActionButton id="draw-before" class="small" shown="‹" />
          <ActionButton id="draw-next" class="small" shown="›" />
          {now.chosen && (
            <button type="button" class="button small" onClick={() => drawing.order("remove")}>
              {text.drawing.remove}
            </button>
          )}
          <button type="button" class="button small" onClick={() => drawing.order("remove_line")}>
            {now.chosen ? text.drawing.removeLine : text.drawing.anew}
          </button>
          <button type="button" class="button small" onClick={drawing.leave}>
            {text.drawing.leave}
          </button>
        </div>
      </section>
    </div>
  );
}

/** Room that the fields take, in pixels. */
const FIELDS = { width: 206, height: 62 };

function DrawFields({ now, view, size }: { now: Drawing; view: Viewport; size: Size }) {
  const { drawing } = useApp();
  const form = useRef<HTMLFormElement>(null);
  const draft = useSignal<readonly [string, string]>(["", ""]);
  const within = (value: number, most: number): number => Math.max(8, Math.min(value, most));
  // Before the first point, and where a finger would be in its way, they stand above the strip.
  const style = now.at === null || narrow.value ? null : placed(now.at);
  function placed([x, y]: readonly [number, number]): { left: string; top: string } {
    const left = within(x * view.scale + view.x + 18, size.width - FIELDS.width);
    const top = Math.max(RULER_HEIGHT + 4, within(y * view.scale + view.y + 18, size.height - 3.6 * FIELDS.height));
    return { left: `${left}px`, top: `${top}px` };
  }
  const put = (which: 0 | 1, typed: string): void => {
    draft.value = which === 0 ? [typed, draft.value[1]] : [draft.value[0], typed];
  };
  return (
    <form
      class={`draw-fields ${style === null ? "" : "is-near"}`}
      ref={form}
      style={style ?? undefined}
      onSubmit={(event) => {
        event.preventDefault();
        if (!drawing.typed(...draft.value)) return;
        draft.value = ["", ""];
        form.current?.querySelector("input")?.focus();
      }}
      onKeyDown={(event) => {
        const isEmpty = draft.value[0] === "" && draft.value[1] === "";
        const isBack = event.key === "Escape" || (event.key === "z" && (event.ctrlKey || event.metaKey) && isEmpty);
        if (!isBack) return;
        event.preventDefault();
        event.stopPropagation();
        if (isEmpty) drawing.back();
        else draft.value = ["", ""];
      }}
    >
      {([0, 1] as const).map((which) => (
        <label key={which}>
          {now.labels[which]}
          <input
            type="text"
            inputMode="text"
            autocomplete="off"
            enterkeyhint="next"
            data-draw-field={which}
            value={draft.value[which]}
            placeholder={now.now[which] ?? ""}
            onInput={(event) => put(which, event.currentTarget.value)}
          />
        </label>
      ))}
      <button type="submit" tabIndex={-1} aria-hidden="true" />
    </form>
  );
}

/** How wide the loupe is, and how much closer it shows. */
const LOUPE = 116;
const CLOSER = 2.5;

export function Loupe({ size }: { size: ReadonlySignal<Size> }) {
  const { drawing } = useApp();
  const at = drawing.finger.value;
  if (at === null || drawing.seen.value === null) return null;
  const above = at.y - LOUPE - 40;
  const left = Math.max(4, Math.min(at.x - LOUPE / 2, size.value.width - LOUPE - 4));
  // Where there is no room above the finger it stands beside it.
  const beside = at.x > size.value.width / 2 ? at.x - LOUPE - 56 : at.x + 56;
  const style = above > RULER_HEIGHT ? { left: `${left}px`, top: `${above}px` } : { left: `${beside}px`, top: `${RULER_HEIGHT + 4}px` };
  const half = LOUPE / 2;
  return (
    <svg class="loupe" style={style} viewBox={`0 0 ${LOUPE} ${LOUPE}`} aria-hidden="true">
      <g transform={`translate(${half - CLOSER * at.x} ${half - CLOSER * at.y}) scale(${CLOSER})`}>
        <use href="#floor-seen" />
      </g>
      <path d={`M${half} ${half - 12}V${half + 12}M${half - 12} ${half}H${half + 12}`} />
    </svg>
  );
}
