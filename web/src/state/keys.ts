// Keys: how they are written down, shown, and matched to what was pressed.

import { actions } from "./actions";
import type { Action, Key } from "./actions/action";
import type { App } from "./app";

/** What a field does itself with Ctrl held; all other orders with Ctrl are the page's. */
const ofFields = new Set(["undo", "redo"]);

/** Letters by their place on the keyboard where it writes other letters than the keys name. */
function pressedKey(event: KeyboardEvent): string {
  if (event.key.length > 1) return event.key;
  const isForeign = event.key > "\u007f" && event.key.toLowerCase() !== event.key.toUpperCase();
  return (isForeign ? (/^Key([A-Z])$/.exec(event.code)?.[1] ?? event.key) : event.key).toLowerCase();
}

/** Whether an order with Ctrl was pressed that is the page's in every field and window: the browser never gets it. */
export function pageOrder(event: KeyboardEvent): Action | null {
  if (!event.ctrlKey && !event.metaKey) return null;
  const pressed = pressedKey(event);
  const found = actions.find((action) =>
    action.keys.some(
      (wanted) =>
        wanted.ctrl === true &&
        wanted.key === pressed &&
        (wanted.shift ?? false) === event.shiftKey &&
        (wanted.alt ?? false) === event.altKey,
    ),
  );
  return found === undefined || ofFields.has(found.id) ? null : found;
}

/** The action whose key was pressed and which can be done now. */
export function actionFor(event: KeyboardEvent, app: App): Action | null {
  const pressed = pressedKey(event);
  const ctrlHeld = event.ctrlKey || event.metaKey;
  if (!ctrlHeld && event.key.length === 1 && !app.letterKeys.value) return null;
  // A sign that needs Shift on this keyboard ("?", "+") is named by itself.
  const isSign = event.key.length === 1 && event.key.toLowerCase() === event.key.toUpperCase();
  for (const action of actions) {
    for (const wanted of action.keys) {
      if (wanted.key.length === 1 ? wanted.key.toLowerCase() !== pressed : wanted.key !== pressed) continue;
      if ((wanted.ctrl ?? false) !== ctrlHeld || (wanted.alt ?? false) !== event.altKey) continue;
      if (!isSign && (wanted.shift ?? false) !== event.shiftKey) continue;
      if (action.enabled(app)) return action;
    }
  }
  return null;
}

/** Whether a key is a single letter, digit or sign, which a slip of the hand or of speech may press. */
export const isLetter = (wanted: Key): boolean => wanted.key.length === 1 && wanted.ctrl !== true;

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
