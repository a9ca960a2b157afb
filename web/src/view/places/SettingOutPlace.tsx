// Setting out: set out, stop, keep improving; what came of it and what is chosen.

import type { FindingRow, KeptRow, UnplacedRow } from "../../protocol/generated";
import { text } from "../../text";
import { ActionButton } from "../ActionButton";
import { useApp } from "../app-context";
import { narrow } from "../window";
import { Panels, SetsTogether } from "../Panels";
import { ProblemList } from "../ProblemList";
import { ProgressChart } from "../ProgressChart";
import { SelectionView } from "../SelectionView";

export function SettingOutPlace() {
  const app = useApp();
  const { desk, settingOut } = app;
  const state = desk.state.value;
  const plan = state.plan;
  const running = settingOut.running.value;
  return (
    <>
      {narrow.value && <SelectionView />}
      <div class="sheet-head">
        <h2>{plan?.sentence ?? text.settingOut.empty}</h2>
      </div>
      {plan !== null && (
        <p class={`verdict verdict-${plan.verdict}`}>
          <span aria-hidden="true">{plan.verdict === "wrong" ? "✗" : "✓"}</span> {plan.verdict_text}
        </p>
      )}
      {plan?.stale != null && <p class="stale">{plan.stale}</p>}
      {plan === null && <p class="lead">{text.settingOut.invite}</p>}
      <div class="go">
        {running ? (
          <>
            <p class="working" aria-live="off">
              <i aria-hidden="true" /> {settingOut.doing.value}
            </p>
            <ActionButton id="set-out" class="primary" />
          </>
        ) : (
          <ActionButton id="set-out" class="primary wide" />
        )}
      </div>
      {plan?.progress != null && <ProgressChart progress={plan.progress} />}
      {plan !== null && (
        <dl class="figures">
          {plan.figures.map((line) => (
            <div key={line.label}>
              <dt>{line.label}</dt>
              <dd>{line.value}</dd>
            </div>
          ))}
        </dl>
      )}
      {plan !== null && plan.sizes.length > 0 && (
        <ul class="sizes-given">
          {plan.sizes.map((each) => (
            <li key={each}>{each}</li>
          ))}
        </ul>
      )}
      {plan?.made != null && (
        <details class="made">
          <summary>{text.settingOut.details}</summary>
          <p>{plan.made}</p>
        </details>
      )}
      {!narrow.value && <SelectionView />}
      <Panels />
      <SetsTogether />
      {plan !== null && <Unplaced rows={plan.unplaced} />}
      <Findings rows={state.findings} />
      <Aims aims={state.aims} />
      <Kept rows={state.kept} />
      <ProblemList problems={state.problems} />
    </>
  );
}

function Unplaced({ rows }: { rows: readonly UnplacedRow[] }) {
  const { desk } = useApp();
  if (rows.length === 0) return null;
  return (
    <section class="unplaced">
      <h3>{text.settingOut.notPlaced}</h3>
      <ul>
        {rows.map((row) => {
          const first = row.parts[0];
          return (
            <li key={row.name}>
              <button
                type="button"
                class="problem-row"
                onClick={() => first !== undefined && desk.choose({ kind: "part", of: first })}
              >
                <b>{row.name}</b>
                <span>{row.reason}</span>
                {row.least_board !== null && <small>{row.least_board}</small>}
              </button>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

function Findings({ rows }: { rows: readonly FindingRow[] }) {
  const { desk, floor } = useApp();
  if (rows.length === 0) return null;
  return (
    <section class="findings">
      <h3>{text.settingOut.findings}</h3>
      <ul>
        {rows.map((row) => (
          <li key={row.id} class={`finding finding-${row.severity}`}>
            <button
              type="button"
              class="problem-row"
              onClick={() => {
                const part = row.parts[0];
                if (part !== undefined) desk.choose({ kind: "part", of: part });
                else if (row.board !== null) desk.choose({ kind: "board", of: row.board });
                floor.reveal(row.id);
              }}
            >
              <span>{row.message}</span>
              {row.severity === "not_checked" && <small>{text.settingOut.notChecked}</small>}
              {row.severity === "caution" && <small>{text.settingOut.caution}</small>}
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Aims({ aims }: { aims: readonly string[] }) {
  const { desk } = useApp();
  if (aims.length === 0) return null;
  return (
    <section class="aims">
      <h3>{text.settingOut.aims}</h3>
      <ol>
        {aims.map((aim, index) => (
          <li key={aim}>
            <span>{aim}</span>
            <span class="aim-buttons">
              <button
                type="button"
                class="button quiet small"
                aria-label={text.settingOut.matters.more(aim)}
                aria-disabled={index === 0}
                onClick={() => index > 0 && desk.change((session) => session.move_aim(index, index - 1))}
              >
                {text.settingOut.up}
              </button>
              <button
                type="button"
                class="button quiet small"
                aria-label={text.settingOut.matters.less(aim)}
                aria-disabled={index === aims.length - 1}
                onClick={() => index < aims.length - 1 && desk.change((session) => session.move_aim(index, index + 1))}
              >
                {text.settingOut.down}
              </button>
            </span>
          </li>
        ))}
      </ol>
    </section>
  );
}

function Kept({ rows }: { rows: readonly KeptRow[] }) {
  const { desk } = useApp();
  return (
    <section class="kept">
      <h3>{text.settingOut.kept}</h3>
      {rows.length > 0 && (
        <ul class="rows">
          {rows.map((row) => (
            <li key={row.name} class={row.shown ? "is-chosen" : ""}>
              <button
                type="button"
                class="row-open"
                title={text.settingOut.show}
                onClick={() => desk.change((session) => session.show_plan(row.name))}
              >
                <span class="row-words">
                  <b>{row.name}</b>
                  <span>{row.text}</span>
                  {row.shown && <span>{text.settingOut.onFloor}</span>}
                  {row.verdict === "wrong" && <em class="bad">{text.settingOut.breaksRule}</em>}
                </span>
              </button>
              <button
                type="button"
                class="button quiet small"
                aria-label={text.settingOut.forgetPlan(row.name)}
                onClick={() => desk.change((session) => session.forget_plan(row.name))}
              >
                {text.settingOut.forget}
              </button>
            </li>
          ))}
        </ul>
      )}
      <div class="row-buttons">
        <ActionButton id="keep-plan" class="small" />
        {rows.length > 0 && <ActionButton id="compare" class="small" />}
      </div>
    </section>
  );
}
