// What is wrong with the job as typed; a press goes to the field.

import type { ProblemRow } from "../protocol/generated";
import { text } from "../text";
import { useApp } from "./app-context";

export function ProblemList({ problems }: { problems: readonly ProblemRow[] }) {
  return (
    <>
      <Listed heading={text.problems.toMend} problems={problems.filter((problem) => problem.level !== "note")} />
      <Listed heading={text.problems.toKnow} problems={problems.filter((problem) => problem.level === "note")} />
    </>
  );
}

function Listed({ heading, problems }: { heading: string; problems: readonly ProblemRow[] }) {
  const { desk } = useApp();
  if (problems.length === 0) return null;
  return (
    <section class="problems" aria-label={heading}>
      <h3>{heading}</h3>
      <ul>
        {problems.map((problem, index) => (
          <li key={`${index} ${problem.code}`} class={`level-${problem.level}`}>
            <ProblemText problem={problem} go={(thing, field) => desk.openForm(thing, field)} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function ProblemText({
  problem,
  go,
}: {
  problem: ProblemRow;
  go: (thing: NonNullable<ProblemRow["thing"]>, field: string | null) => void;
}) {
  const words = (
    <>
      <b>{problem.place}</b>
      <span>{problem.message}</span>
      {problem.hint !== null && <small>{problem.hint}</small>}
    </>
  );
  const thing = problem.thing;
  if (thing === null) return <div class="problem-row">{words}</div>;
  return (
    <button type="button" class="problem-row" onClick={() => go(thing, problem.field)}>
      {words}
    </button>
  );
}
