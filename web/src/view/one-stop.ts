// A row of buttons that Tab reaches once: arrows walk along it.

import { useLayoutEffect, useRef } from "preact/hooks";

const itemsOf = (row: HTMLElement): HTMLElement[] =>
  [...row.querySelectorAll<HTMLElement>("button")].filter((each) => each.getClientRects().length > 0);

function stopAt(row: HTMLElement, wanted: HTMLElement | undefined): void {
  for (const each of row.querySelectorAll<HTMLElement>("button")) each.tabIndex = each === wanted ? 0 : -1;
}

/** `usual`: what Tab reaches while the focus is elsewhere; else what it reached last. */
export function useOneStop<Row extends HTMLElement>(usual?: string): { current: Row | null } {
  const ref = useRef<Row | null>(null);

  /** `anew`: also where there is one stop already, which may have been hidden. */
  function settle(anew: boolean): void {
    const row = ref.current;
    if (row === null) return;
    const stops = [...row.querySelectorAll<HTMLElement>("button")].filter((each) => each.tabIndex === 0);
    const [only] = stops;
    // Rows of hundreds are drawn anew many times a second: what needs no layout comes first.
    const isWished = only !== undefined && (usual === undefined || only.matches(usual) || row.querySelector(usual) === null);
    if (!anew && stops.length === 1 && (isWished || row.contains(document.activeElement))) return;
    const items = itemsOf(row);
    const inside = items.find((each) => each === document.activeElement);
    const wished = usual === undefined ? undefined : items.find((each) => each.matches(usual));
    stopAt(row, inside ?? wished ?? items.find((each) => each.tabIndex === 0) ?? items[0]);
  }

  useLayoutEffect(() => settle(false));

  useLayoutEffect(() => {
    const row = ref.current;
    if (row === null) return;
    const walk = (event: KeyboardEvent): void => {
      if (event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return;
      const items = itemsOf(row);
      const at = items.findIndex((each) => each === document.activeElement);
      if (at < 0) return;
      const to = { ArrowRight: at + 1, ArrowDown: at + 1, ArrowLeft: at - 1, ArrowUp: at - 1, Home: 0, End: items.length - 1 }[event.key];
      if (to === undefined) return;
      event.preventDefault();
      event.stopPropagation();
      const next = items[(to + items.length) % items.length];
      stopAt(row, next);
      next?.focus();
    };
    row.addEventListener("keydown", walk);
    const leave = (): void => settle(false);
    row.addEventListener("focusout", leave);
    // Buttons that a narrower window hides are no stop.
    const watch = new ResizeObserver(() => settle(true));
    watch.observe(row);
    return () => {
      row.removeEventListener("keydown", walk);
      row.removeEventListener("focusout", leave);
      watch.disconnect();
    };
  }, []);

  return ref;
}
