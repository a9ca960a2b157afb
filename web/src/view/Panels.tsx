// Panels as they are glued up, beside the boards: the picture of each, in which a stave is dragged to
// another place, its staves one by one, and how it moves over the year.

import { useSignal } from "@preact/signals";

import type { CopyOf, PanelSheet } from "../protocol/generated";
import { text } from "../text";
import { useApp } from "./app-context";

/** `of`: those of one part alone. */
export function Panels({ of }: { of?: string }) {
  const { desk } = useApp();
  void desk.state.value;
  const panels = desk.ask((session) => session.panels()) ?? [];
  const shown = panels.filter((panel) => of === undefined || panel.panel.id === of);
  return (
    <>
      {shown.map((panel) => (
        <Panel key={`${panel.panel.id} ${panel.panel.copy}`} panel={panel} />
      ))}
    </>
  );
}

function Panel({ panel }: { panel: PanelSheet }) {
  const { desk, files } = useApp();
  const chosen = desk.chosen.value;
  // A piece of a stave stands for it too.
  const isChosen = (part: CopyOf): boolean =>
    chosen?.kind === "part" && staveOf(chosen.of.id) === staveOf(part.id);
  const move = (stave: number, to: number): void =>
    void desk.change((session) => session.move_stave(panel.panel.id, panel.panel.copy, stave, to));
  const last = panel.staves.length - 1;
  return (
    <section class="panel" aria-label={text.panels.name(panel.title)}>
      <h3>{text.panels.name(panel.title)}</h3>
      <p class="hint">{panel.facts}</p>
      {panel.problems.map((problem) => (
        <p class="problem" key={problem}>
          {problem}
        </p>
      ))}
      <Picture panel={panel} move={move} />
      <ol class="staves">
        {panel.staves.map((stave, at) => (
          <li key={stave.number} class={isChosen(stave.part) ? "is-chosen" : ""}>
            <button type="button" class="row-open" onClick={() => desk.choose({ kind: "part", of: stave.part })}>
              <span class="row-words">
                <b>{stave.name}</b> <span>{stave.text}</span>
              </span>
            </button>
            <span class="aim-buttons">
              <button
                type="button"
                class="button quiet small"
                aria-label={text.panels.up(stave.name, panel.title)}
                aria-disabled={at === 0}
                onClick={() => at > 0 && move(stave.number, at - 1)}
              >
                {text.settingOut.up}
              </button>
              <button
                type="button"
                class="button quiet small"
                aria-label={text.panels.down(stave.name, panel.title)}
                aria-disabled={at === last}
                onClick={() => at < last && move(stave.number, at + 1)}
              >
                {text.settingOut.down}
              </button>
            </span>
          </li>
        ))}
      </ol>
      <details>
        <summary>{text.panels.movement}</summary>
        <dl class="figures">
          {panel.movement.map((line) => (
            <div key={line.label}>
              <dt>{line.label}</dt>
              <dd>{line.value}</dd>
            </div>
          ))}
        </dl>
        <p class="hint">{panel.movement_because}</p>
      </details>
      <p class="hint">{panel.mark}</p>
      <div class="row-buttons">
        <button type="button" class="button quiet small" onClick={() => files.svgOfPanel(panel.panel)}>
          {text.panels.save}
        </button>
      </div>
    </section>
  );
}

/** `top..1.3` of its piece `top..1.3.2` too. */
const staveOf = (id: string): string => /^.*\.\.\d+\.\d+/.exec(id)?.[0] ?? id;

interface Drag {
  readonly pointer: number;
  readonly stave: number;
  readonly piece: string | undefined;
  readonly y: number;
  readonly group: SVGGElement;
}

/** A stave is dragged over the others; where its middle comes to lie is its place. */
function Picture({ panel, move }: { panel: PanelSheet; move: (stave: number, to: number) => void }) {
  const { desk } = useApp();
  const drag = useSignal<Drag | null>(null);
  const isFar = (from: Drag, y: number): boolean => Math.abs(y - from.y) > 4;

  function letGo(): Drag | null {
    const from = drag.value;
    drag.value = null;
    from?.group.removeAttribute("transform");
    from?.group.classList.remove("is-held");
    return from;
  }

  return (
    <div
      class="panel-picture"
      // The core draws it; all text in it is escaped there.
      dangerouslySetInnerHTML={{ __html: panel.svg }}
      onPointerDown={(event) => {
        const group = event.target instanceof Element ? event.target.closest<SVGGElement>("[data-stave]") : null;
        if (group === null || event.button !== 0 || drag.value !== null) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        const piece = (event.target as Element).closest<SVGGElement>("[data-piece]");
        drag.value = {
          pointer: event.pointerId,
          stave: Number(group.dataset["stave"]),
          piece: piece?.dataset["piece"],
          y: event.clientY,
          group,
        };
      }}
      onPointerMove={(event) => {
        const from = drag.value;
        if (from?.pointer !== event.pointerId || !isFar(from, event.clientY)) return;
        const svg = from.group.ownerSVGElement;
        const scale = svg?.getScreenCTM()?.d ?? 1;
        // What is held lies over the others.
        if (from.group.nextElementSibling?.hasAttribute("data-stave") === true) {
          const staves = from.group.parentElement?.querySelectorAll("[data-stave]");
          staves?.[staves.length - 1]?.after(from.group);
        }
        from.group.classList.add("is-held");
        from.group.setAttribute("transform", `translate(0 ${(event.clientY - from.y) / scale})`);
      }}
      onPointerUp={(event) => {
        const from = drag.value;
        if (from?.pointer !== event.pointerId) return;
        const middle = (group: Element): number => {
          const box = group.querySelector(".hs-wood")?.getBoundingClientRect();
          return box === undefined ? 0 : box.top + box.height / 2;
        };
        const own = middle(from.group);
        const others = [...event.currentTarget.querySelectorAll("[data-stave]")].filter((each) => each !== from.group);
        const to = others.filter((each) => middle(each) < own).length;
        const wasMoved = isFar(from, event.clientY);
        letGo();
        const stave = panel.staves.findIndex((each) => each.number === from.stave);
        const part = panel.staves[stave]?.part;
        // What stands for a stave of several pieces is the first of them.
        const id = from.piece === undefined ? part?.id : part?.id.replace(/\d+$/, from.piece);
        if (!wasMoved && id !== undefined) desk.choose({ kind: "part", of: { id, copy: 1 } });
        else if (to !== stave) move(from.stave, to);
      }}
      onPointerCancel={letGo}
    />
  );
}
