// The floor by the keyboard: exactly one thing on it is reached by Tab, arrows walk on from there,
// and Enter chooses.

import { effect, type ReadonlySignal } from "@preact/signals";

import type { Desk } from "../../state/desk";
import type { Looking } from "./looking";
import type { FloorPainter } from "./painter";
import { walked } from "./walk";

export interface Stops {
  key(event: KeyboardEvent): void;
  /** Something on the floor got the keyboard's focus. */
  focused(target: EventTarget | null): void;
  /** Keeps one stop in the picture, painted anew whenever `painted` changes; call what comes back to stop. */
  attach(world: SVGGElement, painted: ReadonlySignal<number>): () => void;
}

const WALKS = ["ArrowRight", "ArrowLeft", "ArrowDown", "ArrowUp", "Home", "End"];

export function makeStops(desk: Desk, painter: () => FloorPainter | null, looking: Looking): Stops {
  /** The fragment that had the focus last. */
  let last = "";

  function chosenElement(): SVGGElement | null {
    const chosen = desk.chosen.value;
    if (chosen === null) return null;
    return (chosen.kind === "part" ? painter()?.partElement(chosen.of) : painter()?.boardElement(chosen.of)) ?? null;
  }

  /** Whether it is the chosen part, which arrows move where it lies on a board. */
  function isMoved(here: SVGGElement): boolean {
    const chosen = desk.chosen.value;
    const isChosen = chosen?.kind === "part" && chosen.of.id === here.dataset["part"] && String(chosen.of.copy) === here.dataset["copy"];
    return isChosen && desk.state.value.selection?.placed === true;
  }

  return {
    key(event) {
      const here = document.activeElement;
      if (!(here instanceof SVGGElement) || (here.dataset["part"] === undefined && here.dataset["board"] === undefined)) return;
      if (event.key === "Enter" || event.key === " ") {
        event.preventDefault();
        event.stopPropagation();
        const id = here.dataset["part"] ?? here.dataset["board"] ?? "";
        const copy = Number(here.dataset["copy"] ?? "1");
        desk.choose({ kind: here.dataset["part"] !== undefined ? "part" : "board", of: { id, copy } });
        return;
      }
      if (event.key.startsWith("Arrow") && isMoved(here)) return;
      if (event.shiftKey || event.ctrlKey || event.metaKey || event.altKey) return;
      const paint = painter();
      if (!WALKS.includes(event.key) || paint === null) return;
      event.preventDefault();
      event.stopPropagation();
      const next = walked(paint, here, event.key);
      if (next === null) return;
      here.setAttribute("tabindex", "-1");
      next.setAttribute("tabindex", "0");
      next.focus({ preventScroll: true });
      looking.reveal(next);
    },
    focused(target) {
      if (target instanceof SVGGElement) last = target.dataset["fragment"] ?? last;
    },
    attach: (world, painted) =>
      effect(() => {
        void painted.value;
        const here = document.activeElement;
        // What has the focus, else what is chosen, else where the keyboard was last, else the first board.
        const usual = chosenElement() ?? painter()?.element(last) ?? world.querySelector("[data-board]") ?? world.querySelector("[data-part]");
        const current = here !== null && world.contains(here) ? here : usual;
        for (const other of world.querySelectorAll('[tabindex="0"]')) if (other !== current) other.setAttribute("tabindex", "-1");
        current?.setAttribute("tabindex", "0");
      }),
  };
}
