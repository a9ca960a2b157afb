// The client of the searches by itself, with workers that answer when the test says so.

import { expect, test } from "@playwright/test";

import type { FromWorker, ToWorker } from "../../web/src/protocol/messages";
import { makeSolverClient, type Judge, type Start } from "../../web/src/solver-client";
import { coreHere, type Core } from "./core";

let core: Core;
test.beforeAll(async () => {
  core = await coreHere();
});
const makeRounds = (workers: number, round: number, from: string | null) => new core.Rounds(workers, round, from);

class FakeWorker {
  readonly heard: ToWorker[] = [];
  ended = false;
  onmessage: ((event: { data: FromWorker }) => void) | null = null;
  onerror: ((event: { message: string; preventDefault(): void }) => void) | null = null;
  postMessage(message: ToWorker): void {
    this.heard.push(message);
  }
  terminate(): void {
    this.ended = true;
  }
  get run(): number {
    return this.heard[0]?.run ?? 0;
  }
  /** Steps it was last asked for. */
  get asked(): number {
    const last = this.heard.at(-1);
    return last === undefined ? 0 : last.steps;
  }
  answer(better: string | null, finished = false, placed = 1): void {
    this.onmessage?.({ data: { say: "made", run: this.run, better, placed, finished } });
  }
  here(): void {
    this.onmessage?.({ data: { say: "here", run: this.run } });
  }
  crash(): void {
    this.onerror?.({ message: "unreachable executed", preventDefault: () => undefined });
  }
}

/** Rounds of one step unless said otherwise; `clock.milliseconds` is moved by the test. */
function scene(stepsPerRound = 1, mostSilence = 60_000) {
  const clock = { milliseconds: 0 };
  const workers: FakeWorker[] = [];
  const bests: (string | null)[] = [];
  const ends: string[] = [];
  const client = makeSolverClient(
    () => {
      const worker = new FakeWorker();
      workers.push(worker);
      return worker as unknown as Worker;
    },
    {} as WebAssembly.Module,
    makeRounds,
    () => clock.milliseconds,
    mostSilence,
  );
  // A plan is a number here, and less is better.
  const judge: Judge = {
    better: (first, second) => Number(first) < Number(second),
    look: (best) => {
      bests.push(best);
      return true;
    },
    ended: (why) => ends.push(why),
  };
  const start: Start = { document: "{}", seed: 1, workers: 2, stepsPerRound, from: null };
  client.start(start, judge);
  const worker = (index: number): FakeWorker => {
    const found = workers[index];
    if (found === undefined) throw new Error(`no worker ${index}`);
    return found;
  };
  return { client, clock, workers, worker, bests, ends, start, judge };
}

test("a round is over when all have answered, and the best goes to all", () => {
  const { worker, bests } = scene();
  worker(0).answer("9");
  expect(bests).toEqual([]);
  worker(1).answer("7");
  expect(bests).toEqual(["7"]);
  expect(worker(0).heard.at(-1)).toMatchObject({ say: "go_on", adopt: "7" });
  expect(worker(1).heard.at(-1)).toMatchObject({ say: "go_on", adopt: "7" });
});

test("the order of the answers makes no difference", () => {
  const outcomes = [0, 1].map((firstToAnswer) => {
    const { worker, bests } = scene();
    const answers = ["5", "5"];
    worker(firstToAnswer).answer(answers[firstToAnswer] ?? null);
    worker(1 - firstToAnswer).answer(answers[1 - firstToAnswer] ?? null);
    return bests;
  });
  expect(outcomes[0]).toEqual(outcomes[1]);
});

test("within a round plans are seen but not exchanged", () => {
  const { worker, bests } = scene(4);
  const asked = [];
  for (const [first, second] of [["9", "8"], ["7", null], [null, null]] as const) {
    asked.push(worker(0).asked);
    expect(worker(1).asked).toBe(worker(0).asked);
    worker(0).answer(first);
    worker(1).answer(second);
  }
  expect(asked).toEqual([1, 2, 1]);
  expect(bests).toEqual(["8", "7", "7"]);
  const adopted = worker(1).heard.slice(1).map((message) => message.say === "go_on" && message.adopt);
  expect(adopted).toEqual([null, null, "7"]);
});

test("an empty floor is not shown as a plan before the first round is over", () => {
  const { worker, bests, ends } = scene(4);
  worker(0).answer("99", false, 0);
  worker(1).answer("99", false, 0);
  expect([bests, ends]).toEqual([[], []]);
  worker(0).answer("98", false, 0);
  worker(1).answer("9", false, 1);
  expect([bests, ends]).toEqual([["9"], []]);
});

test("where nothing can be placed the first round says so", () => {
  const { worker, bests } = scene(2);
  for (let looks = 0; looks < 2; looks += 1) {
    worker(0).answer("99", false, 0);
    worker(1).answer("99", false, 0);
  }
  expect(bests).toEqual(["99"]);
});

test("of equal plans that of the first worker goes to all, whichever was seen first", () => {
  const { worker } = scene(3);
  worker(0).answer("9.0");
  worker(1).answer("7.00");
  worker(0).answer("7.0");
  worker(1).answer(null);
  expect(worker(1).heard.at(-1)).toMatchObject({ say: "go_on", adopt: "7.0" });
});

test("as many steps are asked for at a time as take a quarter of a second, and never more than a round", () => {
  const { clock, worker } = scene(20);
  const asked = [];
  for (const taken of [10, 10, 10, 300, 300, 10, 10, 10, 10, 10]) {
    asked.push(worker(0).asked);
    clock.milliseconds += taken;
    worker(0).answer(null);
    worker(1).answer(null);
  }
  expect(asked).toEqual([1, 2, 4, 8, 4, 1, 4, 8, 8, 20]);
});

test("stopping keeps what all have made", () => {
  const { client, worker, bests, ends, workers } = scene();
  worker(0).answer("9");
  worker(1).answer("8");
  worker(0).answer("3");
  client.stop();
  expect(ends).toEqual(["stopped"]);
  expect(bests).toEqual(["8"]);
  expect(workers.every((each) => each.ended)).toBe(true);
  worker(1).answer("1");
  expect(bests).toEqual(["8"]);
});

test("stopping waits for nobody, and where nothing was placed there is nothing to keep", () => {
  for (const answers of [0, 1]) {
    const { client, worker, workers, bests, ends } = scene(4);
    if (answers > 0) worker(0).answer("99", false, 0);
    client.stop();
    expect([bests, ends]).toEqual([[], ["stopped"]]);
    expect(workers.every((each) => each.ended)).toBe(true);
    expect(client.running.value).toBe(false);
  }
});

test("stopping before all have answered keeps what one has placed", () => {
  const { client, worker, bests, ends } = scene(4);
  worker(1).answer("8", false, 3);
  client.stop();
  expect([bests, ends]).toEqual([["8"], ["stopped"]]);
});

test("where no worker can be made the search ends with a word", () => {
  for (const made of [0, 1]) {
    const ends: string[] = [];
    const workers: FakeWorker[] = [];
    const client = makeSolverClient(() => {
      if (workers.length >= made) throw new Error("refused");
      workers.push(new FakeWorker());
      return workers[0] as unknown as Worker;
    }, {} as WebAssembly.Module, makeRounds);
    client.start({ document: "{}", seed: 1, workers: 2, stepsPerRound: 1, from: null }, {
      better: () => false,
      look: () => true,
      ended: (why) => ends.push(why),
    });
    expect(ends).toEqual(["no_worker"]);
    expect(client.running.value).toBe(false);
    expect(workers.every((each) => each.ended)).toBe(true);
  }
});

test("workers that fall before their first word were never there", () => {
  const { workers, ends } = scene();
  for (let index = 0; index < 4; index += 1) workers.at(-1)?.crash();
  expect(ends).toEqual(["no_worker"]);
});

test("a worker that never says that it is there ends the search, one that does may take its time", async () => {
  const silent = scene(1, 20);
  const speaking = scene(1, 20);
  for (const each of speaking.workers) each.here();
  await expect.poll(() => silent.ends).toEqual(["no_worker"]);
  await new Promise((done) => setTimeout(done, 60));
  expect(speaking.ends).toEqual([]);
  speaking.client.stop();
});

test("it ends by itself when no worker has anything left to try", () => {
  const { worker, ends } = scene();
  worker(0).answer("4", true);
  worker(1).answer("5", false);
  expect(ends).toEqual([]);
  worker(0).answer("4", true);
  worker(1).answer("4", true);
  expect(ends).toEqual(["finished"]);
});

test("a crashed worker is started again from the best plan so far", () => {
  const { worker, workers, bests } = scene();
  worker(0).answer("9");
  worker(1).answer("8");
  worker(1).crash();
  expect(worker(1).ended).toBe(true);
  expect(workers).toHaveLength(3);
  expect(worker(2).heard[0]).toMatchObject({ say: "begin", from: "8", settings: { worker: 1 } });
  worker(0).answer("6");
  worker(2).answer("7");
  expect(bests).toEqual(["8", "6"]);
});

test("a search that keeps crashing gives up and says so", () => {
  const { workers, ends } = scene();
  for (let index = 0; index < 4; index += 1) {
    workers.at(-1)?.here();
    workers.at(-1)?.crash();
  }
  expect(ends).toEqual(["failed"]);
});

test("answers of an earlier search are dropped", () => {
  const { client, worker, bests, start, judge } = scene();
  worker(0).answer("9");
  worker(1).answer("8");
  client.stop();
  client.start(start, judge);
  worker(0).answer("1");
  worker(1).answer("1");
  expect(bests).toEqual(["8"]);
});
