// Where the keyboard goes on the floor: left and right along a board's parts, up and down from
// board to board by where they lie.

import type { FloorPainter } from "./painter";

interface Spot {
  readonly element: SVGGElement;
  readonly x: number;
  readonly y: number;
}

const spot = (element: SVGGElement): Spot => {
  const part = element.querySelector(".hs-blank") ?? element;
  const box = part.getBoundingClientRect();
  return { element, x: box.left + box.width / 2, y: box.top + box.height / 2 };
};

/** The parts on the board that an element shows or lies on, along it. */
function partsBeside(painter: FloorPainter, element: SVGGElement): SVGGElement[] {
  return painter
    .partsOn(element.dataset["onBoard"] ?? "")
    .map(spot)
    .sort((a, b) => a.x - b.x || a.y - b.y)
    .map((each) => each.element);
}

/** The next board in a direction, those straight on before those aside. */
function nextBoard(painter: FloorPainter, from: SVGGElement, dx: number, dy: number): SVGGElement | null {
  const places = painter.places();
  const here = places.find((each) => each.key === from.dataset["onBoard"]);
  if (here === undefined) return null;
  const aside = (low: number, high: number, otherLow: number, otherHigh: number): number => Math.max(0, otherLow - high, low - otherHigh);
  let best: string | null = null;
  let least = Infinity;
  for (const { key, box } of places) {
    const ahead = dx * (box.x - here.box.x) + dy * (box.y - here.box.y);
    if (key === here.key || ahead <= 0) continue;
    const off =
      dy !== 0
        ? aside(here.box.x, here.box.x + here.box.width, box.x, box.x + box.width)
        : aside(here.box.y, here.box.y + here.box.height, box.y, box.y + box.height);
    const cost = ahead + 4 * off;
    if (cost < least) [best, least] = [key, cost];
  }
  return best === null ? null : painter.boardByKey(best);
}

/** Where a key leads from a board or part; none where it leads nowhere. */
export function walked(painter: FloorPainter, from: SVGGElement, key: string): SVGGElement | null {
  const isBoard = from.dataset["board"] !== undefined;
  const beside = partsBeside(painter, from);
  const at = beside.indexOf(from);
  switch (key) {
    case "ArrowRight":
      return beside[at + 1] ?? nextBoard(painter, from, 1, 0);
    case "ArrowLeft":
      if (isBoard) return nextBoard(painter, from, -1, 0);
      return beside[at - 1] ?? painter.boardByKey(from.dataset["onBoard"] ?? "");
    case "ArrowDown":
    case "ArrowUp": {
      const board = nextBoard(painter, from, 0, key === "ArrowDown" ? 1 : -1);
      if (board === null || isBoard) return board;
      // From a part to the one that lies nearest along, as one would reach for it.
      const x = spot(from).x;
      const there = partsBeside(painter, board).map(spot);
      return there.sort((a, b) => Math.abs(a.x - x) - Math.abs(b.x - x))[0]?.element ?? board;
    }
    case "Home":
    case "End": {
      const places = painter.places();
      const last = key === "Home" ? places[0] : places.at(-1);
      return last === undefined ? null : painter.boardByKey(last.key);
    }
    default:
      return null;
  }
}
