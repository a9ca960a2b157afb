// Where the keyboard's focus goes: to what an action brought, and never to nowhere when what had
// it is gone.

import type { Attention } from "../state/desk";
import { keyOf } from "./FormView";

const FOCUSABLE = "button, input, select, textarea, a[href], summary, [tabindex]";

const isThere = (element: Element): boolean => element.isConnected && element.getClientRects().length > 0;

function hasNothing(): boolean {
  const here = document.activeElement;
  return here === null || here === document.body || !isThere(here);
}

/** Puts the focus on something that Tab need not reach, such as a heading. */
function focusOn(element: HTMLElement | SVGElement | null | undefined): boolean {
  if (element == null || !isThere(element)) return false;
  if (!element.matches(FOCUSABLE)) element.setAttribute("tabindex", "-1");
  element.focus();
  return document.activeElement === element;
}

const found = (selector: string): HTMLElement | SVGElement | null => document.querySelector<HTMLElement | SVGElement>(selector);

const heading = (): boolean => focusOn(found(".sheet-body h2, .sheet-body h3")) || focusOn(found(".sheet-body"));

/** The one thing of the floor that Tab reaches. */
export function focusFloor(): boolean {
  return focusOn(found('.world [tabindex="0"]')) || focusOn(found(".floor .button, .floor"));
}

export function focusSheet(): boolean {
  return heading();
}

/** Does something after the page has been drawn, which is done in a microtask or two, and before the next key. */
export function onceDrawn(then: () => void, turns = 4): void {
  queueMicrotask(turns === 0 ? then : () => onceDrawn(then, turns - 1));
}

/** Goes where an action asks for attention. */
export function attend(wish: Attention): void {
  switch (wish.to) {
    case "row":
      if (!focusOn(found(`[data-row="${CSS.escape(keyOf(wish.thing))}"]`))) heading();
      return;
    case "bench":
      if (!focusOn(found('.next-cut [data-action="cut-done"]'))) heading();
      return;
    case "lines":
      if (!focusOn(found('[data-field="board-lines"]'))) heading();
      return;
    case "drawing":
      focusOn(found(".draw-bar"));
      return;
    case "tick": {
      const all = [...document.querySelectorAll<HTMLElement>(".cut-list .tick")];
      if (!focusOn(all[Math.min(wish.at, all.length - 1)])) heading();
      return;
    }
    case "form": {
      const field = wish.field === null ? null : found(`.sheet .form [data-field="${CSS.escape(wish.field)}"]`);
      if (field !== null) {
        if (document.activeElement !== field) focusOn(field);
        field.scrollIntoView({ block: "nearest" });
        return;
      }
      // On a screen that is touched, a field would bring up the keyboard and cover the form.
      const types = wish.fresh && !window.matchMedia("(pointer: coarse)").matches;
      const first = types ? document.querySelector<HTMLInputElement>(".sheet .form :is(input, textarea):not([type=checkbox], [type=radio])") : null;
      if (focusOn(first)) first?.select();
      else heading();
      return;
    }
  }
}

/** The same thing elsewhere: a part that went to the trestle or came from there, a fragment drawn anew. */
function elsewhere(lost: Element): HTMLElement | SVGElement | null {
  if (!(lost instanceof HTMLElement || lost instanceof SVGElement)) return null;
  const { fragment, part, trestlePart, copy } = lost.dataset;
  if (fragment !== undefined) {
    const again = found(`.world [data-fragment="${CSS.escape(fragment)}"]`);
    if (again !== null) return again;
  }
  const of = (name: string, id: string): HTMLElement | SVGElement | null =>
    found(`[data-${name}="${CSS.escape(id)}"][data-copy="${CSS.escape(copy ?? "1")}"]`);
  // Copies of a part lie on each other there.
  if (part !== undefined) return found(`[data-trestle-part="${CSS.escape(part)}"]`);
  if (trestlePart !== undefined) return of("part", trestlePart);
  return null;
}

/** What stands nearest to where the focus was. `trail`: what had it and everything round it, as it was then. */
function nearest(trail: readonly Element[]): void {
  const [lost, ...round] = trail;
  if (lost === undefined || focusOn(elsewhere(lost))) return;
  for (const each of round) {
    if (!isThere(each)) continue;
    if (each.matches(".sheet-body, .sheet")) break;
    if (each.matches(".floor, .trestle")) {
      if (focusFloor()) return;
      break;
    }
    if (each.matches("#page, body")) break;
    const here = [...each.querySelectorAll<HTMLElement>(FOCUSABLE)].filter(isThere);
    // In a list the next row has moved up; where the last one went, its neighbour stands for it.
    const alike = here.filter((other) => other.tagName === lost.tagName && other.className === lost.className);
    if (focusOn(alike.at(-1) ?? here.at(-1))) return;
  }
  if (!heading()) focusOn(found(".top button"));
}

/** Watches over the focus; gives a way to stop. */
export function keepFocus(): () => void {
  let trail: Element[] = [];

  function remember(event: FocusEvent): void {
    trail = [];
    for (let each = event.target as Element | null; each !== null; each = each.parentElement) trail.push(each);
  }

  function leave(event: FocusEvent): void {
    // Somebody pressed beside everything: then nothing has the focus, as it should be.
    const left = event.target as Element;
    if (event.relatedTarget === null) setTimeout(() => trail[0] === left && isThere(left) && hasNothing() && (trail = []));
  }

  function check(): void {
    const lost = trail[0];
    if (lost === undefined || isThere(lost) || !hasNothing()) return;
    const before = trail;
    trail = [];
    nearest(before);
  }

  const soon = (): void => void requestAnimationFrame(check);
  const watch = new MutationObserver(check);
  watch.observe(document.body, { childList: true, subtree: true });
  document.addEventListener("focusin", remember);
  document.addEventListener("focusout", leave);
  // What is only hidden changes no children.
  window.addEventListener("keydown", soon);
  window.addEventListener("click", soon);
  return () => {
    watch.disconnect();
    document.removeEventListener("focusin", remember);
    document.removeEventListener("focusout", leave);
    window.removeEventListener("keydown", soon);
    window.removeEventListener("click", soon);
  };
}
