// Panels as they are glued up, beside the boards: the picture of each, its staves one by one, and how it moves over
// the year; and other parts that are seen together.

import type { CopyOf, PanelSheet, TogetherSheet } from "../protocol/generated";
import { text } from "../text";
import { useApp } from "./app-context";
import { Balance } from "./Balance";
import { Face, useFaceLook } from "./FacePicture";

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
  const { desk } = useApp();
  const look = useFaceLook();
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
      <Face of={panel.key} title={panel.title} look={look} move={move} staves={panel.staves} />
      <Balance of={panel.key} title={panel.title} look={look} />
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
    </section>
  );
}

/** `top..1.3` of its piece `top..1.3.2` too. */
const staveOf = (id: string): string => /^.*\.\.\d+\.\d+/.exec(id)?.[0] ?? id;

/** Doors in a row, fronts of drawers, runs. */
export function SetsTogether() {
  const { desk } = useApp();
  void desk.state.value;
  const sets = desk.ask((session) => session.sets_together()) ?? [];
  return (
    <>
      {sets.map((set) => (
        <SetTogether key={set.key} set={set} />
      ))}
    </>
  );
}

function SetTogether({ set }: { set: TogetherSheet }) {
  const look = useFaceLook(set.stands);
  return (
    <section class="panel" aria-label={text.faces.together(set.title)}>
      <h3>{text.faces.together(set.title)}</h3>
      <p class="hint">{set.facts}</p>
      <Face of={set.key} title={set.title} look={look} />
      <Balance of={set.key} title={set.title} look={look} />
    </section>
  );
}
