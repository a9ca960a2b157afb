// Work that may be asked for far oftener than it can be done without the page standing still:
// it is done as often as leaves several times as long between two times as one took.

export interface Clock {
  /** Milliseconds. */
  now(): number;
  later(run: () => void, milliseconds: number): () => void;
}

const realClock: Clock = {
  now: () => performance.now(),
  later(run, milliseconds) {
    const timer = setTimeout(run, milliseconds);
    return () => clearTimeout(timer);
  },
};

export interface Pace {
  /** There is something to do: soon, once, however often this is said meanwhile. */
  ask(): void;
  /** Whatever was asked for is not wanted any more. */
  cancel(): void;
}

/** So many times as long as the work took there is rest after it: a sixth of the time goes into it at most. */
export const REST = 5;

/** `work` is done in pieces where it returns a promise; its time is counted until that is kept. */
export function makePace(work: () => Promise<void> | void, clock: Clock = realClock): Pace {
  let calledOff: (() => void) | null = null;
  let isWorking = false;
  let isAsked = false;
  let restsUntil = -Infinity;

  function arrange(): void {
    if (calledOff !== null || isWorking || !isAsked) return;
    calledOff = clock.later(run, Math.max(0, restsUntil - clock.now()));
  }

  function run(): void {
    calledOff = null;
    isAsked = false;
    isWorking = true;
    const began = clock.now();
    const done = (): void => {
      isWorking = false;
      const end = clock.now();
      restsUntil = end + REST * (end - began);
      arrange();
    };
    const under = work();
    if (under === undefined) done();
    else under.then(done, done);
  }

  return {
    ask() {
      isAsked = true;
      arrange();
    },
    cancel() {
      isAsked = false;
      calledOff?.();
      calledOff = null;
    },
  };
}

/** Lets the browser show a picture before the next piece of work; a page that nobody sees goes on without. */
export function breath(): Promise<void> {
  return new Promise((go) => {
    const timer = setTimeout(go, 60);
    requestAnimationFrame(() => {
      clearTimeout(timer);
      setTimeout(go);
    });
  });
}
