// How often plans are drawn, by a clock that the test moves.

import { expect, test } from "@playwright/test";

import { makePace, REST, type Clock } from "../../web/src/state/pace";

function scene(cost: () => number) {
  let time = 0;
  const waiting: { at: number; run: () => void }[] = [];
  const clock: Clock = {
    now: () => time,
    later(run, milliseconds) {
      const entry = { at: time + milliseconds, run };
      waiting.push(entry);
      return () => void waiting.splice(waiting.indexOf(entry), 1);
    },
  };
  const begun: number[] = [];
  const ended: number[] = [];
  const pace = makePace(() => {
    begun.push(time);
    time += cost();
    ended.push(time);
  }, clock);
  const until = (end: number): void => {
    for (;;) {
      const next = waiting.filter((each) => each.at <= end).sort((a, b) => a.at - b.at)[0];
      if (next === undefined) break;
      waiting.splice(waiting.indexOf(next), 1);
      time = Math.max(time, next.at);
      next.run();
    }
    time = Math.max(time, end);
  };
  return { pace, begun, ended, until };
}

test("the first time is at once, and afterwards there is rest by what it took", () => {
  for (const cost of [3, 40, 400]) {
    const { pace, begun, ended, until } = scene(() => cost);
    for (let time = 0; time < 10_000; time += 7) {
      pace.ask();
      until(time);
    }
    expect(begun[0]).toBe(0);
    expect(begun.length).toBeGreaterThan(2);
    expect(begun.length).toBeLessThanOrEqual(1 + 10_000 / (cost * (1 + REST)));
    for (let index = 1; index < begun.length; index += 1) {
      expect((begun[index] ?? 0) - (ended[index - 1] ?? 0)).toBeGreaterThanOrEqual(REST * cost);
    }
  }
});

test("what is asked for last is always done, once", () => {
  const { pace, begun, until } = scene(() => 50);
  pace.ask();
  until(0);
  pace.ask();
  pace.ask();
  until(5_000);
  expect(begun).toHaveLength(2);
});

test("what was called off is not done", () => {
  const { pace, begun, until } = scene(() => 50);
  pace.ask();
  pace.cancel();
  until(5_000);
  expect(begun).toEqual([]);
});
