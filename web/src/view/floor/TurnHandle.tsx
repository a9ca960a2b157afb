// The handle by which the chosen part is turned: an arc to pull round, as turning is drawn on
// paper, with its word. It stands where it covers nothing else.

import { useSignal, useSignalEffect, type Signal } from "@preact/signals";

import type { Viewport } from "../../gestures/viewport";
import { text } from "../../text";
import { useApp } from "../app-context";
import { FOOT_HEIGHT, RULER_HEIGHT } from "./measures";
import type { FloorPainter } from "./painter";

/** From the side of what it stands beside to its middle. */
const AWAY = 26;
/** The same above or below a board: the gap between boards is low. */
const BETWEEN = 15;
/** Half the side of what a finger may touch. */
const TOUCH = 22;
/** Half the sides of the slip that is seen. */
const SLIP = { x: 17, y: 13 };

interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

interface Place {
  readonly x: number;
  readonly y: number;
}

const shared = (a: Box, b: Box): number =>
  Math.max(0, Math.min(a.right, b.right) - Math.max(a.left, b.left)) *
  Math.max(0, Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top));

/** Beside the part or its board, where the least of anything else is covered; the nearest of several. */
function freePlace(part: Box, board: Box, others: readonly Box[], seen: Box): Place {
  const middle = { x: (part.left + part.right) / 2, y: (part.top + part.bottom) / 2 };
  const places: Place[] = [
    { x: part.right + AWAY, y: middle.y },
    { x: part.left - AWAY, y: middle.y },
    { x: part.right - TOUCH, y: part.top - AWAY },
    { x: part.right - TOUCH, y: part.bottom + AWAY },
    { x: board.right + AWAY, y: middle.y },
    { x: part.right - TOUCH, y: board.top - BETWEEN },
    { x: part.right - TOUCH, y: board.bottom + BETWEEN },
    { x: board.left - AWAY, y: middle.y },
  ];
  let best: Place = places[0] ?? middle;
  let least = Infinity;
  for (const place of places) {
    const around = (x: number, y: number): Box => ({ left: place.x - x, top: place.y - y, right: place.x + x, bottom: place.y + y });
    const [touched, slip] = [around(TOUCH, TOUCH), around(SLIP.x, SLIP.y)];
    const outside = 4 * SLIP.x * SLIP.y - shared(slip, seen);
    // Above all the slip itself must hide nothing.
    const covered = others.reduce((sum, other) => sum + 20 * shared(slip, other) + shared(touched, other), 0) + 60 * outside;
    if (covered < least) [best, least] = [place, covered];
  }
  return best;
}

export function TurnHandle({
  view,
  painted,
  painter,
}: {
  view: Signal<Viewport>;
  painted: Signal<number>;
  painter: { current: FloorPainter | null };
}) {
  const { desk } = useApp();
  const at = useSignal<(Place & { from: Place }) | null>(null);

  useSignalEffect(() => {
    void painted.value;
    // The picture must stand where the view says before it is measured.
    painter.current?.look(view.value);
    const chosen = desk.chosen.value;
    const selection = desk.state.value.selection;
    const element = chosen?.kind === "part" && selection?.placed === true ? painter.current?.partElement(chosen.of) : null;
    const svg = element?.ownerSVGElement;
    if (element == null || svg == null) {
      at.value = null;
      return;
    }
    const frame = svg.getBoundingClientRect();
    const inFrame = (box: DOMRect): Box => ({
      left: box.left - frame.left,
      top: box.top - frame.top,
      right: box.right - frame.left,
      bottom: box.bottom - frame.top,
    });
    // The blank alone: words that stand outside the board with a leader are no part of it.
    const blank = element.querySelector(".hs-blank") ?? element;
    const part = inFrame(blank.getBoundingClientRect());
    const { scale, x, y } = view.value;
    const boards = (painter.current?.boards() ?? []).map((board) => ({
      left: board.x * scale + x,
      top: board.y * scale + y,
      right: (board.x + board.width) * scale + x,
      bottom: (board.y + board.height) * scale + y,
    }));
    const middle = { x: (part.left + part.right) / 2, y: (part.top + part.bottom) / 2 };
    const holds = (box: Box): boolean => box.left <= middle.x && box.right >= middle.x && box.top <= middle.y && box.bottom >= middle.y;
    const board = boards.find(holds) ?? part;
    const neighbours = [...svg.querySelectorAll<SVGGElement>(`.world > [data-part][data-on-board="${CSS.escape(element.dataset["onBoard"] ?? "")}"]`)]
      .filter((other) => other !== element)
      .map((other) => inFrame((other.querySelector(".hs-blank") ?? other).getBoundingClientRect()));
    const others = [...neighbours, ...boards.filter((box) => box !== board)];
    const seen = { left: 0, top: RULER_HEIGHT, right: frame.width, bottom: frame.height - FOOT_HEIGHT };
    const place = freePlace(part, board, others, seen);
    const clamp = (value: number, low: number, high: number): number => Math.max(low, Math.min(value, high));
    at.value = { ...place, from: { x: clamp(place.x, part.left, part.right), y: clamp(place.y, part.top, part.bottom) } };
  });

  const where = at.value;
  if (where === null) return null;
  return (
    <g class="turn-handle" data-turn="yes">
      <title>{text.floor.turnHint}</title>
      <line x1={where.from.x} y1={where.from.y} x2={where.x} y2={where.y} />
      <rect class="touch-area" x={where.x - TOUCH} y={where.y - TOUCH} width={2 * TOUCH} height={2 * TOUCH} />
      <rect class="slip"  x={where.x - SLIP.x} y={where.y - SLIP.y} width={2 * SLIP.x} height={2 * SLIP.y} />
      <path d={`M${where.x - 11} ${where.y - 3}q11 -9 22 0m-5.5 -.5l5.5 .5-1 -5.5M${where.x - 10} ${where.y - 8.5}l-1 5.5 5.5 -.5`} />
      <text x={where.x} y={where.y + 9}>
        {text.floor.turn}
      </text>
    </g>
  );
}
