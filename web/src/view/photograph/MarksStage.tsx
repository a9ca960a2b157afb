// The photo with its marks on the one side, what is known of them on the other.

import { useLayoutEffect, useRef } from "preact/hooks";

import { isUnset, type Extra } from "../../state/photo-marks";
import { text } from "../../text";
import { useApp } from "../app-context";
import { Handle } from "./Handle";
import { LaidChoice } from "./LaidChoice";
import { Loupe } from "./Loupe";
import { SizeField } from "./SizeField";
import { Zoomed } from "./Zoomed";

export function MarksStage() {
  const { photographing } = useApp();
  const { shown, marks, fit } = photographing;
  const { spots, chosen, lacking } = marks;
  const photo = shown.value;
  if (photo === null) return null;
  const held = spots.value.find(({ key }) => key === chosen.value);
  return (
    <div class="photo-stage">
      <div class="photo-side-picture">
        <NextWords />
        <div class="photo-window">
          <Zoomed size={photo.size} label={text.photograph.picture} background={<Preview of={photo.preview} />} tap={marks.set}>
            {(scale) => (
              <>
                {(fit.value?.corners.length ?? 0) > 0 && <polygon class="photo-board" points={(fit.value?.corners ?? []).map(({ x, y }) => `${x * scale},${y * scale}`).join(" ")} />}
                {spots.value.map(({ key, spot }, at) => (
                  <Handle
                    key={key}
                    at={{ x: spot.x * scale, y: spot.y * scale }}
                    label={nameOf(key, at, fit.value?.marks[at]?.name ?? null)}
                    chosen={chosen.value === key}
                    // The next mark may lie beside one that is set.
                    reach={lacking.value > 0 ? 9 : 20}
                    choose={() => (chosen.value = key)}
                    drag={(to) => marks.move(key, { x: to.x / scale, y: to.y / scale })}
                    nudge={(right, down) => marks.move(key, { x: spot.x + right, y: spot.y + down })}
                    remove={() => marks.remove(key)}
                  >
                    <circle class="touch-area" r="20" />
                    <path class="photo-cross" d="M-11 0H-3M3 0H11M0 -11V-3M0 3V11" />
                    {isMark(key) && (
                      <text x="9" y="-9" aria-hidden="true">
                        {at + 1}
                      </text>
                    )}
                  </Handle>
                ))}
              </>
            )}
          </Zoomed>
          {held !== undefined && <Loupe spot={held.spot} move={(to) => marks.move(held.key, to)} passive={lacking.value > 0} />}
        </div>
      </div>
      <div class="photo-side-words">
        {photo.original !== null && <p class="hint">{text.photograph.reduced(photo.original.join(" × "), photo.size.join(" × "))}</p>}
        <LaidChoice />
        <Known />
        {marks.extras.value.map((extra, at) => (
          <ExtraFields key={at} extra={extra} at={at} />
        ))}
        <FitWords />
        <div class="row-buttons">
          <button type="button" class="button primary" aria-disabled={fit.value?.error == null} onClick={photographing.straighten}>
            {text.photograph.straighten}
          </button>
          {held !== undefined && (
            <button type="button" class="button" onClick={() => marks.remove(held.key)}>
              {text.photograph.removeMark}
            </button>
          )}
        </div>
        <div class="row-buttons">
          <button type="button" class="button small" onClick={() => marks.add({ is: "mark", seen: null, along: "", across: "" })}>
            {text.photograph.oneMoreMark}
          </button>
          <button type="button" class="button small" onClick={() => marks.add({ is: "check", from: null, to: null, length: "" })}>
            {text.photograph.checkLength}
          </button>
          {marks.laid.value !== "places" && (
            <button type="button" class="button small" onClick={marks.turnRound}>
              {text.photograph.turnRound}
            </button>
          )}
        </div>
      </div>
    </div>
  );
}

const isMark = (key: string): boolean => key.startsWith("mark") || key.startsWith("seen");
const nameOf = (key: string, at: number, name: string | null): string => (isMark(key) ? text.photograph.mark(at + 1, name) : text.photograph.checkEnd);

/** The photo as the worker made it small: drawn once, so that a mark is dragged over it without drawing it again. */
function Preview({ of }: { of: ImageBitmap }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useLayoutEffect(() => canvas.current?.getContext("2d")?.drawImage(of, 0, 0), [of]);
  return <canvas class="photo-picture" ref={canvas} width={of.width} height={of.height} />;
}

/** The sizes that go with the way the marks are laid. */
function Known() {
  const { laid, sizes, across } = useApp().photographing.marks;
  const now = sizes.value;
  const field = (name: keyof typeof now, label: string, whenEmpty = "") => (
    <SizeField key={name} label={label} value={now[name]} whenEmpty={whenEmpty} change={(typed) => (sizes.value = { ...sizes.peek(), [name]: typed })} />
  );
  switch (laid.value) {
    case "corners":
      return (
        <>
          {field("length", text.photograph.length)}
          {field("width", text.photograph.widthLeft)}
          {field("rightWidth", text.photograph.widthRight, text.photograph.asLeft)}
        </>
      );
    case "rectangle":
      return (
        <>
          {field("length", text.photograph.length)}
          {field("width", text.photograph.rectangleWidth)}
        </>
      );
    case "rule":
      return (
        <>
          {field("length", text.photograph.ruleLength)}
          <div class="field field-flag">
            <label>
              <input type="checkbox" checked={across.value} onChange={(event) => (across.value = event.currentTarget.checked)} />
              <span>{text.photograph.acrossRule}</span>
            </label>
          </div>
        </>
      );
    case "places":
      return null;
  }
}

function ExtraFields({ extra, at }: { extra: Extra; at: number }) {
  const { extras, spots } = useApp().photographing.marks;
  const change = (next: Partial<{ along: string; across: string; length: string }>): void => {
    extras.value = extras.value.with(at, { ...extra, ...next } as Extra);
  };
  if (extra.is === "check") return <SizeField label={text.photograph.checkIs} value={extra.length} change={(length) => change({ length })} />;
  const number = spots.value.findIndex(({ key }) => key === `seen-${at}`) + 1;
  const name = number === 0 ? text.photograph.oneMoreMark : text.photograph.mark(number, null);
  return (
    <div class="photo-extra" role="group" aria-label={name}>
      <h3>{name}</h3>
      <SizeField label={text.photograph.along} value={extra.along} change={(along) => change({ along })} />
      <SizeField label={text.photograph.acrossPlace} value={extra.across} change={(across) => change({ across })} />
    </div>
  );
}

/** What is to be tapped next; nothing keeps its line once all is set. */
function NextWords() {
  const { lacking, laid, extras } = useApp().photographing.marks;
  const open = extras.value.find(isUnset);
  const next = lacking.value > 0 ? text.photograph.next[laid.value](lacking.value) : open === undefined ? text.photograph.exact : text.photograph.nextExtra[open.is === "mark" ? "mark" : open.from === null ? "from" : "to"];
  return (
    <p class={next === text.photograph.exact ? "hint" : "photo-next"} aria-live="polite">
      {next}
    </p>
  );
}

/** How well everything fits. */
function FitWords() {
  const now = useApp().photographing.fit.value;
  return (
    <div class="photo-fit" aria-live="polite">
      {now !== null && (
        <>
          {now.error !== null && <p>{text.photograph.right(now.error.told)}</p>}
          {now.misfit !== null && <p>{now.misfit}</p>}
          {now.remarks.map((remark) => (
            <p key={remark.text} class={remark.in_the_way ? "problem" : "hint"}>
              {remark.text}
            </p>
          ))}
        </>
      )}
    </div>
  );
}

