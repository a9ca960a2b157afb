// The two faces of a board of which the down face is known: the board as it lies, turned over like a page and back.

import { useSignal } from "@preact/signals";

import type { Thing } from "../protocol/generated";
import { withPhotos } from "../state/photos";
import { text } from "../text";
import { useApp } from "./app-context";

export function Faces({ thing }: { thing: Thing }) {
  const { desk, photos } = useApp();
  const isTurned = useSignal(false);
  void desk.state.value;
  const svg = desk.ask((session) => session.face_picture(thing, isTurned.value)) ?? null;
  if (svg === null) return null;
  const word = (turned: boolean): string => (turned ? text.forms.faces.down : text.forms.faces.up);
  return (
    <section class="faces" aria-label={text.forms.faces.heading}>
      <h3>{text.forms.faces.heading}</h3>
      <div class="row-buttons">
        <button
          type="button"
          class="button small"
          aria-pressed={isTurned.value}
          onClick={() => {
            isTurned.value = !isTurned.value;
            desk.say(word(isTurned.value));
          }}
        >
          {text.forms.faces.turn}
        </button>
        <b>{word(isTurned.value)}</b>
      </div>
      {/* The core draws it; all text in it is escaped there. */}
      <div class="face-picture" dangerouslySetInnerHTML={{ __html: withPhotos(svg, photos.address) }} />
      <p class="hint">{text.forms.faces.hint}</p>
    </section>
  );
}
