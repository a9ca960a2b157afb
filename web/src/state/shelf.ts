// The shelf: jobs kept in this browser's own database. Every write is one transaction that
// first looks whether somebody else wrote since we last read, so a tab never writes over
// work that it has not seen.

import { createStore, get, promisifyRequest, update, values, del, type UseStore } from "idb-keyval";

export interface KeptJob {
  readonly id: string;
  readonly title: string;
  readonly text: string;
  /** Counts the writes of this job, whoever made them. */
  readonly stamp: number;
  /** The tab that wrote last. */
  readonly writer: string;
  /** Milliseconds since 1970, for the order of the list only. */
  readonly at: number;
}

export type Written =
  | { readonly kind: "written"; readonly stamp: number }
  | { readonly kind: "clash"; readonly theirs: KeptJob };

/** Somewhere to keep jobs. Every method may fail; the caller says so in words. */
export interface Shelf {
  newest(): Promise<KeptJob | undefined>;
  read(id: string): Promise<KeptJob | undefined>;
  list(): Promise<KeptJob[]>;
  write(job: Omit<KeptJob, "stamp">, seen: number): Promise<Written>;
  forget(id: string): Promise<void>;
}

function byNewest(a: KeptJob, b: KeptJob): number {
  return b.at - a.at || (a.id < b.id ? -1 : 1);
}

function isKeptJob(value: unknown): value is KeptJob {
  if (typeof value !== "object" || value === null) return false;
  const job = value as Partial<KeptJob>;
  return typeof job.id === "string" && typeof job.text === "string" && typeof job.stamp === "number";
}

export function openShelf(): Shelf {
  let store: UseStore | null = null;
  // Opening is put off to the first use: some browsers throw at once where storage is refused.
  const jobs = (): UseStore => (store ??= createStore("heartside", "jobs"));
  const list = async (): Promise<KeptJob[]> =>
    (await values<unknown>(jobs())).filter(isKeptJob).sort(byNewest);
  return {
    list,
    async newest() {
      return (await list())[0];
    },
    async read(id) {
      const found = await get<unknown>(id, jobs());
      return isKeptJob(found) ? found : undefined;
    },
    async write(job, seen) {
      let result: Written = { kind: "written", stamp: seen + 1 };
      await update<KeptJob | undefined>(
        job.id,
        (theirs) => {
          if (isKeptJob(theirs) && theirs.stamp !== seen) {
            result = { kind: "clash", theirs };
            return theirs;
          }
          result = { kind: "written", stamp: seen + 1 };
          return { ...job, stamp: seen + 1 };
        },
        jobs(),
      );
      return result;
    },
    async forget(id) {
      await del(id, jobs());
    },
  };
}

/** Marks kept beside the jobs: whether the first steps were read, the theme, what is being typed. */
export interface Marks {
  get(name: string): Promise<string | undefined>;
  set(name: string, value: string): Promise<void>;
  remove(name: string): Promise<void>;
}

export function openMarks(): Marks {
  let store: UseStore | null = null;
  const marks = (): UseStore => (store ??= createStore("heartside-marks", "marks"));
  /** Committed at once: a page that goes away would not hear that the entry is in, and leave it undone. */
  const now = (change: (store: IDBObjectStore) => void): Promise<void> =>
    marks()("readwrite", (store) => {
      change(store);
      store.transaction.commit();
      return promisifyRequest(store.transaction);
    });
  return {
    // Async, so that a browser that throws at once refuses like one that answers no.
    async get(name) {
      return await get<string>(name, marks());
    },
    async set(name, value) {
      await now((store) => store.put(value, name));
    },
    async remove(name) {
      await now((store) => store.delete(name));
    },
  };
}
