// Small pictures of jobs and plans: the drawing of all boards, as it would be saved.

import { Session, type Tabs } from "../protocol/generated";
import type { Desk } from "../state/desk";
import { withPhotos } from "../state/photos";

/** A drawing as the address of a picture. */
export const asPicture = (svg: string): string => `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`;

export interface Pictured {
  /** Address of the picture; none where nothing can be drawn. */
  readonly source: string | null;
  readonly tabs: Tabs;
}

/** Draws a job that is not on the floor, or one of its kept plans; nothing where it cannot be read. */
export function pictured(desk: Desk, content: string, plan: string | null = null): Pictured | null {
  return desk.ask(() => {
    const trial = new Session();
    try {
      if (!trial.open(content).accepted) return null;
      if (plan !== null) trial.show_plan(plan);
      const { tabs, boards } = trial.state("timber", null);
      const drawing = boards.length === 0 ? null : trial.svg_all("");
      const source = drawing === null ? null : asPicture(withPhotos(drawing.svg, () => null));
      return { source, tabs };
    } finally {
      trial.free();
    }
  });
}
