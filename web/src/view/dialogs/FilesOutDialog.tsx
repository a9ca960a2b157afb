// Labels, templates and files: what is wanted of a plan, saved as one ZIP file or printed.

import type { ComponentChildren } from "preact";
import { useRef } from "preact/hooks";

import type { FileKind, FilesOut } from "../../protocol/generated";
import { betweens, fileKinds, paperOf, papers } from "../../state/files-out";
import { text } from "../../text";
import { useApp } from "../app-context";
import { Dialog } from "./Dialog";
import { LabelSheet } from "./LabelSheet";
import { OneOf } from "./OneOf";
import { Typed, wrongIn } from "./Typed";

/** Kinds that can be put on paper from here. */
const onPaper = new Set<FileKind>(["pages", "labels", "templates"]);

export function FilesOutDialog({ close }: { close: () => void }) {
  const { desk, filesOut } = useApp();
  const body = useRef<HTMLDivElement>(null);
  const { plan } = desk.state.value;
  const out = filesOut.names.value;
  if (plan === null || out === null) {
    return (
      <Dialog heading={text.filesOut.heading} close={close}>
        <p>{text.filesOut.nothing}</p>
      </Dialog>
    );
  }
  const wanted = filesOut.wanted.value;
  const ticked = filesOut.kinds.value;
  const count = out.files.filter(({ kind }) => ticked.includes(kind)).length;

  async function save(): Promise<void> {
    if (await filesOut.save()) return close();
    // What keeps it from being saved is told beside its field.
    body.current?.querySelector<HTMLElement>(".kind-out:has(:checked) [aria-invalid=true]")?.focus();
  }

  return (
    <Dialog heading={text.filesOut.heading} close={close} class="wide-dialog">
      <div ref={body}>
        <p>{text.filesOut.explain}</p>
        {plan.verdict !== "checked" && <p class="problem">{text.filesOut.look(plan.sentence, plan.verdict_text)}</p>}
        <OneOf legend={text.print.paper} name="paper-out" values={papers} words={text.filesOut.papers} value={wanted.paper} choose={(paper) => filesOut.choose({ paper })} />
        {fileKinds.map((kind) => (
          <Kind key={kind} kind={kind} out={out} ticked={ticked.includes(kind)}>
            {kind === "labels" && <LabelSheet out={out} />}
            {kind === "templates" && (
              <Typed
                label={text.filesOut.overlap}
                value={wanted.overlap}
                whenEmpty={out.usual_overlap}
                wrong={wrongIn(out, "overlap")}
                change={(overlap) => filesOut.choose({ overlap })}
              />
            )}
            {kind === "csv" && (
              <OneOf legend={text.filesOut.between} name="between" values={betweens} words={text.filesOut.betweens} value={wanted.between} choose={(between) => filesOut.choose({ between })} />
            )}
          </Kind>
        ))}
        <div class="row-buttons files-go">
          <button type="button" class="button primary" data-save-files aria-disabled={count === 0} onClick={() => void save()}>
            {text.filesOut.save(count)}
          </button>
        </div>
      </div>
    </Dialog>
  );
}

/** A kind of files: whether it is wanted, what it is for, how much of it there is, and what can be chosen. */
function Kind({ kind, out, ticked, children }: { kind: FileKind; out: FilesOut; ticked: boolean; children: ComponentChildren }) {
  const { filesOut } = useApp();
  const { name, what } = text.filesOut.kinds[kind];
  const count = out.files.filter((file) => file.kind === kind).length;
  const isWrong = out.wrong.some((wrong) => wrong.kind === kind);
  const how = isWrong ? text.filesOut.wrong : onPaper.has(kind) ? text.filesOut.sheets(count, text.filesOut.papers[paperOf(kind, filesOut.wanted.value.paper)]) : text.filesOut.files(count);
  return (
    <section class="kind-out" data-kind={kind} aria-label={name}>
      <div class="kind-head">
        <div class="field-flag">
          <label>
            <input type="checkbox" checked={ticked} aria-describedby={`what-${kind}`} onChange={(event) => filesOut.tick(kind, event.currentTarget.checked)} />
            <span>
              {name} <span class="kind-count">{how}</span>
            </span>
          </label>
        </div>
        {onPaper.has(kind) && (
          <button type="button" class="button small" aria-label={text.filesOut.printKind(name)} aria-disabled={count === 0} onClick={() => void filesOut.print(kind)}>
            {text.print.go}
          </button>
        )}
      </div>
      <div class="kind-body">
        <p class="hint" id={`what-${kind}`}>
          {what}
        </p>
        {children}
      </div>
    </section>
  );
}
