// How the marks of a photograph are laid, picked from small pictures.

import type { PhotoLaid } from "../../protocol/generated";
import { text } from "../../text";
import { useApp } from "../app-context";

/** A board of 52 by 16 in a picture of 60 by 40, and where the marks are. */
const pictures: Record<PhotoLaid, { readonly marks: readonly (readonly [number, number])[]; readonly more: string }> = {
  corners: { marks: [[4, 13], [56, 12], [56, 28], [4, 27]], more: "" },
  rectangle: { marks: [[10, 6], [50, 6], [50, 34], [10, 34]], more: "" },
  rule: { marks: [[14, 20], [46, 20]], more: "M14 20H46" },
  places: { marks: [[8, 8], [30, 33], [52, 6], [46, 20], [12, 30]], more: "" },
};

export function LaidChoice() {
  const { laid, lay } = useApp().photographing.marks;
  return (
    <fieldset class="laid-choice">
      <legend>{text.photograph.laid}</legend>
      {(Object.keys(pictures) as PhotoLaid[]).map((way) => (
        <label key={way} title={text.photograph.wayHelp[way]}>
          <input type="radio" name="laid" checked={laid.value === way} onChange={() => lay(way)} />
          <svg viewBox="0 0 60 40" aria-hidden="true">
            <path class="laid-board" d="M4 13L56 12V28L4 27Z" />
            <path class="laid-marks" d={pictures[way].marks.map(([x, y]) => `M${x - 3} ${y}h6M${x} ${y - 3}v6`).join("") + pictures[way].more} />
          </svg>
          <span>{text.photograph.ways[way]}</span>
        </label>
      ))}
      <p class="hint">{text.photograph.wayHelp[laid.value]}</p>
    </fieldset>
  );
}
