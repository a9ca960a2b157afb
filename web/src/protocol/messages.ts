// What passes between the page and a worker. Both are built together; the number guards
// against a worker left over from another copy of the page.

import type { SearchSettings } from "./generated";

export const PROTOCOL = 1;

export type ToWorker =
  | {
      readonly say: "begin";
      readonly protocol: typeof PROTOCOL;
      readonly core: WebAssembly.Module;
      readonly run: number;
      readonly document: string;
      readonly settings: SearchSettings;
      /** Steps in a round. */
      readonly steps: number;
      /** A plan to go on from, after a restart. */
      readonly from: string | null;
    }
  /** Another round, after taking over the best plan of all workers. */
  | { readonly say: "round"; readonly run: number; readonly adopt: string | null };

export type FromWorker =
  | { readonly say: "round"; readonly run: number; readonly best: string | null; readonly finished: boolean }
  /** `refused`: the job cannot be searched, so starting again would not help. */
  | { readonly say: "failed"; readonly run: number; readonly message: string; readonly refused: boolean };
