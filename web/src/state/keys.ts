// Keys: how they are written down, shown, and matched to what was pressed.

import { actions, type Action } from "./actions";
import type { App } from "./app";

export interface Key {
  /** `KeyboardEvent.key`, in lower case for letters. */
  readonly key: string;
  readonly ctrl?: boolean;
  readonly shift?: boolean;
  readonly alt?: boolean;
}

/** The action whose key was pressed and which can be done now. */
export function actionFor(event: KeyboardEvent, app: App): Action | null {
  const pressed = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  const ctrlHeld = event.ctrlKey || event.metaKey;
  // A sign that needs Shift on this keyboard ("?", "+") is named by itself.
  const isSign = event.key.length === 1 && event.key.toLowerCase() === event.key.toUpperCase();
  for (const action of actions) {
    for (const wanted of action.keys) {
      if (wanted.key.length === 1 ? wanted.key.toLowerCase() !== pressed : wanted.key !== event.key) continue;
      if ((wanted.ctrl ?? false) !== ctrlHeld || (wanted.alt ?? false) !== event.altKey) continue;
      if (!isSign && (wanted.shift ?? false) !== event.shiftKey) continue;
      if (action.enabled(app)) return action;
    }
  }
  return null;
}

const shown: Record<string, string> = {
  ArrowLeft: "←",
  ArrowRight: "→",
  ArrowUp: "↑",
  ArrowDown: "↓",
  Escape: "Esc",
  Delete: "Del",
  Backspace: "⌫",
};

export function keyText(wanted: Key): string {
  const name = shown[wanted.key] ?? wanted.key.toUpperCase();
  return [wanted.ctrl ? "Ctrl" : "", wanted.alt ? "Alt" : "", wanted.shift ? "Shift" : "", name]
    .filter((word) => word !== "")
    .join(" ");
}
