// A photograph in a worker: decoded, straightened by marks and made at true scale, all off the page's thread.

import { initSync, Photograph } from "../protocol/generated";
import { contentHash } from "../protocol/content-hash";
import type { PhotoFigure } from "../protocol/generated";
import { PROTOCOL, type FromPhoto, type PhotoRefused, type ToPhoto } from "../protocol/messages";

/** More pixels than this bring a phone's memory to its end and marks no nearer: the photo is reduced to it. */
const MOST_PIXELS = 25_000_000;
const BEYOND = 250_000_000;
/** The longer side of the picture on which marks are set; what is seen closely comes from the photo itself. */
const PREVIEW = 2048;
/** Rows that are read or made at a time. */
const STRIP = 512;
const STEP = 48;
/** The most that the picture of a face may take, in bytes. */
const MOST_BYTES = 4 * 1024 * 1024;

let photo: Photograph | null = null;
/** The photo itself, to be seen closely. */
let whole: ImageBitmap | null = null;
/** Counts the pictures that were begun: another one, or none, was asked for meanwhile. */
let making = 0;

const tell = (answer: FromPhoto, moved: Transferable[] = []): void => self.postMessage(answer, { transfer: moved });
const refuse = (why: PhotoRefused, words: string | null = null): void => tell({ say: "refused", why, words });

export async function photoSays(message: ToPhoto): Promise<void> {
  try {
    switch (message.say) {
      case "photo":
        if (message.protocol !== PROTOCOL) return refuse("failed");
        if (typeof OffscreenCanvas === "undefined") return refuse("old_browser");
        initSync({ module: message.core });
        return await takeIn(message.file);
      case "fit":
        if (photo !== null) tell({ say: "fit", fit: photo.straighten(message.asked) });
        return;
      case "crop":
        return await crop(message);
      case "make":
        return await make(message.pixel);
      case "map":
        return tell({ say: "mapped", figure: photo === null ? null : await mapped(photo, message.outline).catch(() => null) });
      case "map_kept":
        return tell({ say: "mapped", figure: await mapKept(message).catch(() => null) });
      case "render":
        return await render(message);
      case "leave":
        making += 1;
    }
  } catch {
    refuse("failed");
  }
}

/** A canvas to draw on that is read back and never shown. */
function canvas(width: number, height: number): [OffscreenCanvas, OffscreenCanvasRenderingContext2D] {
  const made = new OffscreenCanvas(width, height);
  const context = made.getContext("2d", { alpha: false, willReadFrequently: true });
  if (context === null) throw new Error("no canvas");
  context.imageSmoothingQuality = "high";
  return [made, context];
}

const MAP_ROWS = 96;

/** The map of the figure within an outline, in pieces with a pause between. */
async function mapped(of: Photograph, outline: readonly number[]): Promise<PhotoFigure> {
  of.map_begin(new Float64Array(outline));
  while (of.map(MAP_ROWS) < 1) await pause();
  return of.figure();
}

/** The map of a picture at true scale that is in the job already. */
async function mapKept({ protocol, core, file, photo: of }: ToPhoto & { say: "map_kept" }): Promise<PhotoFigure | null> {
  if (protocol !== PROTOCOL || typeof OffscreenCanvas === "undefined") return null;
  initSync({ module: core });
  const bitmap = await createImageBitmap(file);
  const { width, height } = bitmap;
  const [, context] = canvas(width, height);
  context.drawImage(bitmap, 0, 0);
  bitmap.close();
  const rgba = new Uint8Array(context.getImageData(0, 0, width, height).data.buffer);
  const [x, y] = of.origin;
  return mapped(Photograph.at_true_scale(rgba, width, height, of.pixel, x, y), of.outline);
}

/** The picture of an invented log and its map. */
async function render({ protocol, core, photo: of }: ToPhoto & { say: "render" }): Promise<void> {
  if (protocol !== PROTOCOL || typeof OffscreenCanvas === "undefined") return refuse("failed");
  initSync({ module: core });
  const { pixel, origin, outline } = of.place;
  const [width, height] = of.size;
  const made = Photograph.rendered(of.log, of.board, of.is_down, new Uint32Array(of.size), pixel, new Float64Array(origin));
  const file = await encoded(made, width, height);
  const hash = contentHash(new Uint8Array(await file.arrayBuffer()));
  tell({ say: "rendered", file, hash, figure: await mapped(made, outline) });
}

/** A picture as the file that is kept, no larger than a file may be. */
async function encoded(of: Photograph, width: number, height: number): Promise<Blob> {
  const [sheet, context] = canvas(width, height);
  context.putImageData(new ImageData(new Uint8ClampedArray(of.pixels()), width, height), 0, 0);
  let file: Blob;
  let quality = 0.9;
  do {
    file = await sheet.convertToBlob({ type: "image/jpeg", quality });
    quality -= 0.15;
  } while (file.size > MOST_BYTES && quality > 0.1);
  return file;
}

async function takeIn(file: Blob): Promise<void> {
  const broken = await whyBroken(file);
  if (broken !== null) return refuse(broken);
  let bitmap: ImageBitmap;
  try {
    bitmap = await createImageBitmap(file, { imageOrientation: "from-image" });
  } catch {
    return refuse("broken");
  }
  const original = [bitmap.width, bitmap.height] as const;
  const share = Math.sqrt(MOST_PIXELS / (bitmap.width * bitmap.height));
  const isReduced = share < 1;
  if (isReduced) {
    const reduced = await createImageBitmap(bitmap, { resizeWidth: Math.floor(bitmap.width * share), resizeHeight: Math.floor(bitmap.height * share), resizeQuality: "high" });
    bitmap.close();
    bitmap = reduced;
  }
  whole = bitmap;
  const { width, height } = bitmap;
  // In strips: some browsers have no canvas as large as a photo.
  const rgba = new Uint8Array(4 * width * height);
  const [, strip] = canvas(width, Math.min(STRIP, height));
  for (let row = 0; row < height; row += STRIP) {
    const rows = Math.min(STRIP, height - row);
    strip.drawImage(bitmap, 0, row, width, rows, 0, 0, width, rows);
    rgba.set(strip.getImageData(0, 0, width, rows).data, 4 * width * row);
  }
  photo = new Photograph(rgba, width, height);
  const problem = photo.problem();
  if (problem !== undefined) return refuse("failed", problem);
  const shrunk = Math.min(1, PREVIEW / Math.max(width, height));
  const preview = await createImageBitmap(bitmap, {
    resizeWidth: Math.max(1, Math.round(width * shrunk)),
    resizeHeight: Math.max(1, Math.round(height * shrunk)),
    resizeQuality: "medium",
  });
  tell({ say: "taken_in", size: [width, height], original: isReduced ? original : null, preview }, [preview]);
}

/** What a browser would not say, or say too late: a format that few of them read, and a file that was cut short. */
async function whyBroken(file: Blob): Promise<PhotoRefused | null> {
  const head = new Uint8Array(await file.slice(0, 32).arrayBuffer());
  const letters = String.fromCharCode(...head);
  const isHeic = letters.slice(4, 8) === "ftyp" && /hei[cxsm]|hev[cx]|mif1|msf1/.test(letters.slice(8));
  if (isHeic) {
    // Some browsers read it all the same.
    const reads = await createImageBitmap(file).then((bitmap) => (bitmap.close(), true), () => false);
    return reads ? null : "heic";
  }
  const isJpeg = head[0] === 0xff && head[1] === 0xd8;
  const isPng = letters.startsWith("\x89PNG");
  const isRiff = letters.startsWith("RIFF");
  const isAvif = letters.slice(4, 12) === "ftypavif";
  if (!isJpeg && !isPng && !isRiff && !isAvif && !letters.startsWith("GIF8") && !letters.startsWith("BM")) return "unknown";
  // Phones write notes and small pictures behind the end, so it is sought and need not be last.
  const tail = new Uint8Array(await file.slice(-65_536).arrayBuffer());
  const ends = (mark: readonly number[]): boolean => tail.some((_, at) => mark.every((byte, by) => tail[at + by] === byte));
  if (isJpeg && !ends([0xff, 0xd9])) return "cut_short";
  // Width and height stand at the beginning; beyond this no browser decodes.
  const side = (at: number): number => new DataView(head.buffer).getUint32(at);
  if (isPng && head.length > 24 && side(16) * side(20) > BEYOND) return "too_large";
  if (isPng && !ends([0x49, 0x45, 0x4e, 0x44])) return "cut_short";
  return null;
}

async function crop({ x, y, side }: { x: number; y: number; side: number }): Promise<void> {
  if (whole === null) return;
  const seen = await createImageBitmap(whole, Math.round(x - side / 2), Math.round(y - side / 2), side, side);
  tell({ say: "crop", x, y, side, seen }, [seen]);
}

/** Lets messages be heard between two strips. */
const pause = (): Promise<void> =>
  new Promise((done) => {
    const channel = new MessageChannel();
    channel.port1.onmessage = () => done();
    channel.port2.postMessage(null);
  });

async function make(pixel: number): Promise<void> {
  if (photo === null) return;
  making += 1;
  const mine = making;
  const begun = photo.begin(pixel, new Float64Array());
  if (begun.problem !== null) return refuse("failed", begun.problem);
  for (let share = 0; share < 1; ) {
    share = photo.step(STEP);
    tell({ say: "making", share: 0.9 * share });
    await pause();
    if (mine !== making) return;
  }
  const file = await encoded(photo, ...begun.size);
  if (mine !== making) return;
  const hash = contentHash(new Uint8Array(await file.arrayBuffer()));
  if (mine !== making) return;
  tell({ say: "made", photo: { file, hash, pixel: begun.pixel, origin: begun.origin, size: begun.size } });
  await look(mine).catch(() => tell({ say: "seen", seen: null }));
}

/** Looks for outline, flaws and grain while the maker looks at the picture. */
async function look(mine: number): Promise<void> {
  if (photo === null) return;
  photo.look_begin(new Float64Array());
  for (let share = 0; share < 1; ) {
    share = photo.look(1);
    tell({ say: "looking", share });
    await pause();
    if (mine !== making) return;
  }
  tell({ say: "seen", seen: photo.seen() });
}
