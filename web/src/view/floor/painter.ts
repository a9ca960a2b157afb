// Puts the fragments that the core drew on the floor and keeps them in their order. The
// page draws nothing of its own here: it only moves, marks and points at fragments.

import type { CopyOf, Fragment, Scene } from "../../protocol/generated";
import type { Box, Viewport } from "../../gestures/viewport";
import { withPhotos } from "../../state/photos";
import { text } from "../../text";

const SVG = "http://www.w3.org/2000/svg";

interface Shown {
  readonly element: SVGGElement;
  readonly layer: number;
  readonly id: string;
}

export interface Changed {
  readonly parts: readonly string[];
  readonly boards: readonly string[];
  readonly gone: CopyOf | null;
}

export interface FloorPainter {
  /** Shows what has changed; `anew`: the scene is all there is. */
  paint(scene: Scene, anew: boolean): void;
  look(view: Viewport): void;
  bounds(): Box;
  boardBox(board: CopyOf): Box | null;
  boards(): readonly Box[];
  /** What the last picture changed: fragments of parts and boards, and a part that is on no board any more. */
  changed(): Changed;
  element(fragment: string): SVGGElement | null;
  partElement(part: CopyOf): SVGGElement | null;
  boardElement(board: CopyOf): SVGGElement | null;
  /** Where each board lies, in the job's order; `key` is what its elements bear as `data-on-board`. */
  places(): readonly { readonly key: string; readonly box: Box }[];
  boardByKey(key: string): SVGGElement | null;
  partsOn(key: string): SVGGElement[];
  /** Draws something that is in the hand above everything else. */
  hold(fragment: Fragment | null): SVGGElement | null;
}

const boardKey = (board: CopyOf): string => `${board.id}#${board.copy}`;

/** `address`: where a photo can be shown from. */
export function makePainter(world: SVGGElement, held: SVGGElement, address: (hash: string) => string | null): FloorPainter {
  const shown = new Map<string, Shown>();
  let bounds: Box = { x: 0, y: 0, width: 1000, height: 600 };
  let boards: Scene["boards"] = [];
  let changed: Changed = { parts: [], boards: [], gone: null };

  /** Makes an element of SVG text that the core wrote (and escaped). */
  function elementOf(svg: string): SVGGElement | null {
    const holder = document.createElementNS(SVG, "svg");
    holder.innerHTML = withPhotos(svg, address);
    const first = holder.firstElementChild;
    return first instanceof SVGGElement ? first : null;
  }

  /** What a picture changes, before it does. */
  function changes(scene: Scene): Changed {
    const ids = (is: (fragment: Fragment) => boolean): string[] => scene.fragments.filter(is).map((fragment) => fragment.id);
    const gone = scene.removed.map((id) => shown.get(id)?.element.dataset).find((data) => data?.["part"] !== undefined);
    return {
      parts: ids((fragment) => fragment.part !== null),
      boards: ids((fragment) => fragment.id.startsWith("board-")),
      gone: gone === undefined ? null : { id: gone["part"] ?? "", copy: Number(gone["copy"] ?? "1") },
    };
  }

  function inOrder(a: Shown, b: Shown): number {
    return a.layer - b.layer || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);
  }

  function dress(element: SVGGElement, fragment: Fragment): void {
    element.dataset["fragment"] = fragment.id;
    const part = fragment.part;
    const board = fragment.board;
    if (board !== null) element.dataset["onBoard"] = boardKey(board);
    if (part !== null) {
      element.dataset["part"] = part.id;
      element.dataset["copy"] = String(part.copy);
    } else if (board !== null && fragment.id.startsWith("board-")) {
      element.dataset["board"] = board.id;
      element.dataset["copy"] = String(board.copy);
    } else {
      return;
    }
    element.setAttribute("tabindex", "-1");
    element.setAttribute("role", "button");
    const title = element.querySelector(":scope > title")?.textContent ?? "";
    const name = element.getAttribute("aria-label") ?? (title !== "" ? title : (part?.id ?? board?.id ?? ""));
    element.setAttribute("aria-label", part === null || board === null ? name : text.floor.partOn(name, boardName(board)));
    // Also what it is: chosen or not.
    element.setAttribute("aria-pressed", String(element.classList.contains("hs-selected")));
  }

  /** "A"; "H, no. 2" where there are several. */
  function boardName(board: CopyOf): string {
    const several = boards.filter((each) => each.board.id === board.id).length > 1;
    return several ? text.floor.oneOf(board.id, board.copy) : board.id;
  }

  function place(entry: Shown): void {
    // Fragments come and go by the dozen at most, so a walk from the end is quick enough.
    let next: Element | null = null;
    for (const other of world.children) {
      const known = shown.get((other as SVGGElement).dataset["fragment"] ?? "");
      if (known !== undefined && known !== entry && inOrder(entry, known) < 0) {
        next = other;
        break;
      }
    }
    world.insertBefore(entry.element, next);
  }

  function remove(id: string): void {
    shown.get(id)?.element.remove();
    shown.delete(id);
  }

  const found = (selector: string): SVGGElement | null => world.querySelector<SVGGElement>(selector);
  const byCopy = (kind: "part" | "board", of: CopyOf): SVGGElement | null =>
    found(`[data-${kind}="${CSS.escape(of.id)}"][data-copy="${of.copy}"]`);

  return {
    paint(scene, anew) {
      if (anew) shown.clear();
      changed = changes(scene);
      bounds = scene.bounds;
      boards = scene.boards;
      const focused = document.activeElement instanceof SVGGElement ? document.activeElement.dataset["fragment"] : undefined;
      for (const id of scene.removed) remove(id);
      if (shown.size === 0) {
        // The first time, or after a reset: put all in at once, already in order.
        const entries: Shown[] = [];
        for (const fragment of scene.fragments) {
          const element = elementOf(fragment.svg);
          if (element === null) continue;
          dress(element, fragment);
          entries.push({ element, layer: fragment.layer, id: fragment.id });
        }
        entries.sort(inOrder);
        for (const entry of entries) shown.set(entry.id, entry);
        world.replaceChildren(...entries.map((entry) => entry.element));
      } else {
        for (const fragment of scene.fragments) {
          const element = elementOf(fragment.svg);
          if (element === null) continue;
          dress(element, fragment);
          const old = shown.get(fragment.id);
          const entry: Shown = { element, layer: fragment.layer, id: fragment.id };
          shown.set(fragment.id, entry);
          if (old !== undefined && old.layer === fragment.layer) old.element.replaceWith(element);
          else {
            old?.element.remove();
            place(entry);
          }
        }
      }
      if (focused !== undefined) shown.get(focused)?.element.focus({ preventScroll: true });
    },
    look(view) {
      const transform = `translate(${view.x} ${view.y}) scale(${view.scale})`;
      world.setAttribute("transform", transform);
      // It lies in a layer over the whole window, the picture in the floor's frame.
      const frame = world.ownerSVGElement?.getBoundingClientRect();
      held.setAttribute("transform", `translate(${frame?.left ?? 0} ${frame?.top ?? 0}) ${transform}`);
    },
    bounds: () => bounds,
    boardBox: (board) =>
      boards.find((each) => each.board.id === board.id && each.board.copy === board.copy)?.bounds ?? null,
    boards: () => boards.map((each) => each.bounds),
    changed: () => changed,
    element: (fragment) => shown.get(fragment)?.element ?? null,
    partElement: (part) => byCopy("part", part),
    boardElement: (board) => byCopy("board", board),
    places: () => boards.map((each) => ({ key: boardKey(each.board), box: each.bounds })),
    boardByKey: (key) => found(`[data-board][data-on-board="${CSS.escape(key)}"]`),
    partsOn: (key) => [...world.querySelectorAll<SVGGElement>(`[data-part][data-on-board="${CSS.escape(key)}"]`)],
    hold(fragment) {
      held.replaceChildren();
      if (fragment === null) return null;
      const element = elementOf(fragment.svg);
      if (element !== null) held.append(element);
      return element;
    },
  };
}
