// A question at the bench: its fields, and the button that hands all of it over as one step.

import type { Form } from "../../protocol/generated";
import type { Asked } from "../../state/at-bench";
import { QUESTION } from "../../state/drafts";
import { text } from "../../text";
import { useApp } from "../app-context";
import { Groups } from "../FormView";

export function AskSheet({ asked, form }: { asked: Asked; form: Form }) {
  const { bench, desk } = useApp();
  const { kind } = asked.ask;
  const notice = desk.notice.value;
  const details = form.fields.filter((field) => field.place === "details");
  return (
    <section
      class="ask"
      onKeyDown={(event) => {
        if (event.key !== "Enter" || !(event.ctrlKey || event.metaKey)) return;
        event.preventDefault();
        event.stopPropagation();
        bench.handOver();
      }}
    >
      <button type="button" class="button quiet back" onClick={bench.close}>
        {text.forms.backTo(text.places.bench)}
      </button>
      <div class="sheet-head">
        <h2>{form.title}</h2>
      </div>
      {kind === "cut" && <p class="lead">{text.bench.draw}</p>}
      <form class="form" onSubmit={(event) => event.preventDefault()} aria-label={form.title}>
        {form.problems.map((problem) => (
          <p class="problem" key={problem}>
            {problem}
          </p>
        ))}
        <Groups fields={form.fields.filter((field) => field.place !== "details")} of={QUESTION} focus={asked.field} commit={bench.answer} />
        {details.length > 0 && (
          <details class="details" open={details.some((field) => field.problem !== null) || undefined}>
            <summary>{text.forms.details}</summary>
            <Groups fields={details} of={QUESTION} focus={asked.field} commit={bench.answer} />
          </details>
        )}
        <div class="ask-foot">
          {notice?.tone === "problem" && <p class="problem">{notice.text}</p>}
          <button type="button" class="button primary wide" data-at-end data-hand-over title={text.shown.withKey(text.bench.handOver[kind], text.bench.handOverKeys)} onClick={bench.handOver}>
            {text.bench.handOver[kind]}
          </button>
        </div>
      </form>
    </section>
  );
}
