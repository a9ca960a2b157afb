// The marks of a photograph and what is known of them: which way they are laid, sizes as they were typed, marks
// and lengths to spare.

import { computed, signal, type ReadonlySignal, type Signal } from "@preact/signals";

import type { PhotoAsked, PhotoLaid, PhotoSpot } from "../protocol/generated";

/** What is set beside the marks of the way they are laid. */
export type Extra =
  | { readonly is: "mark"; readonly seen: PhotoSpot | null; readonly along: string; readonly across: string }
  | { readonly is: "check"; readonly from: PhotoSpot | null; readonly to: PhotoSpot | null; readonly length: string };

/** Sizes as they were typed. */
export interface Sizes {
  readonly length: string;
  readonly width: string;
  readonly rightWidth: string;
}

/** A spot that is set: of the marks as they are laid, or an end of an extra. */
export interface SpotSet {
  readonly key: string;
  readonly spot: PhotoSpot;
}

/** How a length was understood, or what is wrong with it. */
export interface LengthTyped {
  readonly mm: number | null;
  readonly shown: string | null;
  readonly problem: string | null;
}

export interface PhotoMarks {
  readonly laid: ReadonlySignal<PhotoLaid>;
  readonly across: Signal<boolean>;
  readonly sizes: Signal<Sizes>;
  readonly extras: Signal<readonly Extra[]>;
  /** In the order in which they are asked about: marks, then lengths to check. */
  readonly spots: ReadonlySignal<readonly SpotSet[]>;
  readonly chosen: Signal<string | null>;
  /** Marks that are still to be set before anything can be said. */
  readonly lacking: ReadonlySignal<number>;
  /** All of it, as the straightening is asked. */
  readonly asked: ReadonlySignal<PhotoAsked>;
  read(typed: string): LengthTyped;
  /** Another way of laying marks; those that are set already stay where there is use for them. */
  lay(way: PhotoLaid): void;
  /** The board's left end is the right one. */
  turnRound(): void;
  /** One thing more to set; the next taps are its. */
  add(extra: Extra): void;
  set(at: PhotoSpot): void;
  move(key: string, to: PhotoSpot): void;
  remove(key: string): void;
  /** Another photo: its sizes are typed anew, the way marks are laid is most likely the same. */
  clear(): void;
}

const needed: Record<PhotoLaid, number> = { corners: 4, rectangle: 4, rule: 2, places: 0 };
const NO_SIZES: Sizes = { length: "", width: "", rightWidth: "" };
const NO_MARK: Extra = { is: "mark", seen: null, along: "", across: "" };

export const isUnset = (extra: Extra): boolean => (extra.is === "mark" ? extra.seen === null : extra.from === null || extra.to === null);

/** `readLength`: as the job reads lengths. */
export function makePhotoMarks(readLength: (typed: string) => LengthTyped | null): PhotoMarks {
  const laid = signal<PhotoLaid>("corners");
  const across = signal(false);
  const turned = signal(0);
  const sizes = signal(NO_SIZES);
  const marks = signal<readonly PhotoSpot[]>([]);
  const extras = signal<readonly Extra[]>([]);
  const chosen = signal<string | null>(null);

  const read = (typed: string): LengthTyped => (typed.trim() === "" ? null : readLength(typed)) ?? { mm: null, shown: null, problem: null };
  const inMm = (typed: string): number => read(typed).mm ?? 0;

  const ends = (is: Extra["is"]): SpotSet[] =>
    extras.value.flatMap((extra, at) => {
      if (extra.is !== is) return [];
      const set = extra.is === "mark" ? { seen: extra.seen } : { from: extra.from, to: extra.to };
      return Object.entries(set).flatMap(([end, spot]) => (spot === null ? [] : [{ key: `${end}-${at}`, spot }]));
    });
  const lacking = computed(() => Math.max(0, needed[laid.value] - marks.value.length));

  const asked = computed<PhotoAsked>(() => ({
    laid: laid.value,
    length: inMm(sizes.value.length),
    width: inMm(sizes.value.width),
    right_width: laid.value === "corners" && sizes.value.rightWidth.trim() !== "" ? inMm(sizes.value.rightWidth) : null,
    across: across.value,
    turned: turned.value,
    marks: [
      ...marks.value.map((seen) => ({ seen, place: null })),
      ...extras.value.flatMap((extra) => (extra.is === "mark" && extra.seen !== null ? [{ seen: extra.seen, place: placeOf(extra) }] : [])),
    ],
    checks: extras.value.flatMap((extra) =>
      extra.is === "check" && extra.from !== null && extra.to !== null && inMm(extra.length) > 0 ? [{ from: extra.from, to: extra.to, length: inMm(extra.length) }] : [],
    ),
  }));

  /** None before both are typed: a place that is half known is not known. */
  function placeOf({ along, across }: { along: string; across: string }): [number, number] | null {
    const [x, y] = [read(along).mm, read(across).mm];
    return x === null || y === null ? null : [x, y];
  }

  return {
    laid,
    across,
    sizes,
    extras,
    chosen,
    lacking,
    asked,
    read,
    spots: computed(() => [...marks.value.map((spot, at) => ({ key: `mark-${at}`, spot })), ...ends("mark"), ...ends("check")]),
    lay(way) {
      laid.value = way;
      marks.value = marks.value.slice(0, needed[way]);
      turned.value = 0;
      // Marks anywhere are all set one by one.
      if (way === "places" && extras.value.length === 0) extras.value = [NO_MARK];
    },
    turnRound: () => (turned.value = (turned.value + 2) % 4),
    add: (extra) => (extras.value = [...extras.value, extra]),
    set(at) {
      if (lacking.peek() > 0) {
        marks.value = [...marks.value, at];
        chosen.value = `mark-${marks.value.length - 1}`;
        return;
      }
      const open = extras.value.findIndex(isUnset);
      const extra = extras.value[open];
      if (extra === undefined) return;
      const end = extra.is === "mark" ? "seen" : extra.from === null ? "from" : "to";
      extras.value = extras.value.with(open, { ...extra, [end]: at } as Extra);
      chosen.value = `${end}-${open}`;
    },
    move(key, to) {
      const [end = "", at = "0"] = key.split("-");
      if (end === "mark") marks.value = marks.value.with(Number(at), to);
      else extras.value = extras.value.map((extra, index) => (index === Number(at) ? ({ ...extra, [end]: to } as Extra) : extra));
    },
    remove(key) {
      const [end = "", at = "0"] = key.split("-");
      chosen.value = null;
      if (end === "mark") marks.value = marks.value.toSpliced(Number(at), 1);
      else extras.value = extras.value.toSpliced(Number(at), 1);
    },
    clear() {
      marks.value = [];
      extras.value = laid.value === "places" ? [NO_MARK] : [];
      chosen.value = null;
      turned.value = 0;
      sizes.value = NO_SIZES;
    },
  };
}
