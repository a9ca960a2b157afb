// Has the photographs of the job drawn as soon as they have come out of the browser's store, and says so once
// where some of them are not there.

import { effect } from "@preact/signals";

import { text } from "../text";
import type { Desk } from "./desk";
import type { Photos } from "./photos";

/** `shownNow`: after each change, once its photos can be shown. `jobId`: what is missing is told once for each job. Call what comes back when the core was started again. */
export function showPhotos(desk: Desk, photos: Photos, jobId: () => string, shownNow: () => void): () => void {
  let shown = "";
  let told = "";
  let turn = 0;

  async function look(): Promise<void> {
    turn += 1;
    const mine = turn;
    const files = desk.ask((session) => session.photo_files()) ?? [];
    const found = await Promise.all(files.map((hash) => photos.read(hash)));
    if (mine !== turn) return;
    const here = files.filter((_, at) => found[at] !== null);
    if (here.join() !== shown) {
      shown = here.join();
      desk.showOtherwise((session) => session.show_photos(here));
    }
    // Pictures of invented logs are made again.
    const made = (desk.ask((session) => session.photos_to_render()) ?? []).filter((photo) => photo.place.hash !== "");
    const missing = files.length - here.length - made.length;
    if (missing > 0 && told !== jobId()) {
      told = jobId();
      const words = text.photograph.missing(missing);
      desk.notice.value = { text: words, tone: "plain", buttons: [] };
      desk.say(words);
    }
    shownNow();
  }

  effect(() => {
    void desk.changes.value;
    void look();
  });
  return () => {
    shown = "";
    void look();
  };
}
