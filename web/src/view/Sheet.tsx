// The side sheet: at the right of the floor, or at its foot on a narrow screen, where its
// height can be pulled. It says what the open place has to say, or shows a form.

import { useSignal } from "@preact/signals";
import { useLayoutEffect, useRef } from "preact/hooks";

import { text } from "../text";
import { useApp } from "./app-context";
import { FirstSteps } from "./floor/Welcome";
import { FormSheet } from "./FormSheet";
import { BenchPlace } from "./places/BenchPlace";
import { PiecePlace } from "./places/PiecePlace";
import { SettingOutPlace } from "./places/SettingOutPlace";
import { TimberPlace } from "./places/TimberPlace";

/** Heights of the sheet on a narrow screen, in parts of the window. */
const LEAST = 0.09;
const USUAL = 0.44;
/** At the bench the sheet is what is read, and the floor what it is about. */
const AT_BENCH = 0.54;
const MOST = 0.82;

export function Sheet() {
  const app = useApp();
  const { desk, bench } = app;
  /** As it was pulled by hand. */
  const pulled = useSignal<number | null>(null);
  const grip = useRef<{ y: number; height: number } | null>(null);
  const body = useRef<HTMLDivElement>(null);
  const place = desk.place.value;
  const form = desk.form.value;
  const opened = desk.opened.value;
  const asked = place === "bench" ? (bench.asked.value?.ask.kind ?? null) : null;
  const usual = place === "bench" ? AT_BENCH : USUAL;
  // What is drawn needs the room.
  const height = app.drawing.seen.value === null ? (pulled.value ?? usual) : LEAST;

  // At once, and not after the focus has gone to a row farther down.
  useLayoutEffect(() => {
    body.current?.scrollTo({ top: 0 });
  }, [place, form?.title, asked]);

  const held = (next: number): number => Math.min(MOST, Math.max(LEAST, next));

  return (
    <aside class="sheet" id="sheet" style={{ "--sheet-height": `calc(${height.toFixed(3)} * var(--page-height))` }} aria-label={text.sheet.name}>
      <div
        class="sheet-grip"
        role="separator"
        aria-orientation="horizontal"
        aria-label={text.sheet.height}
        aria-valuemin={LEAST * 100}
        aria-valuemax={MOST * 100}
        aria-valuenow={Math.round(height * 100)}
        tabIndex={0}
        onPointerDown={(event) => {
          grip.current = { y: event.clientY, height };
          event.currentTarget.setPointerCapture(event.pointerId);
        }}
        onPointerMove={(event) => {
          if (grip.current === null) return;
          pulled.value = held(grip.current.height + (grip.current.y - event.clientY) / window.innerHeight);
        }}
        onPointerUp={(event) => {
          const began = grip.current;
          grip.current = null;
          // A press without a pull opens and closes.
          if (began !== null && Math.abs(event.clientY - began.y) < 5) pulled.value = height > LEAST + 0.05 ? LEAST : null;
        }}
        onPointerCancel={() => (grip.current = null)}
        onKeyDown={(event) => {
          const by = event.key === "ArrowUp" ? 0.08 : event.key === "ArrowDown" ? -0.08 : 0;
          if (by === 0) return;
          event.preventDefault();
          event.stopPropagation();
          pulled.value = held(height + by);
        }}
      >
        <i aria-hidden="true" />
      </div>
      <div class="sheet-body" ref={body} tabIndex={-1}>
        {app.firstSteps.value && place === "timber" && form === null && <FirstSteps />}
        {form !== null && opened !== null ? (
          <FormSheet form={form} focus={opened.field} />
        ) : place === "timber" ? (
          <TimberPlace />
        ) : place === "piece" ? (
          <PiecePlace />
        ) : place === "setting_out" ? (
          <SettingOutPlace />
        ) : (
          <BenchPlace />
        )}
      </div>
    </aside>
  );
}
