// Photographs of older files have no map of their figure: it is made of the kept picture in a worker, one after the
// other, as soon as the picture can be shown. The job's steps stay as they are.

import { PROTOCOL, type FromPhoto, type ToPhoto } from "../protocol/messages";
import type { Desk } from "./desk";
import type { Photos } from "./photos";

/** `changed`: the job is to be kept again. What comes back is called whenever the job has changed and its photographs can be shown. */
export function makeMapKept(desk: Desk, photos: Photos, startWorker: () => Worker, core: WebAssembly.Module, changed: () => void): () => void {
  let busy = false;
  /** Those that failed are not tried again before the page is opened anew. */
  const tried = new Set<string>();

  async function mapNext(): Promise<void> {
    if (busy) return;
    busy = true;
    try {
      for (;;) {
        const wanted = desk.ask((session) => session.photos_to_map()) ?? [];
        const photo = wanted.find(({ hash }) => !tried.has(hash));
        if (photo === undefined) return;
        tried.add(photo.hash);
        const file = await photos.read(photo.hash);
        if (file === null) continue;
        const map = await made({ say: "map_kept", protocol: PROTOCOL, core, file, photo });
        if (map === null) continue;
        let kept = false;
        desk.showOtherwise((session) => void (kept = session.keep_figure(photo.hash, map)));
        if (!kept) continue;
        tried.delete(photo.hash);
        changed();
      }
    } finally {
      busy = false;
    }
  }

  /** What a worker of its own makes of a picture. */
  function made(asked: ToPhoto): Promise<string | null> {
    return new Promise((answer) => {
      let hired: Worker;
      try {
        hired = startWorker();
      } catch {
        return answer(null);
      }
      const done = (map: string | null): void => {
        hired.terminate();
        answer(map);
      };
      hired.onerror = (event) => {
        event.preventDefault();
        done(null);
      };
      hired.onmessage = ({ data }: MessageEvent<FromPhoto>) => done(data.say === "mapped" ? (data.figure?.map ?? null) : null);
      hired.postMessage(asked);
    });
  }

  return () => void mapNext();
}
