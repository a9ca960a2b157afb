// Proves, a little at a time, how little any plan could cost, while a plan lies there and nothing is carried.

import { effect } from "@preact/signals";

import type { Desk } from "./desk";
import { makePace } from "./pace";

/** How long it is worked on without a rest, in milliseconds. */
const PIECE = 8;

/** While a part is carried it waits so long, in milliseconds. */
const CARRIED = 250;

/** `inHand`: whether a part is being carried. */
export function startProving(desk: Desk, inHand: () => boolean): void {
  const pace = makePace(() => {
    if (inHand()) {
      setTimeout(() => pace.ask(), CARRIED);
      return;
    }
    const until = performance.now() + PIECE;
    let rose = false;
    let goesOn = true;
    while (goesOn && performance.now() < until) {
      const work = desk.ask((session) => session.raise_floor());
      if (work === null) return;
      rose ||= work.rose;
      goesOn = work.goes_on;
    }
    if (rose) desk.lookAgain();
    if (goesOn) pace.ask();
  });
  effect(() => {
    void desk.state.value;
    pace.ask();
  });
}
