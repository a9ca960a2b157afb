// Taking what was traced over a photo into the job. The photo is in the browser's store before anything of it is
// accepted, so that a full disk is told while nothing is lost.

import type { Signal } from "@preact/signals";

import type { PhotoZone } from "../protocol/generated";
import type { TruePhoto } from "../protocol/messages";
import { text } from "../text";
import type { DialogName } from "./app";
import type { Desk } from "./desk";
import type { Keeper } from "./keeping";
import type { Photographing } from "./photographing";
import type { Photos } from "./photos";
import type { Flaw, Place } from "./tracing";

/** `sure`: as it is, though something was said against it. Comes back with what kept it from being done, in words. */
export type TakePhoto = (photo: TruePhoto, withPhoto: boolean, sure: boolean) => Promise<string | null>;

export function makeTakePhoto(desk: Desk, photos: Photos, photographing: Photographing, keeper: Keeper, dialog: Signal<DialogName | null>): TakePhoto {
  return async (photo, withPhoto, sure) => {
    if (withPhoto) {
      const kept = await photos.keep(photo.hash, photo.file);
      if (kept !== "kept") return kept === "full" ? text.photograph.full : text.photograph.storeRefused;
    }
    const { outline, flaws, grain } = photographing.tracing.traced.peek();
    const figure = withPhoto ? await photographing.map(outline) : null;
    const { board, face, newOutline, part, thickness } = photographing.target.peek();
    const places = photographing.fit.peek()?.marks ?? [];
    const outcome = desk.change((session) =>
      session.take_photo({
        board: desk.state.peek().boards.find(({ id }) => id === board)?.thing ?? null,
        face,
        // Without a photo only what was traced over it is taken.
        hash: withPhoto ? photo.hash : "",
        pixel: photo.pixel,
        origin: [...photo.origin],
        size: [...photo.size],
        original: [...(photographing.shown.peek()?.size ?? photo.size)],
        marks: photographing.marks.asked.peek().marks.map((mark, at) => ({ ...mark, place: places[at]?.place ?? mark.place ?? null })),
        outline: outline.map(({ x, y }) => [x, y]),
        new_outline: newOutline,
        part: part && board !== null,
        sure,
        zones: flaws.filter((flaw) => flaw.proposed === null).map(zoneOf),
        grain: grain.map((line) => line.map(({ x, y }) => [x, y])),
        figure: figure?.map ?? "",
        thickness,
        species: "",
      }),
    );
    if (outcome === null || !outcome.done) return outcome?.problem ?? text.trouble.session;
    if (figure?.problem) {
      desk.notice.value = { text: figure.problem, tone: "plain", buttons: [] };
      desk.say(figure.problem);
    }
    await keeper.flush();
    photographing.next();
    if (photographing.stage.peek().at === "ask") dialog.value = null;
    return null;
  };
}

/** Ovals by their box, all others corner by corner. */
function zoneOf({ kind, from, to, corners }: Flaw): PhotoZone {
  const place = ({ x, y }: Place): [number, number] => [from.x + x * (to.x - from.x), from.y + y * (to.y - from.y)];
  const box = [
    { x: 0, y: 0 },
    { x: 1, y: 0 },
    { x: 1, y: 1 },
    { x: 0, y: 1 },
  ];
  const oval = corners === null && (kind === "knot" || kind === "flaw");
  return { kind: kind === "sapwood" ? "sapwood" : "defect", note: text.photograph.notes[kind], oval, corners: (corners ?? box).map(place) };
}
