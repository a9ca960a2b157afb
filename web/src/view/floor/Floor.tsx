// The floor: the picture, the ruler along its top, what is in the hand, and the controls.

import { useComputed, useSignal, useSignalEffect } from "@preact/signals";
import { useLayoutEffect, useRef } from "preact/hooks";

import { idle, isBusy, step, type GestureState } from "../../gestures/floor-gesture";
import { HOLD_MS, type PointerInput, type Target, type Tool } from "../../gestures/pointer";
import { onScreen, type ScreenPoint } from "../../gestures/points";
import { filled, fitted, panned, revealing, zoomed, type Box, type Room, type Viewport } from "../../gestures/viewport";
import type { CopyOf } from "../../protocol/generated";
import { actionOf } from "../../state/actions";
import type { FloorControls } from "../../state/app";
import { text } from "../../text";
import { ActionButton } from "../ActionButton";
import { useApp } from "../app-context";
import { narrow } from "../window";
import { makeHand, type Hand } from "./hand";
import { makeHeldKeys, type HeldKeys } from "./held-keys";
import { FOOT_HEIGHT, RULER_HEIGHT } from "./measures";
import { makePainter, type FloorPainter } from "./painter";
import { MarkHandle } from "./MarkHandle";
import { Ruler } from "./Ruler";
import { TurnHandle } from "./TurnHandle";
import { walked } from "./walk";
import { Welcome } from "./Welcome";

/** The floor's own doings, for the trestle (whose blanks are dragged here) and for actions. */
export interface FloorLink {
  controls: FloorControls;
  /** Feeds a pointer of the trestle, in screen coordinates of the window. */
  pointer(input: PointerFromOutside): void;
  busy(): boolean;
  /** Arrow keys hold a part. */
  holding(): boolean;
  cancel(): void;
  turnHeld(degrees: number): boolean;
  turnHeldOver(): boolean;
}

export type PointerFromOutside =
  | { readonly type: "press"; readonly event: PointerEvent; readonly target: Target }
  | { readonly type: "move" | "release" | "cancel"; readonly event: PointerEvent };

/** Left of the boards their names stand; in a narrow window above them. */
const NAMES = 84;
const NAME_ABOVE = 26;
/** Told to the core in place of the window's shape where the floor scrolls. */
const SCROLLS = 0.01;

function targetOf(event: Event, chosen: { kind: string; of: { id: string; copy: number } } | null): Target {
  const from = event.target instanceof Element ? event.target : null;
  const turn = from?.closest<SVGElement>("[data-turn]");
  const isChosen = (kind: string, id: string, copy: number): boolean =>
    chosen?.kind === kind && chosen.of.id === id && chosen.of.copy === copy;
  if (turn != null && chosen?.kind === "part") return { kind: "turn_handle", ...chosen.of };
  const part = from?.closest<SVGElement>("[data-part]");
  if (part != null) {
    const id = part.dataset["part"] ?? "";
    const copy = Number(part.dataset["copy"] ?? "1");
    return { kind: "part", id, copy, chosen: isChosen("part", id, copy) };
  }
  const board = from?.closest<SVGElement>("[data-board]");
  if (board != null) {
    const id = board.dataset["board"] ?? "";
    const copy = Number(board.dataset["copy"] ?? "1");
    const handle = from?.closest(".hs-name, .hs-quiet") != null;
    return { kind: "board", id, copy, chosen: isChosen("board", id, copy), handle };
  }
  return { kind: "floor" };
}

export function Floor({ link }: { link: { current: FloorLink | null } }) {
  const app = useApp();
  const { desk } = app;
  const frame = useRef<HTMLElement>(null);
  const picture = useRef<SVGSVGElement>(null);
  const worldRef = useRef<SVGGElement>(null);
  const heldRef = useRef<SVGGElement>(null);
  const painter = useRef<FloorPainter | null>(null);
  const hand = useRef<Hand | null>(null);
  const gesture = useRef<GestureState>(idle);
  const holdTimer = useRef<ReturnType<typeof setTimeout> | null>(null);
  const spaceHeld = useRef(false);
  const touching = useRef(false);
  const measureAgain = useRef(() => {});
  /** The fragment that had the keyboard's focus last. */
  const lastStop = useRef("");
  const view = useSignal<Viewport>({ scale: 0.4, x: 90, y: 60 });
  const size = useSignal({ width: 800, height: 500 });
  const handSignal = useSignal<Hand | null>(null);
  const keysSignal = useSignal<HeldKeys | null>(null);
  const painted = useSignal(0);
  // Until a person moves the picture, it keeps showing the whole floor.
  const fitting = useRef(true);

  // Nothing slips away from under a pointer that is down.
  const fits = (): boolean => fitting.current && gesture.current.name === "idle";

  const room = (): Room => {
    const { width, height } = size.value;
    const top = RULER_HEIGHT + (narrow.value ? NAME_ABOVE : 16);
    const left = narrow.value ? 10 : NAMES;
    return {
      left,
      top,
      width: Math.max(60, width - left - (narrow.value ? 10 : 24)),
      height: Math.max(60, height - top - FOOT_HEIGHT - 12),
    };
  };

  /** All boards; in a narrow window the longest as wide as it is, from the first board on. */
  const whole = (box: Box): Viewport => (narrow.value ? filled(box, room()) : fitted(box, room()));

  const pointAt = (event: { clientX: number; clientY: number }): ScreenPoint => {
    const box = frame.current?.getBoundingClientRect();
    return onScreen(event.clientX - (box?.left ?? 0), event.clientY - (box?.top ?? 0));
  };

  const overTrestle = (event: PointerEvent): boolean => {
    const under = document.elementFromPoint(event.clientX, event.clientY);
    return under?.closest("[data-trestle]") != null;
  };

  function feed(input: PointerInput): void {
    const [next, intents] = step(gesture.current, input);
    if (input.type === "press" || next.name !== "pressed") clearHold();
    gesture.current = next;
    if (intents.some((intent) => intent.do === "pan" || intent.do === "zoom")) fitting.current = false;
    frame.current?.classList.toggle("is-panning", next.name === "panning" || next.name === "pinching");
    document.body.classList.toggle("is-carrying", isBusy(next));
    hand.current?.follow(intents);
  }

  function clearHold(): void {
    if (holdTimer.current !== null) clearTimeout(holdTimer.current);
    holdTimer.current = null;
  }

  function press(event: PointerEvent, target: Target): void {
    const middleButton = event.pointerType === "mouse" && event.button === 1;
    if (event.pointerType === "mouse" && event.button !== 0 && !middleButton) return;
    if (middleButton) event.preventDefault();
    touching.current = event.pointerType === "touch";
    feed({
      type: "press",
      pointer: event.pointerId,
      tool: (event.pointerType === "touch" || event.pointerType === "pen" ? event.pointerType : "mouse") as Tool,
      at: pointAt(event),
      target,
      pan: middleButton || spaceHeld.current,
    });
    if (event.pointerType === "touch" && gesture.current.name === "pressed") {
      holdTimer.current = setTimeout(() => feed({ type: "hold", pointer: event.pointerId }), HOLD_MS);
    }
  }

  function move(event: PointerEvent): void {
    if (gesture.current.name === "idle") return;
    feed({ type: "move", pointer: event.pointerId, at: pointAt(event), free: event.altKey });
  }

  function release(event: PointerEvent): void {
    feed({ type: "release", pointer: event.pointerId, at: pointAt(event), overTrestle: overTrestle(event) });
  }

  useLayoutEffect(() => {
    const world = worldRef.current;
    const heldGroup = heldRef.current;
    const element = frame.current;
    const svg = picture.current;
    if (world === null || heldGroup === null || element === null || svg === null) return;

    const paint = makePainter(world, heldGroup);
    painter.current = paint;
    const made = makeHand(desk, app.ticks, () => painter.current, view, () => size.value);
    hand.current = made;
    handSignal.value = made;
    const keys = makeHeldKeys(desk, () => painter.current, view);
    keysSignal.value = keys;
    const unheard = keys.listen();

    const measure = (): void => {
      size.value = { width: element.clientWidth, height: element.clientHeight };
      const free = room();
      if (element.clientHeight > 0) desk.shaped(narrow.value ? SCROLLS : free.width / free.height);
      if (fits()) view.value = whole(paint.bounds());
    };
    measureAgain.current = measure;
    const watch = new ResizeObserver(measure);
    watch.observe(element);

    desk.paintWith((scene, anew) => {
      paint.paint(scene, anew);
      if (fits()) view.value = whole(scene.bounds);
      painted.value += 1;
      svg.setAttribute("aria-label", scene.description);
    });

    const wheel = (event: WheelEvent): void => {
      event.preventDefault();
      fitting.current = false;
      if (event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY)) {
        view.value = { ...view.value, x: view.value.x - (event.deltaX || event.deltaY) };
        return;
      }
      const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 18 : 1;
      const factor = Math.exp(-event.deltaY * lines * (event.ctrlKey ? 0.01 : 0.0016));
      view.value = zoomed(view.value, factor, pointAt(event));
    };
    element.addEventListener("wheel", wheel, { passive: false });

    const space = (event: KeyboardEvent): void => {
      const typing = event.target instanceof HTMLElement && event.target.closest("input, textarea, select, button, summary");
      if (event.key !== " " || typing) return;
      spaceHeld.current = event.type === "keydown";
      element.classList.toggle("may-pan", spaceHeld.current);
      if (event.target === document.body || element.contains(event.target as Node)) event.preventDefault();
    };
    window.addEventListener("keydown", space);
    window.addEventListener("keyup", space);

    const box = (fragment: string): Box | null => {
      const found = paint.element(fragment);
      if (found === null) return null;
      const at = found.getBoundingClientRect();
      const corner = pointAt({ clientX: at.left, clientY: at.top });
      const now = view.value;
      return {
        x: (corner.x - now.x) / now.scale,
        y: (corner.y - now.y) / now.scale,
        width: at.width / now.scale,
        height: at.height / now.scale,
      };
    };

    link.current = {
      controls: {
        fit() {
          fitting.current = true;
          view.value = whole(paint.bounds());
        },
        zoom(factor) {
          fitting.current = false;
          view.value = zoomed(view.value, factor, onScreen(size.value.width / 2, size.value.height / 2));
        },
        nudge: (part, dx, dy) => keys.nudge(part, dx, dy),
        reveal(fragment) {
          const found = box(fragment);
          if (found !== null) view.value = revealing(view.value, found, room());
        },
        revealChanged() {
          const changed = paint.changed();
          const first = changed.parts[0] ?? changed.boards[0];
          if (first !== undefined) link.current?.controls.reveal(first);
          else if (changed.gone !== null) showOnTrestle(changed.gone);
        },
        focus(fragment) {
          paint.element(fragment)?.focus({ preventScroll: true });
        },
      },
      pointer(input) {
        if (input.type === "press") press(input.event, input.target);
        else if (input.type === "move") move(input.event);
        else if (input.type === "release") release(input.event);
        else feed({ type: "cancel" });
      },
      busy: () => isBusy(gesture.current),
      holding: () => keys.holding(),
      cancel: () => feed({ type: "cancel" }),
      turnHeld: (degrees) => made.turnHeld(degrees),
      turnHeldOver: () => made.turnHeldOver(),
    };

    return () => {
      desk.paintWith(null);
      unheard();
      watch.disconnect();
      element.removeEventListener("wheel", wheel);
      window.removeEventListener("keydown", space);
      window.removeEventListener("keyup", space);
      link.current = null;
    };
  }, []);

  useSignalEffect(() => {
    void narrow.value;
    measureAgain.current();
  });

  // The picture follows the view at once; labels are sized anew when it has come to rest.
  useSignalEffect(() => {
    const now = view.value;
    painter.current?.look(now);
    const timer = setTimeout(() => desk.seenAt(now.scale), 140);
    return () => clearTimeout(timer);
  });

  // Roving focus: exactly one thing on the floor can be reached by Tab.
  useSignalEffect(() => {
    void painted.value;
    const world = worldRef.current;
    if (world === null) return;
    const here = document.activeElement;
    const chosen = desk.chosen.value;
    const ofChosen = chosen === null ? null : chosen.kind === "part" ? painter.current?.partElement(chosen.of) : painter.current?.boardElement(chosen.of);
    // What has the focus, else what is chosen, else where the keyboard was last, else the first board.
    const current =
      here !== null && world.contains(here)
        ? here
        : (ofChosen ?? painter.current?.element(lastStop.current) ?? world.querySelector("[data-board]") ?? world.querySelector("[data-part]"));
    for (const other of world.querySelectorAll('[tabindex="0"]')) if (other !== current) other.setAttribute("tabindex", "-1");
    current?.setAttribute("tabindex", "0");
  });

  function walkTo(event: KeyboardEvent): void {
    const here = document.activeElement;
    if (!(here instanceof SVGGElement) || (here.dataset["part"] === undefined && here.dataset["board"] === undefined)) return;
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      event.stopPropagation();
      const id = here.dataset["part"] ?? here.dataset["board"] ?? "";
      const copy = Number(here.dataset["copy"] ?? "1");
      desk.choose({ kind: here.dataset["part"] !== undefined ? "part" : "board", of: { id, copy } });
      return;
    }
    // Arrows move what is chosen, where it has the focus; from anything else they walk.
    const chosen = desk.chosen.value;
    const isChosen = chosen?.kind === "part" && chosen.of.id === here.dataset["part"] && String(chosen.of.copy) === here.dataset["copy"];
    if (isChosen && desk.state.value.selection?.placed === true && event.key.startsWith("Arrow")) return;
    if (event.shiftKey || event.ctrlKey || event.metaKey || event.altKey) return;
    if (!["ArrowRight", "ArrowLeft", "ArrowDown", "ArrowUp", "Home", "End"].includes(event.key) || painter.current === null) return;
    event.preventDefault();
    event.stopPropagation();
    const next = walked(painter.current, here, event.key);
    if (next === null) return;
    here.setAttribute("tabindex", "-1");
    next.setAttribute("tabindex", "0");
    next.focus({ preventScroll: true });
    link.current?.controls.reveal(next.dataset["fragment"] ?? "");
  }

  /** Boards that begin below what is seen. */
  const below = useComputed(() => {
    void painted.value;
    const now = view.value;
    const seen = size.value.height - FOOT_HEIGHT - 8;
    return (painter.current?.boards() ?? []).filter((board) => board.y * now.scale + now.y > seen).length;
  });
  const near = useComputed(() => handSignal.value?.inHand.value ?? keysSignal.value?.inHand.value ?? null);

  return (
    <>
    <main
      class="floor"
      id="floor"
      ref={frame}
      onPointerDown={(event) => {
        if (event.target instanceof Element && event.target.closest(".floor-foot, .welcome") !== null) return;
        frame.current?.setPointerCapture(event.pointerId);
        press(event, targetOf(event, desk.chosen.value));
      }}
      onPointerMove={move}
      onPointerUp={release}
      onPointerCancel={() => feed({ type: "cancel" })}
      onDblClick={(event) => {
        if (event.target instanceof Element && event.target.closest("[data-part], [data-board]") === null) return;
        const open = actionOf("open-chosen");
        if (open.enabled(app)) open.run(app);
      }}
      onKeyDown={walkTo}
      onFocusCapture={({ target }) => {
        if (target instanceof SVGGElement) lastStop.current = target.dataset["fragment"] ?? lastStop.current;
      }}
      onContextMenu={(event) => event.preventDefault()}
    >
      <svg class="picture" ref={picture} role="group" aria-label={text.floor.name} focusable="false">
        <g class="world hs" ref={worldRef} />
        <TurnHandle view={view} painted={painted} painter={painter} />
        <MarkHandle view={view} painted={painted} />
      </svg>
      <Ruler view={view} size={size} />
      {near.value !== null && near.value.words !== "" && (
        <p class={`near ${near.value.fits ? "near-fits" : "near-wrong"}`} style={besideHand(near.value.at, size.value, touching.current)}>
          {near.value.words}
        </p>
      )}
      <div class="floor-foot">
        <FloorNotice />
        {desk.notice.value === null && below.value > 0 && (
          <button type="button" class="button more-below" onClick={() => (view.value = panned(view.value, 0, -0.75 * room().height))}>
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

/** Brings a part that went to the trestle into sight there. */
function showOnTrestle(part: CopyOf): void {
  const blank = document.querySelector(`[data-trestle-part="${CSS.escape(part.id)}"]`);
  blank?.scrollIntoView({ block: "nearest", inline: "nearest" });
}

/** Widest that the words beside the hand may be, and the height of two lines of them. */
const NEAR = { width: 300, height: 58 };

/** Where the words about what is in the hand stand: right below a mouse, above a finger or beside it, never under. */
function besideHand(
  at: { x: number; y: number },
  floor: { width: number; height: number },
  touch: boolean,
): { left: string; top: string; maxWidth: string } {
  const width = Math.min(NEAR.width, floor.width - 24);
  const within = (value: number, most: number): number => Math.max(12, Math.min(value, most));
  const highest = RULER_HEIGHT + 6;
  let left = touch ? within(at.x - width / 2, floor.width - width - 12) : within(at.x + 22, floor.width - width - 12);
  let top = touch ? at.y - NEAR.height - 48 : Math.min(at.y + 26, floor.height - NEAR.height - 16);
  if (touch && top < highest) left = at.x > floor.width / 2 ? within(at.x - width - 56, floor.width) : within(at.x + 56, floor.width - 90);
  top = Math.max(highest, top);
  return { left: `${left}px`, top: `${top}px`, maxWidth: `${Math.min(width, floor.width - left - 12)}px` };
}

/** Long enough to read two lines twice. */
const PLAIN_NOTICE_MS = 9000;

function FloorNotice() {
  const { desk } = useApp();
  const notice = desk.notice.value;
  const held = useSignal(false);

  // A sentence that asks for nothing and reports nothing wrong goes by itself, so that it does
  // not lie on the boards; it was also read out. Never while somebody is at it.
  useLayoutEffect(() => {
    if (notice === null) held.value = false;
    if (notice === null || notice.tone !== "plain" || notice.buttons.length > 0 || held.value) return;
    const timer = setTimeout(() => {
      if (desk.notice.value === notice) desk.notice.value = null;
    }, PLAIN_NOTICE_MS);
    return () => clearTimeout(timer);
  }, [notice, held.value]);

  if (notice === null) return null;
  return (
    <div
      onPointerEnter={() => (held.value = true)}
      onPointerLeave={() => (held.value = false)}
      onFocusCapture={() => (held.value = true)}
      onBlurCapture={() => (held.value = false)}
      class={`notice notice-${notice.tone}`}>
      <p title={notice.text}>{notice.text}</p>
      <div class="notice-buttons">
        {notice.buttons.map((button) => (
          <button key={button.label} type="button" class="button" onClick={button.run}>
            {button.label}
          </button>
        ))}
        <button type="button" class="button quiet" aria-label={text.floor.closeMessage} onClick={() => (desk.notice.value = null)}>
          {text.page.close}
        </button>
      </div>
    </div>
  );
}
