// From a photograph to a board: the photo in its worker, the marks and their sizes, the picture at true scale,
// and what is traced over it. Nothing of it is in the job before it is taken.

import { computed, signal, type ReadonlySignal, type Signal } from "@preact/signals";

import type { PhotoFigure, PhotoFit, PhotoSpot } from "../protocol/generated";
import { PROTOCOL, type FromPhoto, type PhotoRefused, type ToPhoto, type TruePhoto } from "../protocol/messages";
import { text } from "../text";
import type { Desk } from "./desk";
import { makePhotoMarks, type PhotoMarks } from "./photo-marks";
import { proposed } from "./proposed";
import { makeTracing, type Tracing } from "./tracing";

export type Stage =
  | { readonly at: "ask"; readonly refused: { readonly why: PhotoRefused; readonly words: string | null; readonly file: string } | null }
  | { readonly at: "reading" }
  | { readonly at: "marks" }
  | { readonly at: "making"; readonly share: number }
  | { readonly at: "trace"; readonly photo: TruePhoto; readonly address: string };

/** A photo as it is seen while marks are set. */
export interface Shown {
  readonly name: string;
  readonly size: readonly [number, number];
  readonly original: readonly [number, number] | null;
  readonly preview: ImageBitmap;
}

/** Where a photo goes: a new board where none is named. */
export interface Target {
  readonly board: string | null;
  readonly face: "up" | "down";
  readonly thickness: string;
  /** A board that is there already gets the outline that was traced. */
  readonly newOutline: boolean;
  /** Its marks were measured along the whole board, of which it shows a part. */
  readonly part: boolean;
}

export interface Photographing {
  readonly stage: ReadonlySignal<Stage>;
  readonly shown: ReadonlySignal<Shown | null>;
  /** Photos that wait for their turn. */
  readonly waiting: ReadonlySignal<number>;
  readonly marks: PhotoMarks;
  readonly fit: ReadonlySignal<PhotoFit | null>;
  readonly closely: ReadonlySignal<(FromPhoto & { readonly say: "crop" }) | null>;
  readonly tracing: Tracing;
  readonly target: Signal<Target>;
  /** How much of the picture was looked at; null when that is done. */
  readonly looking: ReadonlySignal<number | null>;
  /** Why nothing could be seen in it. */
  readonly notSeen: ReadonlySignal<string | null>;
  take(files: readonly File[]): void;
  lookClosely(at: PhotoSpot, side: number): void;
  straighten(): void;
  /** The map of the figure within an outline, in the frame of the picture; null where none could be made. */
  map(outline: readonly { readonly x: number; readonly y: number }[]): Promise<PhotoFigure | null>;
  /** From the picture being made, or made, back to the marks. */
  toMarks(): void;
  /** This photo is done with, or given up: the next one, or none. */
  next(): void;
}

/** Pixels of a millimetre that is kept: 2, and fewer where a canvas could not hold them. */
const PIXEL = 0.5;
const LONGEST = 16_000;
const MOST_PIXELS = 16_000_000;

export function makePhotographing(desk: Desk, startWorker: () => Worker, core: WebAssembly.Module): Photographing {
  const stage = signal<Stage>({ at: "ask", refused: null });
  const shown = signal<Shown | null>(null);
  const queue = signal<readonly File[]>([]);
  const marks = makePhotoMarks((typed) => desk.ask((session) => session.read_length(typed)));
  const fit = signal<PhotoFit | null>(null);
  const closely = signal<(FromPhoto & { say: "crop" }) | null>(null);
  const tracing = makeTracing();
  const target = signal<Target>({ board: null, face: "up", thickness: "", newOutline: false, part: false });
  const looking = signal<number | null>(null);
  const notSeen = signal<string | null>(null);
  let worker: Worker | null = null;
  let name = "";
  let isLooking = false;
  let hasMap: (figure: PhotoFigure | null) => void = () => undefined;
  let lookNext: { x: number; y: number; side: number } | null = null;

  const post = (message: ToPhoto): void => worker?.postMessage(message);

  function dismiss(): void {
    worker?.terminate();
    worker = null;
    hasMap(null);
    looking.value = null;
    isLooking = false;
    lookNext = null;
    if (stage.peek().at === "trace") URL.revokeObjectURL((stage.peek() as Stage & { at: "trace" }).address);
    shown.peek()?.preview.close();
    shown.value = null;
  }

  function refuse(why: PhotoRefused, words: string | null = null): void {
    dismiss();
    stage.value = { at: "ask", refused: { why, words, file: name } };
  }

  function begin(file: File): void {
    dismiss();
    name = file.name;
    marks.clear();
    fit.value = null;
    let hired: Worker;
    try {
      hired = startWorker();
    } catch {
      return refuse("failed");
    }
    worker = hired;
    hired.onmessage = ({ data }: MessageEvent<FromPhoto>) => {
      if (worker === hired) heard(data);
    };
    hired.onerror = (event) => {
      event.preventDefault();
      if (worker === hired) refuse("failed");
    };
    stage.value = { at: "reading" };
    post({ say: "photo", protocol: PROTOCOL, core, file });
  }

  function heard(message: FromPhoto): void {
    switch (message.say) {
      case "refused":
        return refuse(message.why, message.words);
      case "taken_in":
        shown.value = { name, size: message.size, original: message.original, preview: message.preview };
        stage.value = { at: "marks" };
        return;
      case "fit":
        fit.value = message.fit;
        return;
      case "crop":
        isLooking = false;
        closely.peek()?.seen.close();
        closely.value = message;
        if (lookNext !== null) lookClosely(lookNext, lookNext.side);
        return;
      case "making":
        if (stage.peek().at === "making") stage.value = { at: "making", share: message.share };
        return;
      case "made":
        if (stage.peek().at !== "making") return;
        tracing.begin(outlineOf());
        notSeen.value = null;
        stage.value = { at: "trace", photo: message.photo, address: URL.createObjectURL(message.photo.file) };
        return;
      case "mapped":
        return hasMap(message.figure);
      case "looking":
        looking.value = message.share;
        return;
      case "seen":
        looking.value = null;
        notSeen.value = message.seen === null ? text.photograph.notLooked : message.seen.problem;
        if (message.seen !== null && stage.peek().at === "trace") tracing.change(proposed(tracing.traced.peek(), message.seen));
    }
  }

  /** The board as its corners were measured; of other marks the rectangle that they span, to be dragged right. */
  function outlineOf(): { x: number; y: number }[] {
    const places = (fit.peek()?.marks ?? []).flatMap(({ place }) => (place === null ? [] : [{ x: place[0], y: place[1] }]));
    const xs = places.map(({ x }) => x);
    const ys = places.map(({ y }) => y);
    if (marks.laid.peek() === "corners") {
      const middle = { x: (Math.min(...xs) + Math.max(...xs)) / 2, y: (Math.min(...ys) + Math.max(...ys)) / 2 };
      const turn = (place: { x: number; y: number }): number => Math.atan2(place.y - middle.y, place.x - middle.x);
      return places.slice(0, 4).sort((a, b) => turn(a) - turn(b));
    }
    const [left, right, low, high] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    return [
      { x: left, y: low },
      { x: right, y: low },
      { x: right, y: high },
      { x: left, y: high },
    ];
  }

  marks.asked.subscribe((asked) => {
    if (marks.lacking.peek() > 0) fit.value = null;
    else post({ say: "fit", asked });
  });

  function lookClosely(at: PhotoSpot, side: number): void {
    const wish = { x: at.x, y: at.y, side };
    lookNext = isLooking ? wish : null;
    if (isLooking) return;
    isLooking = true;
    post({ say: "crop", ...wish });
  }

  return {
    stage,
    shown,
    waiting: computed(() => queue.value.length),
    marks,
    fit,
    closely,
    tracing,
    target,
    looking,
    notSeen,
    lookClosely,
    take(files) {
      const [first, ...rest] = files;
      if (first === undefined) return;
      if (stage.peek().at === "ask") {
        queue.value = rest;
        begin(first);
      } else queue.value = [...queue.value, ...files];
    },
    straighten() {
      const within = fit.peek()?.shown;
      if (fit.peek()?.error == null || within === undefined) return;
      const [width, height] = [within[2] - within[0], within[3] - within[1]];
      stage.value = { at: "making", share: 0 };
      post({ say: "make", pixel: Math.max(PIXEL, width / LONGEST, Math.sqrt((width * height) / MOST_PIXELS)) });
    },
    map: (outline) =>
      new Promise((answer) => {
        hasMap(null);
        hasMap = answer;
        if (worker === null) answer(null);
        post({ say: "map", outline: outline.flatMap(({ x, y }) => [x, y]) });
      }),
    toMarks() {
      const now = stage.peek();
      post({ say: "leave" });
      looking.value = null;
      if (now.at === "trace") URL.revokeObjectURL(now.address);
      if (shown.peek() !== null) stage.value = { at: "marks" };
    },
    next() {
      dismiss();
      target.value = { ...target.peek(), board: null, face: "up", newOutline: false, part: false };
      const [first, ...rest] = queue.value;
      queue.value = rest;
      stage.value = { at: "ask", refused: null };
      if (first !== undefined) begin(first);
    },
  };
}
