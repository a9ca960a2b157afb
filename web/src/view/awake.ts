// Keeps the screen on where the browser allows it. It is a comfort: whatever the browser says to
// it is never a fault.

import { effect, type ReadonlySignal } from "@preact/signals";

/** Whether this browser can be asked for it. */
export const canStayAwake = (): boolean => "wakeLock" in navigator;

/** Keeps the screen on as long as that is wanted and the page is seen. */
export function stayAwake(wanted: ReadonlySignal<boolean>): void {
  if (!canStayAwake()) return;
  let lock: WakeLockSentinel | null = null;
  let isAsking = false;

  async function settle(): Promise<void> {
    // A browser lets go of it by itself once the page is not seen.
    if (document.visibilityState !== "visible" || isAsking) return;
    const now = lock;
    if (!wanted.peek()) {
      lock = null;
      await now?.release();
      return;
    }
    if (now !== null && !now.released) return;
    isAsking = true;
    try {
      lock = await navigator.wakeLock.request("screen");
    } finally {
      isAsking = false;
    }
    // It may not be wanted any more by now.
    await settle();
  }

  const soon = (): void => void settle().catch(() => undefined);
  document.addEventListener("visibilitychange", soon);
  effect(() => {
    void wanted.value;
    soon();
  });
}
