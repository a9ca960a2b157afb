// A job and its photographs in one ZIP file: joined and taken apart as the core says, the pictures never copied
// more than a browser needs to.

import { contentHash } from "../protocol/content-hash";
import { Packing, unpack } from "../protocol/generated";

export interface Unpacked {
  readonly job: string;
  readonly photos: readonly { readonly hash: string; readonly file: Blob }[];
  /** Pictures that are not those that they are called. */
  readonly broken: number;
}

/** The file, and how many photos there was no room for. */
export async function pack(job: string, photos: ReadonlyMap<string, Blob>): Promise<{ readonly file: Blob; readonly left: number }> {
  const packing = new Packing();
  try {
    const pieces: BlobPart[] = [packing.job(job) as BlobPart, job];
    let left = 0;
    for (const [hash, photo] of photos) {
      const head = packing.photo(hash, new Uint8Array(await photo.arrayBuffer()));
      if (head === undefined) left += 1;
      else pieces.push(head as BlobPart, photo);
    }
    pieces.push(packing.finish() as BlobPart);
    return { file: new Blob(pieces, { type: "application/zip" }), left };
  } finally {
    packing.free();
  }
}

/** Texts as one file of this moment, and how many there was no room for. */
export function packTexts(texts: readonly { readonly name: string; readonly text: string }[], now: Date): { readonly file: Blob; readonly left: number } {
  const packing = Packing.of(new Uint32Array([now.getFullYear(), now.getMonth() + 1, now.getDate(), now.getHours(), now.getMinutes()]));
  try {
    const pieces: BlobPart[] = [];
    const letters = new TextEncoder();
    let left = 0;
    for (const { name, text } of texts) {
      const bytes = letters.encode(text);
      const head = packing.file(name, bytes);
      if (head === undefined) left += 1;
      else pieces.push(head as BlobPart, bytes);
    }
    pieces.push(packing.finish() as BlobPart);
    return { file: new Blob(pieces, { type: "application/zip" }), left };
  } finally {
    packing.free();
  }
}

/** What is in such a file; a sentence where it cannot be opened. */
export async function takeApart(file: Blob): Promise<Unpacked | string> {
  const bytes = new Uint8Array(await file.arrayBuffer());
  const found = unpack(bytes);
  if (found.problem !== null) return found.problem;
  const photos: { hash: string; file: Blob }[] = [];
  for (const { hash, from, to } of found.photos) {
    const picture = bytes.subarray(from, to);
    if (contentHash(picture) === hash) photos.push({ hash, file: new Blob([picture], { type: "image/jpeg" }) });
    // The page stays usable: hashing a picture takes some hundredths of a second.
    await new Promise((done) => setTimeout(done));
  }
  return { job: found.job, photos, broken: found.photos.length - photos.length };
}
