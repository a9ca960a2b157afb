// Bench: the next cut at the top, then what the last one left and changed, the list of cuts, what is
// cut, and the piece with the state of its parts.

import type { Bench } from "../../protocol/generated";
import { heldOn, lastCut, nextStep, stepsOf } from "../../state/at-bench";
import { text } from "../../text";
import { ActionButton } from "../ActionButton";
import { useApp } from "../app-context";
import { canStayAwake } from "../awake";
import { AskSheet } from "../bench/AskSheet";
import { CutList } from "../bench/CutList";
import { DoneCuts, LastCut } from "../bench/DoneCuts";
import { NextCut } from "../bench/NextCut";
import { CopyRow, PieceState } from "../bench/PieceState";

export function BenchPlace() {
  const { desk, bench: atBench } = useApp();
  const { bench } = desk.state.value;
  const asked = atBench.asked.value;
  const form = atBench.form.value;
  if (asked !== null && form !== null) return <AskSheet key={asked.ask.kind} asked={asked} form={form} />;
  const next = nextStep(bench);
  const last = lastCut(bench);
  const hasCuts = stepsOf(bench).length > 0;
  return (
    <>
      {next !== null ? <NextCut step={next} /> : last !== null && !hasCuts && bench.wrong.length === 0 ? <AllCut bench={bench} /> : <NoCuts bench={bench} />}
      <Wrong bench={bench} />
      <Rest bench={bench} />
      <Chosen bench={bench} />
      {last !== null && <LastCut cut={last} />}
      {(hasCuts || last !== null) && (
        <div class="row-buttons bench-buttons">
          <ActionButton id="own-cut" class="small" />
          <ActionButton id="came-to-light" class="small" />
          <ActionButton id="spoil" class="small" />
          <ActionButton id="print" class="quiet small" />
        </div>
      )}
      {hasCuts && <CutList bench={bench} />}
      <DoneCuts bench={bench} />
      {(hasCuts || last !== null) && <PieceState bench={bench} />}
      <Awake />
    </>
  );
}

/** Nothing is planned yet, or nothing of it can be cut. */
function NoCuts({ bench }: { bench: Bench }) {
  return (
    <>
      <div class="sheet-head">
        <h2>{text.bench.empty}</h2>
      </div>
      {bench.wrong.length === 0 && <p class="lead">{text.bench.invite}</p>}
      {bench.rest === null && <ActionButton id="set-out" class="primary" />}
    </>
  );
}

function AllCut({ bench }: { bench: Bench }) {
  return (
    <section class="all-cut">
      <div class="sheet-head">
        <h2>{text.bench.allCut(bench.rest === null)}</h2>
      </div>
      <p class="lead">{bench.tally}</p>
      <ActionButton id="offcuts-home" />
      <p class="hint">{text.bench.allCutHint}</p>
    </section>
  );
}

/** Boards that are not to be cut as they are laid out, and why. */
function Wrong({ bench }: { bench: Bench }) {
  if (bench.wrong.length === 0) return null;
  // A blank that does not do any more is measured again, or its part was spoiled.
  const broken = bench.parts.flatMap((part) => part.copies).filter((copy) => copy.broken !== null);
  const others = bench.wrong.filter((sentence) => broken.every((copy) => copy.broken !== sentence));
  return (
    <div class="bench-wrong" role="alert">
      <b>{text.bench.wrong}</b>
      <ul>
        {others.map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
        {broken.map((copy) => (
          <CopyRow key={copy.name} copy={copy} />
        ))}
      </ul>
    </div>
  );
}

/** What the last change came to, and the way on where something asks for one. */
function Rest({ bench }: { bench: Bench }) {
  const { settingOut } = useApp();
  const running = settingOut.running.value;
  if (bench.changed.length === 0 && bench.rest === null && !running) return null;
  return (
    <section class="rest" aria-label={text.bench.changed}>
      {bench.changed.map((line) => (
        <p key={line}>{line}</p>
      ))}
      {running ? (
        <div class="go">
          <p class="working" aria-live="off">
            <i aria-hidden="true" /> {settingOut.doing.value}
          </p>
          <ActionButton id="set-out" class="primary" />
        </div>
      ) : (
        bench.rest !== null && (
          <>
            <p class="rest-why">{bench.rest}</p>
            <ActionButton id="set-out" class="wide" />
          </>
        )
      )}
    </section>
  );
}

/** The board, piece or part in hand that is chosen on the floor. */
function Chosen({ bench }: { bench: Bench }) {
  const { desk, bench: atBench } = useApp();
  const { selection } = desk.state.value;
  if (selection === null) return null;
  const { board, part } = selection;
  if (board === null) {
    const copies = bench.parts.flatMap((each) => each.copies);
    const copy = copies.find((each) => each.part.id === part?.id && each.part.copy === part.copy);
    return copy === undefined ? null : (
      <section class="chosen-piece" aria-label={text.bench.chosen}>
        <ul>
          <CopyRow copy={copy} />
        </ul>
      </section>
    );
  }
  const held = heldOn(bench, board);
  return (
    <section class="chosen-piece" aria-label={text.bench.chosen}>
      <h3>
        {selection.title} <span>{selection.subtitle}</span>
      </h3>
      <div class="row-buttons">
        <ActionButton id="measure" class="small" />
        {held === null ? (
          <ActionButton id="own-cut" class="small" />
        ) : (
          <button type="button" class="button small" onClick={() => atBench.spoiled(held)}>
            {text.bench.spoiled}
          </button>
        )}
      </div>
    </section>
  );
}

function Awake() {
  const app = useApp();
  if (!canStayAwake()) return null;
  return (
    <div class="field field-flag awake">
      <label>
        <input
          type="checkbox"
          data-awake
          checked={app.awake.value}
          onChange={(event) => {
            app.awake.value = event.currentTarget.checked;
            app.remember("awake", app.awake.value ? "on" : "off");
          }}
        />
        <span>{text.actions.awake}</span>
      </label>
    </div>
  );
}
