// How the floor is seen: pixels per millimetre and where the floor's origin lies on screen.

import { onFloor, type FloorPoint, type ScreenPoint } from "./points";

export interface Viewport {
  readonly scale: number;
  readonly x: number;
  readonly y: number;
}

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Room of the floor that nothing covers, in pixels. */
export interface Room {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** A board of 6 m still fits a phone at the lower end; at the upper end 1 mm is 8 pixels. */
const LEAST_SCALE = 0.02;
const MOST_SCALE = 8;

export function toFloor(view: Viewport, at: ScreenPoint): FloorPoint {
  return onFloor((at.x - view.x) / view.scale, (at.y - view.y) / view.scale);
}

export function panned(view: Viewport, dx: number, dy: number): Viewport {
  return { scale: view.scale, x: view.x + dx, y: view.y + dy };
}

/** Zooms by `factor`, leaving what lies under `about` where it is. */
export function zoomed(view: Viewport, factor: number, about: ScreenPoint): Viewport {
  const scale = Math.min(MOST_SCALE, Math.max(LEAST_SCALE, view.scale * factor));
  const grown = scale / view.scale;
  return { scale, x: about.x - (about.x - view.x) * grown, y: about.y - (about.y - view.y) * grown };
}

/** Shows the whole of `box` in the free room, in the middle across and towards the top. */
export function fitted(box: Box, room: Room): Viewport {
  const width = Math.max(box.width, 1);
  const height = Math.max(box.height, 1);
  const scale = Math.min(MOST_SCALE, Math.max(LEAST_SCALE, Math.min(room.width / width, room.height / height)));
  const spareX = Math.max(0, room.width - width * scale);
  const spareY = Math.max(0, room.height - height * scale);
  return {
    scale,
    x: room.left + spareX / 2 - box.x * scale,
    y: room.top + spareY / 3 - box.y * scale,
  };
}

/** Shows `box` as wide as the free room is, from its top on: what is lower is scrolled to. */
export function filled(box: Box, room: Room): Viewport {
  const scale = Math.min(MOST_SCALE, Math.max(LEAST_SCALE, room.width / Math.max(box.width, 1)));
  return { scale, x: room.left - box.x * scale, y: room.top - box.y * scale };
}

/** Moves as little as needed so that `box` can be seen. */
export function revealing(view: Viewport, box: Box, room: Room): Viewport {
  const left = box.x * view.scale + view.x;
  const top = box.y * view.scale + view.y;
  const right = left + box.width * view.scale;
  const bottom = top + box.height * view.scale;
  let dx = 0;
  let dy = 0;
  if (right > room.left + room.width) dx = room.left + room.width - right;
  if (left + dx < room.left) dx = room.left - left;
  if (bottom > room.top + room.height) dy = room.top + room.height - bottom;
  if (top + dy < room.top) dy = room.top - top;
  return panned(view, dx, dy);
}
