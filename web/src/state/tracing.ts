// What is traced over a straightened photograph: the outline and the marked areas, in millimetres of the
// board's frame, with every step taken back in turn. What the program proposes lies beside it until it is accepted.

import { computed, signal, type ReadonlySignal, type Signal } from "@preact/signals";

export interface Place {
  readonly x: number;
  readonly y: number;
}

export type FlawKind = "knot" | "split" | "bark" | "sapwood" | "flaw";

/** A marked area: a shape within its box. */
export interface Flaw {
  readonly kind: FlawKind;
  readonly from: Place;
  readonly to: Place;
  /** Corners as shares of the box; none for an oval or a rectangle. */
  readonly corners: readonly Place[] | null;
  /** Proposed and neither accepted nor refused: how sure, and what speaks for it. */
  readonly proposed: { readonly sure: number; readonly because: string } | null;
}

export interface Traced {
  readonly outline: readonly Place[];
  readonly flaws: readonly Flaw[];
}

/** What is picked out: a corner of the outline or a marked area. */
export type Picked = { readonly what: "corner" | "flaw"; readonly at: number };

export interface Tracing {
  readonly traced: ReadonlySignal<Traced>;
  readonly picked: Signal<Picked | null>;
  readonly canGoBack: ReadonlySignal<boolean>;
  begin(traced: Traced): void;
  /** A step of its own, unless it goes on with what is dragged. */
  change(next: Partial<Traced>, goesOn?: boolean): void;
  back(): void;
  moveCorner(at: number, to: Place, goesOn?: boolean): void;
  /** A corner more, after the one at `after`. */
  addCorner(after: number, place: Place): void;
  addFlaw(flaw: Flaw): void;
  shapeFlaw(at: number, from: Place, to: Place, goesOn?: boolean): void;
  accept(which: (flaw: Flaw) => boolean): void;
  /** Takes away what is picked out; an outline keeps three corners. */
  remove(picked: Picked): void;
}

/** Sizes of an area that is dropped by one tap, along and across in millimetres. */
export const DROPPED: Record<FlawKind, readonly [number, number]> = { knot: [36, 28], split: [120, 8], bark: [160, 16], sapwood: [300, 30], flaw: [40, 30] };

const put = <T>(list: readonly T[], at: number, item: T): T[] => list.map((each, index) => (index === at ? item : each));

export function makeTracing(): Tracing {
  const steps = signal<readonly Traced[]>([{ outline: [], flaws: [] }]);
  const picked = signal<Picked | null>(null);
  const traced = computed(() => steps.value[steps.value.length - 1] ?? { outline: [], flaws: [] });

  function change(next: Partial<Traced>, goesOn = false): void {
    const before = goesOn ? steps.value.slice(0, -1) : steps.value;
    steps.value = [...before, { ...traced.value, ...next }];
  }

  return {
    traced,
    picked,
    canGoBack: computed(() => steps.value.length > 1),
    begin(first) {
      steps.value = [first];
      picked.value = null;
    },
    change,
    back() {
      if (steps.value.length > 1) steps.value = steps.value.slice(0, -1);
      picked.value = null;
    },
    moveCorner: (at, to, goesOn) => change({ outline: put(traced.value.outline, at, to) }, goesOn),
    addCorner(after, place) {
      change({ outline: traced.value.outline.toSpliced(after + 1, 0, place) });
      picked.value = { what: "corner", at: after + 1 };
    },
    addFlaw(flaw) {
      change({ flaws: [...traced.value.flaws, flaw] });
      picked.value = { what: "flaw", at: traced.value.flaws.length - 1 };
    },
    shapeFlaw(at, a, b, goesOn) {
      const flaw = traced.value.flaws[at];
      if (flaw === undefined) return;
      const from = { x: Math.min(a.x, b.x), y: Math.min(a.y, b.y) };
      const to = { x: Math.max(a.x, b.x, from.x + 1), y: Math.max(a.y, b.y, from.y + 1) };
      // Whoever drags it right has accepted it.
      change({ flaws: put(traced.value.flaws, at, { ...flaw, from, to, proposed: null }) }, goesOn);
    },
    accept(which) {
      change({ flaws: traced.value.flaws.map((flaw) => (which(flaw) ? { ...flaw, proposed: null } : flaw)) });
    },
    remove({ what, at }) {
      const { outline, flaws } = traced.value;
      if (what === "flaw") change({ flaws: flaws.filter((_, index) => index !== at) });
      else if (outline.length > 3) change({ outline: outline.filter((_, index) => index !== at) });
      picked.value = null;
    },
  };
}
