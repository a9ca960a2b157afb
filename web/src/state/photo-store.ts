// Photographs in this browser's own database, beside the jobs that name them, each found by its content's hash.
// Nothing is written over: the same content is the same photograph.

import { createStore, delMany, get, keys, promisifyRequest, type UseStore } from "idb-keyval";

/** Somewhere to keep photographs. Every method may fail; the caller says so in words. */
export interface PhotoStore {
  /** Comes back once the store has it for good, and not before. */
  write(hash: string, file: Blob): Promise<void>;
  read(hash: string): Promise<Blob | undefined>;
  hashes(): Promise<string[]>;
  forget(hashes: readonly string[]): Promise<void>;
}

export function openPhotoStore(): PhotoStore {
  let store: UseStore | null = null;
  const photos = (): UseStore => (store ??= createStore("heartside-photos", "photos"));
  return {
    async write(hash, file) {
      await photos()("readwrite", (store) => {
        store.put(file, hash);
        // A full disk is often told only when the transaction ends.
        return promisifyRequest(store.transaction);
      });
    },
    async read(hash) {
      const found = await get<unknown>(hash, photos());
      return found instanceof Blob ? found : undefined;
    },
    hashes: async () => (await keys(photos())).filter((key) => typeof key === "string"),
    async forget(hashes) {
      await delMany([...hashes], photos());
    },
  };
}
