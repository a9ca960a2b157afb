// The picture at true scale with the outline and the marked areas over it, and what is done with them.

import { useSignal } from "@preact/signals";
import { useRef } from "preact/hooks";

import { DROPPED, type FlawKind, type Place } from "../../state/tracing";
import { text } from "../../text";
import { useApp } from "../app-context";
import { FlawList } from "./FlawList";
import { Handle, type At } from "./Handle";
import { TakeIt } from "./TakeIt";
import { Zoomed } from "./Zoomed";

/** A board is shown at least so high, or its edges could not be told from its knots. */
const LEAST_HEIGHT = 190;

export function TraceStage() {
  const { photographing } = useApp();
  const { tracing } = photographing;
  const stage = photographing.stage.value;
  const kind = useSignal<FlawKind>("knot");
  const drawn = useRef(0);
  if (stage.at !== "trace") return null;
  const { pixel, origin, size } = stage.photo;
  const [width, height] = [size[0] * pixel, size[1] * pixel];
  const [left, top] = [origin[0], origin[1] + height];
  /** The picture's y runs down, the board's up. */
  const onBoard = (at: At): Place => ({ x: at.x + left, y: top - at.y });
  const { traced, picked } = tracing;
  const { outline, flaws } = traced.value;

  function drop(at: At): void {
    const { x, y } = onBoard(at);
    const [along, across] = DROPPED[kind.value];
    tracing.addFlaw({ kind: kind.value, from: { x: x - along / 2, y: y - across / 2 }, to: { x: x + along / 2, y: y + across / 2 }, corners: null, proposed: null });
  }

  function draw(from: At, to: At, goesOn: boolean): void {
    if (!goesOn) {
      tracing.addFlaw({ kind: kind.value, from: onBoard(from), to: onBoard(from), corners: null, proposed: null });
      // What the program sees meanwhile comes after it.
      drawn.current = traced.peek().flaws.length - 1;
    }
    tracing.shapeFlaw(drawn.current, onBoard(from), onBoard(to), true);
  }

  return (
    <div class="photo-stage">
      <div class="photo-side-picture">
        <p class="hint">{text.photograph.trace}</p>
        <Zoomed size={[width, height]} least={LEAST_HEIGHT} label={text.photograph.tracePicture} background={<img class="photo-picture" src={stage.address} alt="" draggable={false} />} tap={drop} draw={draw}>
          {(scale) => {
            const seen = (place: Place): At => ({ x: (place.x - left) * scale, y: (top - place.y) * scale });
            const placeOf = (at: At): Place => onBoard({ x: at.x / scale, y: at.y / scale });
            return (
              <>
                {[...(traced.value.seenOutline?.lines ?? [])].map((line, at) => (
                  <polygon key={at} class="photo-board" points={pointsOf(line.map(seen))} />
                ))}
                {[...traced.value.grain, ...(traced.value.seenGrain?.lines ?? [])].map((line, at) => (
                  <polyline key={at} class="photo-grain" points={pointsOf(line.map(seen))} />
                ))}
                <Outline outline={outline} seen={seen} placeOf={placeOf} />
                {flaws.map((_, at) => (
                  <FlawShape key={at} at={at} seen={seen} placeOf={placeOf} />
                ))}
                {outline.map((corner, at) => (
                  <Handle
                    key={at}
                    at={seen(corner)}
                    label={text.photograph.corner(at + 1)}
                    class="photo-corner"
                    chosen={picked.value?.what === "corner" && picked.value.at === at}
                    choose={() => (picked.value = { what: "corner", at })}
                    drag={(to, goesOn) => tracing.moveCorner(at, placeOf(to), goesOn)}
                    nudge={(right, down) => tracing.moveCorner(at, { x: corner.x + right, y: corner.y - down })}
                    remove={() => tracing.remove({ what: "corner", at })}
                  >
                    <circle class="touch-area" r="16" />
                    <circle class="photo-dot" r="5" />
                  </Handle>
                ))}
              </>
            );
          }}
        </Zoomed>
      </div>
      <div class="photo-side-words">
        <fieldset class="photo-kinds">
          <legend>{text.photograph.drops}</legend>
          {(Object.keys(text.photograph.kinds) as FlawKind[]).map((each) => (
            <label key={each} class={kind.value === each ? "is-chosen" : ""}>
              <input type="radio" name="flaw-kind" checked={kind.value === each} onChange={() => (kind.value = each)} />
              <span>{text.photograph.kinds[each]}</span>
            </label>
          ))}
        </fieldset>
        <FlawList />
        <TakeIt photo={stage.photo} />
      </div>
    </div>
  );
}

const pointsOf = (line: readonly At[]): string => line.map(({ x, y }) => `${x},${y}`).join(" ");

interface Seeing {
  readonly seen: (place: Place) => At;
  readonly placeOf: (at: At) => Place;
}

/** The outline; pressed on an edge it gets a corner more, which is dragged at once. */
function Outline({ outline, seen, placeOf }: { outline: readonly Place[] } & Seeing) {
  const { tracing } = useApp().photographing;
  const dragged = useSignal<number | null>(null);
  const at = outline.map(seen);
  const on = (event: PointerEvent & { currentTarget: SVGElement }): Place => {
    const box = event.currentTarget.ownerSVGElement?.getBoundingClientRect();
    return placeOf({ x: event.clientX - (box?.left ?? 0), y: event.clientY - (box?.top ?? 0) });
  };
  return (
    <g
      onPointerMove={(event) => {
        if (dragged.value !== null) tracing.moveCorner(dragged.value, on(event), true);
      }}
      onPointerUp={(event) => {
        event.stopPropagation();
        dragged.value = null;
      }}
      onPointerCancel={() => (dragged.value = null)}
    >
      <polygon class="photo-outline" points={pointsOf(at)} />
      {at.map((from, index) => {
        const to = at[(index + 1) % at.length] ?? from;
        return (
          <line
            key={index}
            class="photo-edge"
            x1={from.x}
            y1={from.y}
            x2={to.x}
            y2={to.y}
            onPointerDown={(event) => {
              if (event.button !== 0) return;
              event.stopPropagation();
              // The line itself is another one once it has a corner more.
              (event.currentTarget.parentElement as Element | null)?.setPointerCapture(event.pointerId);
              tracing.addCorner(index, on(event));
              dragged.value = index + 1;
            }}
          />
        );
      })}
    </g>
  );
}

/** A marked area: dragged as a whole, or by two corners once it is picked out. */
function FlawShape({ at, seen, placeOf }: { at: number } & Seeing) {
  const { tracing } = useApp().photographing;
  const flaw = tracing.traced.value.flaws[at];
  if (flaw === undefined) return null;
  const isPicked = tracing.picked.value?.what === "flaw" && tracing.picked.value.at === at;
  const [a, b] = [seen(flaw.from), seen(flaw.to)];
  const [width, height] = [b.x - a.x, a.y - b.y];
  const middle = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
  const pick = (): void => void (tracing.picked.value = { what: "flaw", at });
  const shift = (dx: number, dy: number, goesOn: boolean): void =>
    tracing.shapeFlaw(at, { x: flaw.from.x + dx, y: flaw.from.y + dy }, { x: flaw.to.x + dx, y: flaw.to.y + dy }, goesOn);
  const name = text.photograph.kinds[flaw.kind];
  const sizing = (corner: Place, move: (to: Place, goesOn: boolean) => void) => (
    <Handle at={seen(corner)} label={text.photograph.handle(name)} class="photo-size" choose={pick} drag={(to, goesOn) => move(placeOf(to), goesOn)} nudge={(right, down) => move({ x: corner.x + right, y: corner.y - down }, false)}>
      <circle class="touch-area" r="16" />
      <rect class="photo-dot" x="-4" y="-4" width="8" height="8" />
    </Handle>
  );
  return (
    <>
      <Handle
        at={middle}
        label={name}
        class={`photo-flaw flaw-${flaw.kind} ${flaw.proposed === null ? "" : "is-proposed"}`}
        chosen={isPicked}
        choose={pick}
        drag={(to, goesOn) => {
          const [now, before] = [placeOf(to), placeOf(middle)];
          shift(now.x - before.x, now.y - before.y, goesOn);
        }}
        nudge={(right, down) => shift(right, -down, false)}
        remove={() => tracing.remove({ what: "flaw", at })}
      >
        <rect class="touch-area" x={-Math.max(width, 28) / 2} y={-Math.max(height, 28) / 2} width={Math.max(width, 28)} height={Math.max(height, 28)} />
        {flaw.corners !== null ? (
          <polygon points={flaw.corners.map(({ x, y }) => `${(x - 0.5) * width},${(0.5 - y) * height}`).join(" ")} />
        ) : flaw.kind === "knot" || flaw.kind === "flaw" ? (
          <ellipse rx={width / 2} ry={height / 2} />
        ) : (
          <rect x={-width / 2} y={-height / 2} width={width} height={height} />
        )}
      </Handle>
      {isPicked && (
        <>
          {sizing(flaw.from, (to, goesOn) => tracing.shapeFlaw(at, to, flaw.to, goesOn))}
          {sizing(flaw.to, (to, goesOn) => tracing.shapeFlaw(at, flaw.from, to, goesOn))}
        </>
      )}
    </>
  );
}
