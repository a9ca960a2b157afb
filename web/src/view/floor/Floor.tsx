// The floor: the picture, the ruler along its top, what is in the hand, and the controls.

import { useComputed, useSignal } from "@preact/signals";
import { useLayoutEffect, useMemo, useRef } from "preact/hooks";

import { actionOf } from "../../state/actions";
import type { App } from "../../state/app";
import { text } from "../../text";
import { ActionButton } from "../ActionButton";
import { useApp } from "../app-context";
import { CutLine } from "./CutLine";
import { DrawBar, DrawLines, Loupe } from "./DrawBar";
import { FloorNotice } from "./FloorNotice";
import { followPushed } from "./following";
import { makeHand } from "./hand";
import { makeHeldKeys } from "./held-keys";
import { makeLink, type LinkHolder } from "./link";
import { makeLooking, type Looking } from "./looking";
import { MarkHandle } from "./MarkHandle";
import { NearWords } from "./NearWords";
import { makePainter, type FloorPainter } from "./painter";
import { makePointing } from "./pointing";
import { Ruler } from "./Ruler";
import { makeStops } from "./stops";
import { targetOf } from "./target";
import { TurnHandle } from "./TurnHandle";
import { Welcome } from "./Welcome";

/** The parts of the floor, joined; its painter comes with its elements. */
function makeFloor(app: App) {
  const { desk, bench } = app;
  const painter: { current: FloorPainter | null } = { current: null };
  const paint = (): FloorPainter | null => painter.current;
  const looking: Looking = makeLooking(desk, paint, () => pointing.isIdle());
  const hand = makeHand(app, paint, looking);
  const pointing = makePointing(looking, hand.follow, (at, tool) => bench.draws.peek() || hand.sketching.grips(at, tool));
  const keys = makeHeldKeys(app, paint, looking.view);
  const stops = makeStops(desk, paint, looking);
  return { painter, looking, hand, pointing, keys, stops };
}

export function Floor({ link }: { link: LinkHolder }) {
  const app = useApp();
  const { desk } = app;
  const { painter, looking, hand, pointing, keys, stops } = useMemo(() => makeFloor(app), []);
  const frame = useRef<HTMLElement>(null);
  const picture = useRef<SVGSVGElement>(null);
  const worldRef = useRef<SVGGElement>(null);
  const heldRef = useRef<SVGGElement>(null);
  const painted = useSignal(0);

  useLayoutEffect(() => {
    const world = worldRef.current;
    const held = heldRef.current;
    const element = frame.current;
    const svg = picture.current;
    if (world === null || held === null || element === null || svg === null) return;
    const paint = makePainter(world, held, app.photos.address);
    painter.current = paint;
    const undrawn = looking.view.subscribe(({ scale }) => app.drawing.seenAt(scale));
    const unseen = app.drawing.row.subscribe((row) => {
      const id = desk.state.peek().boards.find((each) => each.thing.row === row)?.id;
      if (id === undefined) return;
      const { x, y } = looking.view.peek();
      looking.reveal(paint.boardElement({ id, copy: 1 }));
      // Else it would slip out of sight again when the floor gets room.
      if (looking.view.peek().x !== x || looking.view.peek().y !== y) looking.byHand();
    });
    const ends = [undrawn, unseen, looking.attach(element), pointing.attach(element), keys.listen(), stops.attach(world, painted), followPushed(paint)];
    desk.paintWith((scene, anew) => {
      paint.paint(scene, anew);
      looking.painted();
      hand.painted();
      painted.value += 1;
      svg.setAttribute("aria-label", scene.description);
    });
    link.current = makeLink(paint, looking, pointing, hand, keys);
    return () => {
      link.current = null;
      desk.paintWith(null);
      for (const end of ends) end();
    };
  }, []);

  const below = useComputed(() => {
    void painted.value;
    return looking.boardsBelow();
  });
  const near = hand.inHand.value ?? keys.inHand.value;

  return (
    <>
      <main
        class="floor"
        id="floor"
        data-draws={app.bench.draws.value || app.marking.value !== null || app.drawing.seen.value !== null}
        ref={frame}
        onPointerDown={(event) => {
          if (event.target instanceof Element && event.target.closest(".floor-foot, .welcome, .draw-bar, .draw-fields") !== null) return;
          frame.current?.setPointerCapture(event.pointerId);
          pointing.press(event, targetOf(event, desk.chosen.value));
        }}
        onPointerMove={(event) => {
          if (app.drawing.seen.peek() !== null && pointing.isIdle() && event.pointerType === "mouse") hand.sketching.step("hover", looking.pointAt(event), event.altKey);
          pointing.move(event);
        }}
        onPointerUp={pointing.release}
        onPointerCancel={pointing.cancel}
        onDblClick={(event) => {
          if (app.drawing.seen.value !== null) return;
          if (event.target instanceof Element && event.target.closest("[data-part], [data-board]") === null) return;
          const open = actionOf("open-chosen");
          if (open.enabled(app)) open.run(app);
        }}
        onKeyDown={(event) => app.drawing.seen.value === null && stops.key(event)}
        onFocusCapture={(event) => stops.focused(event.target)}
        onContextMenu={(event) => event.preventDefault()}
      >
        <svg class="picture" ref={picture} role="group" aria-label={text.floor.name} focusable="false">
          <g id="floor-seen">
            <g class="world hs" ref={worldRef} />
            <DrawLines view={looking.view} />
          </g>
          <TurnHandle view={looking.view} painted={painted} painter={painter} />
          {app.drawing.seen.value === null && (
            <MarkHandle
              view={looking.view}
              painted={painted}
              tapped={(row, event) => {
                const id = desk.state.peek().boards.find((each) => each.thing.row === row)?.id;
                if (id === undefined) return;
                hand.follow([{ do: "choose", target: { kind: "board", id, copy: 1, chosen: true, handle: false }, at: looking.pointAt(event) }]);
              }}
            />
          )}
          <CutLine view={looking.view} />
        </svg>
        <Ruler view={looking.view} size={looking.size} />
        <DrawBar view={looking.view} size={looking.size} />
        <Loupe size={looking.size} />
        <NearWords now={near} size={looking.size} touch={pointing.isTouch()} />
        <div class="floor-foot">
          <FloorNotice />
          {desk.notice.value === null && below.value > 0 && (
            <button type="button" class="button more-below" onClick={looking.goDown}>
              {text.floor.moreBelow(below.value)}
            </button>
          )}
          <div class="floor-controls" role="group" aria-label={text.floor.zoom}>
            <ActionButton id="closer" class="word" shown={text.actions.closer} />
            <ActionButton id="farther" class="word" shown={text.actions.farther} />
            <ActionButton id="fit" class="word" shown={text.shown.wholeFloor} />
          </div>
        </div>
        <Welcome />
      </main>
      {/* What is in the hand lies over everything: the trestle, from which it comes, and the sheet too. */}
      <svg class="in-hand" aria-hidden="true">
        <g class="held hs" ref={heldRef} />
      </svg>
    </>
  );
}
