// The photo about one mark, seen closely at its own resolution; dragged, it sets the mark exactly.

import { useSignalEffect } from "@preact/signals";
import { useLayoutEffect, useRef } from "preact/hooks";

import type { PhotoSpot } from "../../protocol/generated";
import { text } from "../../text";
import { useApp } from "../app-context";

/** Its side on the screen, in pixels. */
const SIDE = 160;

/** So far from the middle of a mark it stays. */
const CLEAR = 26;

/** Where it may stand, as shares of the way from the upper left: corners of boards lie least in the middle. */
const PLACES = [[0.5, 0], [0.5, 1], [0, 0], [1, 0], [0, 1], [1, 1]] as const;

/** `passive`: taps go through it to the photo, as the next mark may lie under it. */
export function Loupe({ spot, move, passive }: { spot: PhotoSpot; move: (to: PhotoSpot) => void; passive: boolean }) {
  const { photographing } = useApp();
  const canvas = useRef<HTMLCanvasElement>(null);
  const last = useRef<{ readonly x: number; readonly y: number } | null>(null);
  const [width = 0] = photographing.shown.value?.size ?? [];
  // A thirtieth of the photo at most, so that a pixel of it can be told.
  const side = Math.max(32, Math.min(120, Math.round(width / 40)));

  useLayoutEffect(() => photographing.lookClosely(spot, side), [spot.x, spot.y, side]);
  useLayoutEffect(() => {
    if (canvas.current !== null) stepAside(canvas.current);
  });

  useSignalEffect(() => {
    const crop = photographing.closely.value;
    const context = canvas.current?.getContext("2d");
    if (crop === null || context == null) return;
    draw(context, crop.seen, crop, side);
  });

  return (
    <canvas
      class={`photo-loupe ${passive ? "passive" : ""}`}
      ref={canvas}
      width={2 * SIDE}
      height={2 * SIDE}
      title={text.photograph.loupe}
      aria-hidden="true"
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        last.current = { x: event.clientX, y: event.clientY };
      }}
      onPointerMove={(event) => {
        const from = last.current;
        if (from === null) return;
        last.current = { x: event.clientX, y: event.clientY };
        // The photo is what moves under the cross.
        const pixels = side / SIDE;
        move({ x: spot.x - (event.clientX - from.x) * pixels, y: spot.y - (event.clientY - from.y) * pixels });
      }}
      onPointerUp={() => (last.current = null)}
      onPointerCancel={() => (last.current = null)}
    />
  );
}

/** Stays where it covers no mark; else goes where it is farthest from all. */
function stepAside(loupe: HTMLElement): void {
  const window = loupe.parentElement!;
  const all = window.getBoundingClientRect();
  const [wide, high] = [loupe.offsetWidth, loupe.offsetHeight];
  const marks = [...window.querySelectorAll(".photo-handle .touch-area")].map((mark) => {
    const at = mark.getBoundingClientRect();
    return [(at.left + at.right) / 2 - all.left, (at.top + at.bottom) / 2 - all.top] as const;
  });
  const clear = (left: number, top: number): number =>
    Math.min(...marks.map(([x, y]) => Math.hypot(Math.max(left - x, 0, x - left - wide), Math.max(top - y, 0, y - top - high))));
  if (loupe.style.left !== "" && clear(loupe.offsetLeft, loupe.offsetTop) >= CLEAR) return;
  let best = -1;
  for (const [right, down] of PLACES) {
    const [left, top] = [8 + right * (all.width - wide - 16), 8 + down * (all.height - high - 16)];
    const far = Math.min(clear(left, top), CLEAR);
    if (far <= best) continue;
    best = far;
    loupe.style.left = `${left}px`;
    loupe.style.top = `${top}px`;
  }
}

function draw(context: CanvasRenderingContext2D, seen: ImageBitmap, at: { readonly x: number; readonly y: number; readonly side: number }, side: number): void {
  const whole = 2 * SIDE;
  const scale = whole / side;
  // The crop begins at a whole pixel.
  const left = (Math.round(at.x - at.side / 2) - (at.x - side / 2)) * scale;
  const top = (Math.round(at.y - at.side / 2) - (at.y - side / 2)) * scale;
  context.imageSmoothingEnabled = false;
  context.fillStyle = "#808080";
  context.fillRect(0, 0, whole, whole);
  context.drawImage(seen, left, top, at.side * scale, at.side * scale);
  for (const [colour, thick] of [["#000", 8] as const, ["#fff", 4] as const]) {
    context.strokeStyle = colour;
    context.lineWidth = thick;
    context.beginPath();
    for (const [from, to] of [[0.1, 0.44] as const, [0.56, 0.9] as const]) {
      context.moveTo(from * whole, whole / 2);
      context.lineTo(to * whole, whole / 2);
      context.moveTo(whole / 2, from * whole);
      context.lineTo(whole / 2, to * whole);
    }
    context.stroke();
  }
}
