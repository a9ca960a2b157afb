// What is shown beside the pointer, or beside the part that keys move, while it is on its way.

import type { ScreenPoint } from "../../gestures/points";

export interface InHand {
  readonly at: ScreenPoint;
  readonly words: string;
  readonly fits: boolean;
}
