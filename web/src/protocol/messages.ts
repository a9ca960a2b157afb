// What passes between the page and a worker. Both are built together; the number guards
// against a worker left over from another copy of the page.

import type { SearchSettings, WhatIf } from "./generated";

export const PROTOCOL = 4;

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
