// The one Session on the page's thread, and what happens when it fails.
//
// Every call goes through `ask`. A trap inside the core leaves its instance unusable, so a
// new one is made and the last text is opened in it: the failed step is left out and
// nothing else is lost but the list of steps to undo.

import { Session, last_panic } from "../protocol/generated";

export interface Core {
  /** Calls the session; null when the call failed and the session was started again. */
  ask<T>(call: (session: Session) => T): T | null;
  /** The text of the job as it was after the last change that was taken down. */
  text(): string;
  /** Takes down the job's text; call it after every change. */
  takeDown(): string;
}

export interface Fault {
  /** In plain words. */
  readonly message: string;
  /** For a report. */
  readonly details: string;
  /** False where the session could not be started again. */
  readonly mended: boolean;
}

/** After so many failures without a change between them, this very job is what the core cannot bear. */
const MOST_IN_A_ROW = 3;

export function makeCore(renew: () => void, onFault: (fault: Fault) => void, plain: string): Core {
  let session = new Session();
  let text = session.save();
  let faultsInARow = 0;

  function mend(error: unknown): void {
    const details = wordsOf(error);
    faultsInARow += 1;
    if (faultsInARow > MOST_IN_A_ROW) {
      onFault({ message: plain, details, mended: false });
      return;
    }
    try {
      renew();
      session = new Session();
      session.open(text);
      onFault({ message: plain, details, mended: true });
    } catch (again) {
      onFault({ message: plain, details: `${details}\n${wordsOf(again)}`, mended: false });
    }
  }

  return {
    ask(call) {
      if (faultsInARow > MOST_IN_A_ROW) return null;
      try {
        return call(session);
      } catch (error) {
        mend(error);
        return null;
      }
    },
    text: () => text,
    takeDown() {
      try {
        text = session.save();
        faultsInARow = 0;
      } catch (error) {
        mend(error);
      }
      return text;
    },
  };
}

function wordsOf(error: unknown): string {
  let told: string | undefined;
  try {
    told = last_panic();
  } catch {
    // The instance may be too broken to say.
  }
  const raw = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
  return told === undefined ? raw : `${told}\n${raw}`;
}
