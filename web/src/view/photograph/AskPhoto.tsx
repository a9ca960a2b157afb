// Where photos come from: chosen, taken with the camera, or dropped; and why one was refused.

import { useSignal } from "@preact/signals";

import { text } from "../../text";
import { useApp } from "../app-context";
import { choosePhotos } from "../files";

export function AskPhoto() {
  const { photographing } = useApp();
  const stage = photographing.stage.value;
  const over = useSignal(false);
  const choose = async (camera: boolean): Promise<void> => photographing.take(await choosePhotos(camera));
  const refused = stage.at === "ask" ? stage.refused : null;
  return (
    <div
      class={`photo-ask ${over.value ? "is-over" : ""}`}
      onDragOver={(event) => {
        event.preventDefault();
        over.value = true;
      }}
      onDragLeave={() => (over.value = false)}
      onDrop={(event) => {
        event.preventDefault();
        event.stopPropagation();
        over.value = false;
        photographing.take([...(event.dataTransfer?.files ?? [])]);
      }}
    >
      {refused !== null && (
        <p class="problem" role="alert">
          {text.files.ofFile(refused.file, refused.words ?? text.photograph.refused[refused.why])}
        </p>
      )}
      <p>{text.photograph.explain}</p>
      <div class="row-buttons">
        <button type="button" class="button primary" autofocus onClick={() => void choose(false)}>
          {text.photograph.choose}
        </button>
        <button type="button" class="button" onClick={() => void choose(true)}>
          {text.photograph.camera}
        </button>
      </div>
      <p class="hint">{text.photograph.drop}</p>
    </div>
  );
}
