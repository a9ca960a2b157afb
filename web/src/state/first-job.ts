// The job that lies on the floor when the page opens, and what was being typed when it went away.

import type { PageName, Thing } from "../protocol/generated";
import { text } from "../text";
import type { App } from "./app";
import { PASTED_LIST, TYPED_BOARDS, WHOLE_JOB } from "./drafts";
import { freshId } from "./fresh-id";
import type { KeptJob } from "./shelf";

/**
 * The job kept last, or the demo job at the first opening and where the store is silent. `begun`:
 * once it is known whether this tab keeps it. `isTouched`: whether somebody has begun to work.
 */
export async function putFirstJob(
  app: App,
  demo: string | undefined,
  newest: Promise<KeptJob | undefined>,
  late: boolean,
  isTouched: () => boolean,
): Promise<{ readonly begun: Promise<void> }> {
  const kept = late ? undefined : await newest;
  if (kept !== undefined && (app.desk.ask((session) => session.open(kept.text))?.accepted ?? false)) {
    app.desk.refresh();
    // A job that the core cannot bear stays on the shelf, and the page still opens.
    if (app.fault.value === null) {
      return { begun: app.keeper.begin(kept.id, kept.stamp) };
    }
  }
  if (demo !== undefined) app.desk.ask((session) => session.open(demo));
  app.desk.refresh();
  const begun = app.keeper.begin(freshId(), 0);
  if (late) waitForStore(app, newest, isTouched);
  else {
    app.firstSteps.value = true;
    app.keeper.keep();
  }
  return { begun };
}

/** Says that the store is silent, and offers the kept job once it speaks. Until then nothing is put into it. */
function waitForStore(app: App, newest: Promise<KeptJob | undefined>, isTouched: () => boolean): void {
  const { desk, keeper } = app;
  const say = (sentence: string, buttons: { label: string; run: () => void }[]): void => {
    desk.notice.value = { text: sentence, tone: "problem", buttons };
    desk.say(sentence);
  };
  keeper.storeIsSilent();
  say(text.keeping.silent, []);
  void newest.then((job) => {
    // The demo is put beside kept jobs only once somebody changes it: the newest is opened next time.
    keeper.storeAnswers(job === undefined);
    desk.notice.value = null;
    if (job === undefined) {
      app.firstSteps.value = true;
    } else if (!isTouched()) void app.files.fromShelf(job.id);
    else {
      const title = job.title === "" ? text.page.untitled : job.title;
      say(text.keeping.answers(title), [
        { label: text.keeping.openKept, run: () => void app.files.fromShelf(job.id) },
      ]);
    }
  });
}

/** Puts what was being typed when the page went away back into its field. */
export async function giveBackDraft(app: App): Promise<void> {
  const { desk, drafts } = app;
  const draft = await drafts.read();
  if (draft === null) return;
  const { thing, field, ask } = draft;
  if (ask !== null) {
    if (field !== "") drafts.giveBack(draft);
    app.bench.open(ask, field === "" ? null : field);
    return sayGivenBack(app);
  }
  if (field === PASTED_LIST) {
    drafts.giveBack({ ...draft, thing: WHOLE_JOB });
    app.dialog.value = "paste";
    return;
  }
  if (field === TYPED_BOARDS) {
    desk.goTo("timber");
    app.typedBoards.value = draft.text;
    drafts.typed(WHOLE_JOB, TYPED_BOARDS, draft.text);
    desk.attend({ to: "lines" });
    return sayGivenBack(app);
  }
  const form = desk.formOf(thing);
  const fields = [...(form?.fields ?? []), ...(form?.tables ?? []).flatMap((table) => table.rows.flatMap((row) => row.cells))];
  const found = fields.find((each) => each.name === field);
  if (found?.text === draft.text) {
    drafts.jobKept();
    return;
  }
  if (found === undefined) {
    desk.notice.value = { text: text.keeping.draftLost(draft.text), tone: "problem", buttons: [] };
    return;
  }
  drafts.giveBack(draft);
  desk.goTo(placeOf(thing));
  desk.openForm(thing, field);
  sayGivenBack(app);
}

function sayGivenBack({ desk }: App): void {
  desk.notice.value = { text: text.keeping.draft, tone: "plain", buttons: [] };
  desk.say(text.keeping.draft);
}

/** The place whose sheet shows the form of a thing. */
function placeOf(thing: Thing): PageName {
  return thing.of_part === true || thing.kind === "part" || thing.kind === "dimension" || thing.kind === "match" ? "piece" : "timber";
}
