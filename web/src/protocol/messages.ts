// What passes between the page and a worker. Both are built together; the number guards
// against a worker left over from another copy of the page.

import type { FacesFound, PhotoAsked, PhotoFigure, PhotoFit, PhotoSeen, PhotoToMap, PhotoToRender, SearchSettings, WhatIf } from "./generated";

export const PROTOCOL = 6;

export type ToWorker =
  | {
      readonly say: "begin";
      readonly protocol: typeof PROTOCOL;
      readonly core: WebAssembly.Module;
      readonly run: number;
      readonly document: string;
      readonly settings: SearchSettings;
      /** Steps to make at once. */
      readonly steps: number;
      /** A plan to go on from, after a restart. */
      readonly from: string | null;
    }
  /** More steps, at the start of a round after taking over the best plan of all workers. */
  | { readonly say: "go_on"; readonly run: number; readonly steps: number; readonly adopt: string | null };

export type FromWorker =
  /** The worker has begun to run; reading the job and preparing the boards come next. */
  | { readonly say: "here"; readonly run: number }
  /** The steps are made. `better`: the best plan, where these steps have bettered it; `placed`: parts placed in the best plan. */
  | {
      readonly say: "made";
      readonly run: number;
      readonly better: string | null;
      readonly placed: number;
      readonly finished: boolean;
    }
  /** `refused`: the job cannot be searched, so starting again would not help. */
  | { readonly say: "failed"; readonly run: number; readonly message: string; readonly refused: boolean };

/** What one size would cost over its range, of a worker of its own: it answers once at the start and after every value. */
export interface AskSize {
  readonly say: "ask_size";
  readonly protocol: typeof PROTOCOL;
  readonly core: WebAssembly.Module;
  readonly document: string;
  /** The size's row among the dimensions. */
  readonly row: number;
}

export type OfSize =
  /** `plan`: what was found for the value at `index`, where it keeps every rule. */
  | { readonly say: "seen"; readonly seen: WhatIf; readonly index: number; readonly plan: string | null }
  | { readonly say: "failed" };

/** Better ones of a face, of a worker of its own: it answers as it finds them. */
export interface AskFace {
  readonly say: "ask_face";
  readonly protocol: typeof PROTOCOL;
  readonly core: WebAssembly.Module;
  readonly document: string;
  readonly key: string;
  /** The plan of a face that they are to be more like. */
  readonly like: string | null;
}

export type OfFace =
  /** `plans`: those of cards that were not told of before, by the cards' places. */
  | { readonly say: "found"; readonly found: FacesFound; readonly plans: readonly (readonly [number, string])[] }
  | { readonly say: "failed" };

/** To a worker that holds one photograph; to give it up is to end the worker. */
export type ToPhoto =
  | { readonly say: "photo"; readonly protocol: typeof PROTOCOL; readonly core: WebAssembly.Module; readonly file: Blob }
  | { readonly say: "fit"; readonly asked: PhotoAsked }
  /** A square of the photo, to be seen closely: its middle and its side in pixels. */
  | { readonly say: "crop"; readonly x: number; readonly y: number; readonly side: number }
  /** The picture at true scale, with pixels of so many millimetres. */
  | { readonly say: "make"; readonly pixel: number }
  /** The map of the figure within an outline: x and y of its points in turn. */
  | { readonly say: "map"; readonly outline: readonly number[] }
  /** The same of a picture that is kept already; the worker holds no other photograph. */
  | { readonly say: "map_kept"; readonly protocol: typeof PROTOCOL; readonly core: WebAssembly.Module; readonly file: Blob; readonly photo: PhotoToMap }
  /** A picture of an invented log; the worker holds no other photograph. */
  | { readonly say: "render"; readonly protocol: typeof PROTOCOL; readonly core: WebAssembly.Module; readonly photo: PhotoToRender }
  /** Leaves the picture at true scale that is being made or looked at. */
  | { readonly say: "leave" };

/** Why a file cannot be used as a photograph. */
export type PhotoRefused = "heic" | "unknown" | "broken" | "cut_short" | "too_large" | "old_browser" | "failed";

/** A photograph at true scale, as it is kept. */
export interface TruePhoto {
  readonly file: Blob;
  readonly hash: string;
  /** Side of a pixel in millimetres. */
  readonly pixel: number;
  /** The lower left corner in millimetres of the board's frame. */
  readonly origin: readonly [number, number];
  /** Pixels in a row, and rows. */
  readonly size: readonly [number, number];
}

export type FromPhoto =
  /** `size`: of the photograph upright, as marks are told of it; `original`: as it was taken, where it was reduced. */
  | { readonly say: "taken_in"; readonly size: readonly [number, number]; readonly original: readonly [number, number] | null; readonly preview: ImageBitmap }
  | { readonly say: "refused"; readonly why: PhotoRefused; readonly words: string | null }
  | { readonly say: "fit"; readonly fit: PhotoFit }
  | { readonly say: "crop"; readonly x: number; readonly y: number; readonly side: number; readonly seen: ImageBitmap }
  | { readonly say: "making"; readonly share: number }
  | { readonly say: "made"; readonly photo: TruePhoto }
  | { readonly say: "rendered"; readonly file: Blob; readonly hash: string; readonly figure: PhotoFigure }
  /** `figure`: null where making the map failed. */
  | { readonly say: "mapped"; readonly figure: PhotoFigure | null }
  /** What is looked for in the picture that was made, and what was seen. */
  | { readonly say: "looking"; readonly share: number }
  /** `seen`: null where looking failed; what is made stays. */
  | { readonly say: "seen"; readonly seen: PhotoSeen | null };
