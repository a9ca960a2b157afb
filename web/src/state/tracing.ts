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
  /** Proposed and neither accepted nor refused: what speaks for it. */
  readonly proposed: string | null;
}

/** Lines that were seen, proposed like marked areas. */
export interface SeenLines {
  readonly lines: readonly (readonly Place[])[];
  readonly because: string;
}

export interface Traced {
  readonly outline: readonly Place[];
  readonly flaws: readonly Flaw[];
  /** Lines along the grain, where they were accepted. */
  readonly grain: readonly (readonly Place[])[];
  /** Proposed and neither accepted nor refused. */
  readonly seenOutline: SeenLines | null;
  readonly seenGrain: SeenLines | null;
}

const NOTHING: Traced = { outline: [], flaws: [], grain: [], seenOutline: null, seenGrain: null };

/** What is picked out: a corner of the outline or a marked area. */
export type Picked = { readonly what: "corner" | "flaw"; readonly at: number };

export interface Tracing {
  readonly traced: ReadonlySignal<Traced>;
  readonly picked: Signal<Picked | null>;
  readonly canGoBack: ReadonlySignal<boolean>;
  /** What is proposed and neither accepted nor refused. */
  readonly open: ReadonlySignal<number>;
  begin(outline: readonly Place[]): void;
  /** A step of its own, unless it goes on with what is dragged. */
  change(next: Partial<Traced>, goesOn?: boolean): void;
  back(): void;
  moveCorner(at: number, to: Place, goesOn?: boolean): void;
  /** A corner more, after the one at `after`. */
  addCorner(after: number, place: Place): void;
  addFlaw(flaw: Flaw): void;
  shapeFlaw(at: number, from: Place, to: Place, goesOn?: boolean): void;
  accept(flaw: Flaw): void;
  acceptOutline(): void;
  acceptGrain(): void;
  acceptAll(): void;
  /** Takes away what is picked out; an outline keeps three corners. */
  remove(picked: Picked): void;
}

/** Sizes of an area that is dropped by one tap, along and across in millimetres. */
export const DROPPED: Record<FlawKind, readonly [number, number]> = { knot: [36, 28], split: [120, 8], bark: [160, 16], sapwood: [300, 30], flaw: [40, 30] };

const put = <T>(list: readonly T[], at: number, item: T): T[] => list.map((each, index) => (index === at ? item : each));

export function makeTracing(): Tracing {
  const steps = signal<readonly Traced[]>([NOTHING]);
  const picked = signal<Picked | null>(null);
  const traced = computed(() => steps.value[steps.value.length - 1] ?? NOTHING);

  function change(next: Partial<Traced>, goesOn = false): void {
    const before = goesOn ? steps.value.slice(0, -1) : steps.value;
    steps.value = [...before, { ...traced.value, ...next }];
  }

  const accepted = (flaw: Flaw): Flaw => ({ ...flaw, proposed: null });
  const outlineSeen = ({ outline, seenOutline }: Traced): Partial<Traced> => ({ outline: seenOutline?.lines[0] ?? outline, seenOutline: null });
  const grainSeen = ({ grain, seenGrain }: Traced): Partial<Traced> => ({ grain: seenGrain?.lines ?? grain, seenGrain: null });

  return {
    open: computed(() => {
      const { flaws, seenOutline, seenGrain } = traced.value;
      return flaws.filter((flaw) => flaw.proposed !== null).length + (seenOutline === null ? 0 : 1) + (seenGrain === null ? 0 : 1);
    }),
    traced,
    picked,
    canGoBack: computed(() => steps.value.length > 1),
    begin(outline) {
      steps.value = [{ ...NOTHING, outline }];
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
    accept: (flaw) => change({ flaws: traced.value.flaws.map((each) => (each === flaw ? accepted(each) : each)) }),
    acceptOutline: () => change(outlineSeen(traced.value)),
    acceptGrain: () => change(grainSeen(traced.value)),
    acceptAll: () => change({ flaws: traced.value.flaws.map(accepted), ...outlineSeen(traced.value), ...grainSeen(traced.value) }),
    remove({ what, at }) {
      const { outline, flaws } = traced.value;
      if (what === "flaw") change({ flaws: flaws.filter((_, index) => index !== at) });
      else if (outline.length > 3) change({ outline: outline.filter((_, index) => index !== at) });
      picked.value = null;
    },
  };
}
