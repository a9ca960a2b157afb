// One face as it will look once it is put together, from the front or from behind, beside the boards or large over
// them. A stave is dragged to another place, or the wood under it is pushed along its board.

import { useSignal, type Signal } from "@preact/signals";
import { useRef } from "preact/hooks";

import type { CopyOf, StaveRow } from "../protocol/generated";
import { withPhotos } from "../state/photos";
import { text } from "../text";
import { useApp } from "./app-context";
import { Dialog } from "./dialogs/Dialog";
import { LIVE, letGoOfHeld, pushed as onFloor, showHeld } from "./faces-live";

/** How a face is looked at. */
export interface FaceLook {
  readonly back: Signal<boolean>;
  readonly stands: Signal<boolean>;
  readonly pushes: Signal<boolean>;
}

export const useFaceLook = (stands = false): FaceLook => ({ back: useSignal(false), stands: useSignal(stands), pushes: useSignal(false) });

interface Props {
  readonly of: string;
  readonly title: string;
  readonly look: FaceLook;
  /** Puts a stave at another place, counted from the uppermost; none where the parts stay where they are. */
  readonly move?: (stave: number, to: number) => void;
  /** The staves, the uppermost first. */
  readonly staves?: readonly StaveRow[];
}

/** The picture with its buttons. */
export function Face(props: Props) {
  const { dialog, files } = useApp();
  const isLarge = useSignal(false);
  const close = (): void => {
    isLarge.value = false;
    if (dialog.peek() === "face") dialog.value = null;
  };
  const open = (): void => {
    isLarge.value = true;
    dialog.value = "face";
  };
  const { of, title, look } = props;
  return (
    <>
      <FaceView {...props} />
      <div class="row-buttons">
        <button type="button" class="button small" onClick={open}>
          {text.faces.large}
        </button>
        <button type="button" class="button quiet small" onClick={() => files.svgOfFace(of, look.back.value, look.stands.value, title)}>
          {text.panels.save}
        </button>
      </div>
      {isLarge.value && dialog.value === "face" && (
        <Dialog heading={title} class="face-large" close={close}>
          <FaceView {...props} isLarge={innerWidth > 700} />
        </Dialog>
      )}
    </>
  );
}

function FaceView(props: Props & { readonly isLarge?: boolean }) {
  const { desk } = useApp();
  const { of, look, move, isLarge = false } = props;
  void desk.state.value;
  const { back, stands, pushes } = look;
  const view = desk.ask((session) => (isLarge ? session.face_large(of, back.value, stands.value) : session.face_view(of, back.value, stands.value))) ?? null;
  if (view === null || view.svg === "") return null;
  const turn = (to: boolean): void => {
    back.value = to;
    desk.say(to ? text.faces.back : text.faces.front);
  };
  const choices = (name: string, first: string, second: string, value: boolean, set: (to: boolean) => void) => (
    <span class="face-choice" role="group" aria-label={name}>
      {[first, second].map((word, at) => (
        <button key={word} type="button" class="button small" aria-pressed={value === (at === 1)} onClick={() => set(at === 1)}>
          {word}
        </button>
      ))}
    </span>
  );
  return (
    <div class="face-view">
      <div class="row-buttons">
        {choices(text.faces.side, text.faces.front, text.faces.back, back.value, turn)}
        {move === undefined && choices(text.faces.grain, text.faces.lies, text.faces.stands, stands.value, (to) => (stands.value = to))}
        {view.photo && move !== undefined && choices(text.faces.dragging, text.faces.moves, text.faces.pushes, pushes.value, (to) => (pushes.value = to))}
      </div>
      <Picture {...props} face={view.key} svg={view.svg} canPush={view.photo} />
      {view.photo && <p class="hint">{move === undefined || pushes.value ? text.faces.pushHint : text.faces.moveHint}</p>}
      {view.unseen !== "" && <p class="hint">{view.unseen}</p>}
    </div>
  );
}

interface Drag {
  readonly pointer: number;
  readonly x: number;
  readonly y: number;
  readonly group: SVGGElement;
  readonly part: CopyOf;
  readonly pushes: boolean;
  /** Where the pointer is now. */
  at: { x: number; y: number };
  isOn: boolean;
}

/** A part in the hand whose wood is pushed, in millimetres of the face. */
interface Pushed {
  readonly part: CopyOf;
  right: number;
  up: number;
  frame: number;
}

const FAR = 4;

function Picture({ look, move, staves, face, svg, canPush }: Props & { face: string; svg: string; canPush: boolean }) {
  const app = useApp();
  const { desk, photos } = app;
  const drag = useRef<Drag | null>(null);
  const pushed = useRef<Pushed | null>(null);
  const told = useSignal("");
  const stands = move === undefined && look.stands.value;

  function push(part: CopyOf): Pushed | null {
    if (pushed.current !== null) return pushed.current;
    const held = desk.ask((session) => session.drag_begin(part.id, part.copy));
    if (held === null || !held.held) {
      if (held?.problem != null) desk.say((told.value = held.problem));
      return null;
    }
    desk.notice.value = null;
    pushed.current = { part, right: 0, up: 0, frame: 0 };
    onFloor.value = { part, held };
    return pushed.current;
  }

  function slide(now: Pushed): void {
    now.frame = 0;
    const held = desk.ask((session) => session.slide_held(face, now.right, now.up));
    if (held === null) return;
    told.value = held.problem ?? held.sentence;
    if (held.problem !== null) return;
    showHeld(app);
    onFloor.value = { part: now.part, held };
  }

  /** One call a picture: pointers and keys come oftener. */
  function slideSoon(now: Pushed): void {
    if (now.frame === 0) now.frame = requestAnimationFrame(() => slide(now));
  }

  function settle(keep: boolean): void {
    const now = pushed.current;
    if (now === null) return;
    pushed.current = null;
    if (now.frame !== 0) {
      cancelAnimationFrame(now.frame);
      slide(now);
    }
    letGoOfHeld();
    onFloor.value = null;
    told.value = "";
    if (keep) desk.change((session) => session.drag_end());
    else desk.ask((session) => session.drag_cancel());
  }

  function letGo(): Drag | null {
    const from = drag.current;
    drag.current = null;
    from?.group.removeAttribute("transform");
    from?.group.classList.remove("is-held");
    return from;
  }

  function toFace(x: number, y: number, group: SVGGElement): { right: number; up: number } {
    const scale = group.ownerSVGElement?.getScreenCTM()?.a ?? 1;
    return stands ? { right: y / scale, up: x / scale } : { right: x / scale, up: -y / scale };
  }

  function dragTo(from: Drag): void {
    const [dx, dy] = [from.at.x - from.x, from.at.y - from.y];
    if (!from.isOn && Math.hypot(dx, dy) <= FAR) return;
    from.isOn = true;
    if (from.pushes) {
      const now = push(from.part);
      if (now === null) return;
      Object.assign(now, toFace(dx, dy, from.group));
      return slideSoon(now);
    }
    if (move === undefined) return;
    // What is held lies over the others.
    if (from.group.nextElementSibling?.hasAttribute("data-stave") === true) {
      const others = from.group.parentElement?.querySelectorAll("[data-stave]");
      others?.[others.length - 1]?.after(from.group);
    }
    from.group.classList.add("is-held");
    const scale = from.group.ownerSVGElement?.getScreenCTM()?.d ?? 1;
    from.group.setAttribute("transform", `translate(0 ${dy / scale})`);
  }

  function drop(from: Drag, picture: Element): void {
    if (from.pushes && from.isOn) return settle(true);
    const middle = (group: Element): number => {
      const box = group.querySelector(".hs-wood")?.getBoundingClientRect();
      return box === undefined ? 0 : box.top + box.height / 2;
    };
    const own = middle(from.group);
    const all = [...picture.querySelectorAll<SVGGElement>("[data-stave]")];
    const others = all.filter((each) => each !== from.group);
    const above = others.filter((each) => middle(each) < own).length;
    const number = Number(from.group.dataset["stave"]);
    // From behind the lowest is uppermost.
    const to = look.back.value ? others.length - above : above;
    if (!from.isOn) desk.choose({ kind: "part", of: from.part });
    else if (move !== undefined && staves?.[to]?.number !== number) move(number, to);
  }

  function arrow(event: KeyboardEvent): void {
    const way = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowDown: [0, 1], ArrowUp: [0, -1] }[event.key];
    const chosen = desk.chosen.peek();
    if (way === undefined || !canPush || chosen?.kind !== "part" || event.ctrlKey || event.metaKey || event.altKey) return;
    if (!(event.currentTarget as Element).innerHTML.includes(`data-figure="${chosen.of.id}#${chosen.of.copy}"`)) return;
    event.preventDefault();
    event.stopPropagation();
    const now = push(chosen.of);
    if (now === null) return;
    const step = event.shiftKey ? 10 : 1;
    const [x = 0, y = 0] = way;
    now.right += step * (stands ? y : x);
    now.up += step * (stands ? x : -y);
    slideSoon(now);
  }

  return (
    <>
      <div
        class={`panel-picture ${LIVE}`}
        data-face={face}
        tabIndex={canPush ? 0 : undefined}
        role={canPush ? "group" : undefined}
        aria-label={canPush ? text.faces.keys : undefined}
        // The core draws it; all text in it is escaped there.
        dangerouslySetInnerHTML={{ __html: withPhotos(svg, photos.address) }}
        onPointerDown={(event) => {
          const target = event.target instanceof Element ? event.target : null;
          const group = target?.closest<SVGGElement>("[data-stave], [data-seen]") ?? null;
          if (group === null || event.button !== 0 || drag.current !== null) return;
          const part = partOf(group, target, staves);
          if (part === null) return;
          event.currentTarget.setPointerCapture(event.pointerId);
          const at = { x: event.clientX, y: event.clientY };
          const pushes = canPush && (move === undefined || look.pushes.value);
          drag.current = { pointer: event.pointerId, ...at, at, group, part, pushes, isOn: false };
        }}
        onPointerMove={(event) => {
          const from = drag.current;
          if (from?.pointer !== event.pointerId) return;
          from.at = { x: event.clientX, y: event.clientY };
          dragTo(from);
        }}
        onPointerUp={(event) => {
          const from = drag.current;
          if (from?.pointer !== event.pointerId) return;
          drop(from, event.currentTarget);
          letGo();
        }}
        onPointerCancel={() => {
          letGo();
          settle(false);
        }}
        onKeyDown={(event) => {
          if (event.key === "Escape" && pushed.current !== null) {
            event.preventDefault();
            event.stopPropagation();
            letGo();
            settle(false);
          } else arrow(event);
        }}
        onKeyUp={(event) => {
          if (event.key.startsWith("Arrow") && drag.current === null) settle(true);
        }}
        onBlur={() => drag.current === null && settle(true)}
      />
      {canPush && (
        <p class="face-told" role="status">
          {told.value}
        </p>
      )}
    </>
  );
}

/** The part that a place of the picture shows; what stands for a stave of several pieces is the piece there. */
function partOf(group: SVGGElement, target: Element | null, staves: readonly StaveRow[] = []): CopyOf | null {
  const seen = group.dataset["seen"]?.split("#");
  if (seen !== undefined) return { id: seen[0] ?? "", copy: Number(seen[1]) };
  const stave = staves.find(({ number }) => number === Number(group.dataset["stave"]));
  if (stave === undefined) return null;
  const piece = target?.closest<SVGGElement>("[data-piece]")?.dataset["piece"];
  const { id, copy } = stave.part;
  return { id: piece === undefined ? id : id.replace(/\d+$/, piece), copy };
}
