// What lies under a pointer.

import type { Target } from "../../gestures/pointer";
import type { Chosen } from "../../state/desk";

export function targetOf(event: Event, chosen: Chosen | null): Target {
  const from = event.target instanceof Element ? event.target : null;
  const turn = from?.closest<SVGElement>("[data-turn]");
  const isChosen = (kind: string, id: string, copy: number): boolean =>
    chosen?.kind === kind && chosen.of.id === id && chosen.of.copy === copy;
  if (turn != null && chosen?.kind === "part") return { kind: "turn_handle", ...chosen.of };
  const part = from?.closest<SVGElement>("[data-part]");
  if (part != null) {
    const id = part.dataset["part"] ?? "";
    const copy = Number(part.dataset["copy"] ?? "1");
    return { kind: "part", id, copy, chosen: isChosen("part", id, copy) };
  }
  const board = from?.closest<SVGElement>("[data-board]");
  if (board != null) {
    const id = board.dataset["board"] ?? "";
    const copy = Number(board.dataset["copy"] ?? "1");
    const handle = from?.closest(".hs-name, .hs-quiet") != null;
    return { kind: "board", id, copy, chosen: isChosen("board", id, copy), handle };
  }
  return { kind: "floor" };
}
