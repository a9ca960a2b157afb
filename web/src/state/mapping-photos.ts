// Photographs of older files have no map of their figure: it is made of the kept picture in a worker, one after the
// other, as soon as the picture can be shown. Pictures of invented logs are made there whole. The job's steps stay as
// they are.

import type { PhotoToRender } from "../protocol/generated";
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
      await renderAll();
      for (;;) {
        const wanted = desk.ask((session) => session.photos_to_map()) ?? [];
        const photo = wanted.find(({ hash }) => !tried.has(hash));
        if (photo === undefined) return;
        tried.add(photo.hash);
        const file = await photos.read(photo.hash);
        if (file === null) continue;
        const done = await made({ say: "map_kept", protocol: PROTOCOL, core, file, photo });
        const map = done?.say === "mapped" ? done.figure?.map : undefined;
        if (map === undefined) continue;
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

  async function renderAll(): Promise<void> {
    const wanted = (): readonly PhotoToRender[] => desk.ask((session) => session.photos_to_render()) ?? [];
    const named = (photo: PhotoToRender): string => JSON.stringify(photo);
    for (;;) {
      const photo = wanted().find((each) => !tried.has(named(each)));
      if (photo === undefined) return;
      tried.add(named(photo));
      const done = await made({ say: "render", protocol: PROTOCOL, core, photo });
      if (done?.say !== "rendered" || (await photos.keep(done.hash, done.file)) !== "kept") continue;
      // Another job may lie there by now.
      if (!wanted().some((each) => named(each) === named(photo))) continue;
      desk.showOtherwise((session) => session.keep_rendered(photo.row, done.hash, done.figure.map));
      changed();
    }
  }

  /** What a worker of its own answers. */
  function made(asked: ToPhoto): Promise<FromPhoto | null> {
    return new Promise((answer) => {
      let hired: Worker;
      try {
        hired = startWorker();
      } catch {
        return answer(null);
      }
      const done = (said: FromPhoto | null): void => {
        hired.terminate();
        answer(said);
      };
      hired.onerror = (event) => {
        event.preventDefault();
        done(null);
      };
      hired.onmessage = ({ data }: MessageEvent<FromPhoto>) => done(data);
      hired.postMessage(asked);
    });
  }

  return () => void mapNext();
}
