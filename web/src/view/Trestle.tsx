// The trestle: blanks that wait, all at one scale, to be dragged on to a board. Copies of a part
// lie on each other, with their number, and what lies further along the strip is drawn when one comes there.

import { useComputed, useSignal } from "@preact/signals";
import { useMemo } from "preact/hooks";

import type { TrestleRow } from "../protocol/generated";
import { text } from "../text";
import { useApp } from "./app-context";
import { useOneStop } from "./one-stop";
import { narrow } from "./window";
import type { LinkHolder } from "./floor/link";

/** Height of the strip that a blank may fill, and the longest it may be drawn, in pixels. */
const ROOM = 46;
const LONGEST = 260;
/** So many are drawn at first, and so many more whenever one comes near their end. */
const DRAWN = 30;

export function Trestle({ link }: { link: LinkHolder }) {
  const { desk } = useApp();
  const state = desk.state.value;
  const rows = state.trestle;
  const scale = useComputed(() => {
    const room = narrow.value ? 26 : ROOM;
    const longest = narrow.value ? 150 : LONGEST;
    let scale = 0.4;
    for (const row of desk.state.value.trestle) {
      scale = Math.min(scale, room / Math.max(row.height, 1), longest / Math.max(row.width, 1));
    }
    return scale;
  });
  const waiting = rows.reduce((sum, row) => sum + row.copies.length, 0);
  const drawn = useSignal(DRAWN);
  const stop = useOneStop<HTMLElement>(".is-chosen");
  return (
    <footer class="trestle" data-trestle="yes" aria-label={text.trestle.name} ref={stop}>
      <div class="trestle-name">
        <b>{text.trestle.heading}</b>
        <small>{waiting === 0 ? "" : text.trestle.waiting(waiting)}</small>
      </div>
      {rows.length === 0 ? (
        <p class="trestle-empty">{state.parts.length === 0 ? text.trestle.noParts : text.trestle.empty}</p>
      ) : (
        <ul
          class="blanks"
          onScroll={({ currentTarget: strip }) => {
            const left = strip.scrollWidth - strip.clientWidth - strip.scrollLeft;
            if (left < strip.clientWidth && drawn.value < rows.length) drawn.value += DRAWN;
          }}
        >
          {rows.slice(0, drawn.value).map((row) => (
            <Blank key={row.part.id} row={row} scale={scale.value} link={link} />
          ))}
        </ul>
      )}
    </footer>
  );
}

function Blank({ row, scale, link }: { row: TrestleRow; scale: number; link: LinkHolder }) {
  const { desk } = useApp();
  const chosen = desk.chosen.value;
  const isChosen = chosen?.kind === "part" && chosen.of.id === row.part.id && row.copies.includes(chosen.of.copy);
  const revision = desk.state.value.revision;
  const picture = useMemo(() => desk.ask((session) => session.trestle_picture(row.part.id, row.part.copy)) ?? "", [row.part.id, row.part.copy, revision]);
  const width = Math.max(row.width * scale, 6);
  const height = Math.max(row.height * scale, 4);
  return (
    <li>
      <button
        type="button"
        class={`blank ${isChosen ? "is-chosen" : ""}`}
        data-trestle-part={row.part.id}
        data-copy={row.part.copy}
        aria-pressed={isChosen}
        title={row.reason ?? row.blank}
        onClick={() => desk.choose({ kind: "part", of: row.part })}
        onPointerDown={(event) => {
          if (event.button !== 0) return;
          event.currentTarget.setPointerCapture(event.pointerId);
          link.current?.pointer({ type: "press", event, target: { kind: "trestle", ...row.part } });
        }}
        onPointerMove={(event) => link.current?.pointer({ type: "move", event })}
        onPointerUp={(event) => link.current?.pointer({ type: "release", event })}
        onPointerCancel={(event) => link.current?.pointer({ type: "cancel", event })}
        onContextMenu={(event) => event.preventDefault()}
      >
        <svg
          class="hs"
          width={width}
          height={height}
          viewBox={`0 ${-row.height} ${Math.max(row.width, 1)} ${Math.max(row.height, 1)}`}
          preserveAspectRatio="none"
          aria-hidden="true"
          dangerouslySetInnerHTML={{ __html: picture }}
        />
        <span>
          {row.name} {row.copies.length > 1 && <b class="times">× {row.copies.length}</b>} <small>{row.blank}</small>
        </span>
      </button>
    </li>
  );
}
