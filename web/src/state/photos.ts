// The photographs that jobs name: kept before anything of them is accepted, shown by an address of this page,
// freed when no kept job names them any more.

import type { PhotoStore } from "./photo-store";
import type { Shelf } from "./shelf";

/** What became of a photograph that was to be kept. */
export type KeptPhoto = "kept" | "full" | "refused";

export interface Photos {
  keep(hash: string, file: Blob): Promise<KeptPhoto>;
  /** Where a photograph can be shown from; null before it was read, and where it is not there. */
  address(hash: string): string | null;
  read(hash: string): Promise<Blob | null>;
  /** A drawing with all its photos: by their addresses in this page, or inside it, so that it can be shown anywhere. */
  complete(svg: string, inside: boolean): Promise<string>;
  /** Frees what neither a kept job nor one of `used` names, and tells how many there were; `of`: only of what this job names. */
  tidy(used: readonly string[], of?: string): Promise<number>;
}

/** A drawing of the core with the photos that it names by `photo:HASH`; one without an address is left out. */
export const withPhotos = (svg: string, address: (hash: string) => string | null): string =>
  svg.replace(/ href="photo:([0-9a-f]{64})"/g, (_, hash: string) => {
    const found = address(hash);
    return found === null ? "" : ` href="${found}"`;
  });

const shownIn = (svg: string): string[] => [...new Set([...svg.matchAll(/ href="photo:([0-9a-f]{64})"/g)].map(([, hash = ""]) => hash))];

async function dataAddress(file: Blob): Promise<string> {
  const bytes = new Uint8Array(await file.arrayBuffer());
  let letters = "";
  // In pieces: a call takes only so many arguments.
  for (let at = 0; at < bytes.length; at += 32_768) letters += String.fromCharCode(...bytes.subarray(at, at + 32_768));
  return `data:${file.type};base64,${btoa(letters)}`;
}

/** The hashes that the text of a job names. */
const named = (job: string): string[] => [...job.matchAll(/"hash"\s*:\s*"([0-9a-f]{64})"/g)].map(([, hash = ""]) => hash);

export function makePhotos(store: PhotoStore, shelf: Shelf): Photos {
  const files = new Map<string, Blob>();
  const addresses = new Map<string, string>();

  function hold(hash: string, file: Blob): void {
    files.set(hash, file);
    if (!addresses.has(hash)) addresses.set(hash, URL.createObjectURL(file));
  }

  async function read(hash: string): Promise<Blob | null> {
    const here = files.get(hash);
    if (here !== undefined) return here;
    const found = await store.read(hash).catch(() => undefined);
    if (found !== undefined) hold(hash, found);
    return found ?? null;
  }

  return {
    read,
    async complete(svg, inside) {
      const found = new Map<string, string>();
      for (const hash of shownIn(svg)) {
        const file = await read(hash);
        if (file !== null) found.set(hash, inside ? await dataAddress(file) : (addresses.get(hash) ?? ""));
      }
      return withPhotos(svg, (hash) => found.get(hash) ?? null);
    },
    async keep(hash, file) {
      try {
        await store.write(hash, file);
      } catch (error) {
        return error instanceof DOMException && error.name === "QuotaExceededError" ? "full" : "refused";
      }
      hold(hash, file);
      return "kept";
    },
    address: (hash) => addresses.get(hash) ?? null,
    async tidy(used, of) {
      const kept = new Set([...used, ...(await shelf.list()).flatMap((job) => named(job.text))]);
      const among = of === undefined ? await store.hashes() : named(of);
      const freed = among.filter((hash) => !kept.has(hash));
      await store.forget(freed);
      return freed.length;
    },
  };
}
