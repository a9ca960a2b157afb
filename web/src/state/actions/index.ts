// Everything a person can do, once: buttons, menu, keys, the list of keys and the tests
// all take it from here. Names stand in text/actions.ts.

import type { Action, ActionId } from "./action";
import { benchActions } from "./bench";
import { drawingActions } from "./drawing";
import { boardActions, planActions } from "./job";
import { fileActions, floorActions, pageActions, placesActions, workActions } from "./page";
import { partActions } from "./part";

export const actions: readonly Action[] = [
  ...placesActions,
  ...workActions,
  ...drawingActions,
  ...partActions,
  ...boardActions,
  ...planActions,
  ...benchActions,
  ...floorActions,
  ...fileActions,
  ...pageActions,
];

const byId = new Map(actions.map((action) => [action.id, action]));

export function actionOf(id: ActionId): Action {
  const action = byId.get(id);
  if (action === undefined) throw new Error(`there is no action "${id}"`);
  return action;
}
