// A new photograph of a piece that was cut: from then on it is drawn as it is, wherever it is seen.

import type { CopyOf } from "../../protocol/generated";
import { text } from "../../text";
import { useApp } from "../app-context";

export function PhotoOf({ board, name }: { board: CopyOf; name: string }) {
  const { dialog, photographing } = useApp();
  return (
    <button
      type="button"
      class="button quiet small"
      data-photo-of={board.id}
      aria-label={text.bench.photoOf(name)}
      title={text.bench.photoHint}
      onClick={() => {
        photographing.target.value = { ...photographing.target.peek(), board: board.id };
        dialog.value = "photograph";
      }}
    >
      {text.bench.photo}
    </button>
  );
}
