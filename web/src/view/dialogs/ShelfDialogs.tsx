// Jobs kept in this browser, and what to do when two tabs have the same one.

import { useSignal, useSignalEffect } from "@preact/signals";

import type { KeptJob } from "../../state/shelf";
import { text } from "../../text";
import { useApp } from "../app-context";
import { pictured, type Pictured } from "../small-picture";
import { Dialog } from "./Dialog";

export function ShelfDialog({ close }: { close: () => void }) {
  const app = useApp();
  const jobs = useSignal<readonly KeptJob[] | null>(null);
  const failed = useSignal(false);
  const again = useSignal(0);
  const sure = useSignal<string | null>(null);
  useSignalEffect(() => {
    void again.value;
    void app.keeper
      .flush()
      .then(() => app.shelf.list())
      .then(
        (list) => (jobs.value = list),
        () => (failed.value = true),
      );
  });
  // One after another, so that a long list is there at once and its pictures follow.
  const pictures = useSignal<ReadonlyMap<string, Pictured | null>>(new Map());
  useSignalEffect(() => {
    const next = jobs.value?.find((job) => !pictures.value.has(job.id));
    if (next === undefined) return;
    const timer = setTimeout(() => {
      pictures.value = new Map(pictures.value).set(next.id, pictured(app.desk, next.text));
    });
    return () => clearTimeout(timer);
  });
  const when = (at: number): string => new Date(at).toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" });
  return (
    <Dialog heading={text.shelf.heading} close={close}>
      {failed.value && <p class="problem">{text.keeping.off}</p>}
      {jobs.value?.length === 0 && <p>{text.shelf.none}</p>}
      <ul class="rows">
        {(jobs.value ?? []).map((job) => (
          <li key={job.id} class={job.id === app.keeper.jobId() ? "is-chosen" : ""}>
            <button
              type="button"
              class="row-open"
              onClick={() => {
                close();
                if (job.id !== app.keeper.jobId()) void app.files.fromShelf(job.id);
              }}
            >
              <SmallPicture of={pictures.value.get(job.id)?.source ?? null} />
              <span class="row-words">
                <b>{titleOf(job)}</b>
                <span>{job.id === app.keeper.jobId() ? text.shelf.onFloor(when(job.at)) : when(job.at)}</span>
                {pictures.value.get(job.id) != null && (
                  <span>
                    {pictures.value.get(job.id)?.tabs.timber}, {pictures.value.get(job.id)?.tabs.piece}
                  </span>
                )}
              </span>
            </button>
            {job.id !== app.keeper.jobId() && (
              <button
                type="button"
                class={`button quiet small ${sure.value === job.id ? "danger" : ""}`}
                aria-label={sure.value === job.id ? text.shelf.surelyJob(titleOf(job)) : text.shelf.forgetJob(titleOf(job))}
                onClick={() => {
                  if (sure.value !== job.id) {
                    sure.value = job.id;
                    return;
                  }
                  sure.value = null;
                  void app.shelf
                    .forget(job.id)
                    .then(() => app.photos.tidy(app.desk.ask((session) => session.photo_files()) ?? [], job.text))
                    .catch(() => undefined)
                    .then(() => (again.value += 1));
                }}
              >
                {sure.value === job.id ? text.shelf.surely : text.shelf.forget}
              </button>
            )}
          </li>
        ))}
      </ul>
    </Dialog>
  );
}

const titleOf = (job: KeptJob): string => (job.title === "" ? text.page.untitled : job.title);

function SmallPicture({ of }: { of: string | null }) {
  return <span class="small-picture">{of !== null && <img src={of} alt="" />}</span>;
}

export function ClashDialog({ close }: { close: () => void }) {
  const app = useApp();
  const status = app.keeper.status.value;
  const id = app.keeper.jobId();
  return (
    <Dialog heading={text.tabs.heading} close={close}>
      <p>{status.kind === "clash" ? text.tabs.clash : text.tabs.reader}</p>
      <div class="row-buttons column">
        <button
          type="button"
          class="button"
          data-clash="load"
          onClick={() => {
            close();
            void app.files.fromShelf(id, true);
          }}
        >
          {text.tabs.loadOther}
        </button>
        <button
          type="button"
          class="button"
          data-clash="both"
          onClick={() => {
            close();
            void app.files.keepCopy();
          }}
        >
          {text.tabs.keepBoth}
        </button>
      </div>
    </Dialog>
  );
}
