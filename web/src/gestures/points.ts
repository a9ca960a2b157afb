// Screen points (CSS pixels within the floor) and floor points (millimetres, y down as in
// the drawing) are different types, so that one is never taken for the other.

declare const screenMark: unique symbol;
declare const floorMark: unique symbol;

export interface ScreenPoint {
  readonly x: number;
  readonly y: number;
  readonly [screenMark]: true;
}

export interface FloorPoint {
  readonly x: number;
  readonly y: number;
  readonly [floorMark]: true;
}

export function onScreen(x: number, y: number): ScreenPoint {
  return { x, y } as ScreenPoint;
}

export function onFloor(x: number, y: number): FloorPoint {
  return { x, y } as FloorPoint;
}

export function distance(a: ScreenPoint, b: ScreenPoint): number {
  return Math.hypot(a.x - b.x, a.y - b.y);
}

export function middle(a: ScreenPoint, b: ScreenPoint): ScreenPoint {
  return onScreen((a.x + b.x) / 2, (a.y + b.y) / 2);
}
