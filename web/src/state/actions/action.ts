// What an action is, and how those of a group are written down.

import type { PhotoRow } from "../../protocol/generated";
import { text } from "../../text";
import type { App } from "../app";

export type Group = keyof typeof text.groups;
export type ActionId = keyof typeof text.actions;

export interface Key {
  /** `KeyboardEvent.key`, in lower case for letters. */
  readonly key: string;
  readonly ctrl?: boolean;
  readonly shift?: boolean;
  readonly alt?: boolean;
}

export interface Action {
  readonly id: ActionId;
  readonly group: Group;
  readonly label: (app: App) => string;
  /** The first is shown; all of them work. */
  readonly keys: readonly Key[];
  readonly enabled: (app: App) => boolean;
  readonly run: (app: App) => void;
  /** A key that is held does it once. */
  readonly once?: boolean;
}

/** An action as it is written down: it has its usual name and can be done at any time, where nothing else is said. */
export type Written = Pick<Action, "id" | "keys" | "run"> & Partial<Pick<Action, "label" | "enabled" | "once">>;

export const inGroup = (group: Group, all: readonly Written[]): readonly Action[] =>
  all.map((each) => ({ group, label: () => text.actions[each.id], enabled: () => true, ...each }));

export const key = (name: string): Key => ({ key: name });
export const ctrl = (name: string): Key => ({ key: name, ctrl: true });
export const shift = (name: string): Key => ({ key: name, shift: true });

/** The photographs of the job as it is now. */
export function photosOf(app: App): readonly PhotoRow[] {
  void app.desk.changes.value;
  return app.desk.ask((session) => session.photos()) ?? [];
}

/** Nothing hangs on the pointer. */
export const handIsFree = (app: App): boolean => !app.handBusy();
