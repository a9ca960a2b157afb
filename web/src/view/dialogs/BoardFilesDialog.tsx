// Boards of files: what was understood is shown as pictures and words before anything is taken.

import { useComputed, useSignal } from "@preact/signals";
import { useLayoutEffect } from "preact/hooks";

import type { Choice, FileRead, FilesRead, LineTold, Session } from "../../protocol/generated";
import { text } from "../../text";
import { useApp } from "../app-context";
import { asPicture } from "../small-picture";
import { Dialog } from "./Dialog";

/** Tells the core something about a file, after which all is read again. */
type Say = (call: (session: Session) => void) => void;

export function BoardFilesDialog({ close }: { close: () => void }) {
  const { desk } = useApp();
  const said = useSignal(0);
  useLayoutEffect(() => () => void desk.ask((session) => session.drop_files()), []);
  const read = useComputed<FilesRead | null>(() => {
    void said.value;
    void desk.state.value;
    return desk.ask((session) => session.read_files());
  });
  const say: Say = (call) => {
    desk.ask(call);
    said.value += 1;
  };

  function take(): void {
    const missing = read.value?.missing;
    if (missing != null) return desk.say(missing);
    desk.goTo("timber");
    const outcome = desk.change((session) => session.take_files());
    if (outcome?.done) close();
  }

  const now = read.value;
  if (now === null) return null;
  return (
    <Dialog heading={text.boardFiles.heading} close={close} class="wide-dialog">
      <p>{text.boardFiles.explain}</p>
      {now.files.map((file, at) => (
        <BoardFile key={at} file={file} at={at} units={now.units} meanings={now.meanings} say={say} />
      ))}
      <p class="hint" aria-live="polite">
        {now.missing ?? ""}
      </p>
      <div class="row-buttons">
        <button type="button" class="button primary" data-take-files aria-disabled={now.missing !== null} onClick={take}>
          {text.boardFiles.take(now.count)}
        </button>
        <button type="button" class="button" onClick={close}>
          {text.boardFiles.cancel}
        </button>
      </div>
    </Dialog>
  );
}

interface BoardFileProps {
  readonly file: FileRead;
  readonly at: number;
  readonly units: readonly Choice[];
  readonly meanings: readonly Choice[];
  readonly say: Say;
}

function BoardFile({ file, at, units, meanings, say }: BoardFileProps) {
  const asked = file.asks_unit;
  return (
    <section class="board-file understood" aria-label={file.name}>
      <h3>{file.name}</h3>
      {(asked !== null || file.unit !== "") && (
        <Choose
          id={`unit-${at}`}
          label={text.boardFiles.unit}
          hint={asked === null ? "" : text.boardFiles.unitHint(asked)}
          open={text.boardFiles.choose}
          value={file.unit}
          choices={units}
          chosen={(unit) => say((session) => session.say_of_file(at, "unit", unit))}
        />
      )}
      {file.asks_thickness && (
        <div class="field">
          <label for={`thickness-${at}`}>{text.boardFiles.thickness}</label>
          <input
            id={`thickness-${at}`}
            class="measure"
            autocomplete="off"
            value={file.thickness}
            onInput={(event) => {
              const typed = event.currentTarget.value;
              say((session) => session.say_of_file(at, "thickness", typed));
            }}
          />
        </div>
      )}
      {file.names.length > 0 && (
        <details class="details" open={file.names.some((name) => name.meaning === "")}>
          <summary>{text.boardFiles.names}</summary>
          {file.names.map(({ name, shapes, meaning }, k) => (
            <Choose
              key={name}
              id={`name-${at}-${k}`}
              label={`${name} (${shapes})`}
              hint=""
              open={text.boardFiles.byPlace}
              value={meaning}
              choices={meanings}
              chosen={(word) => say((session) => session.name_in_file(at, name, word))}
            />
          ))}
        </details>
      )}
      {file.told.length > 0 && (
        <ul class="bad-rows">
          {file.told.map((told) => (
            <li key={`${told.line} ${told.message}`} class={told.harmless ? "" : "problem"}>
              {sentence(told)}
            </li>
          ))}
        </ul>
      )}
      {file.boards.map((board) => (
        <figure key={board.mark} class="line-board" data-mark={board.mark}>
          {board.svg !== "" && <img src={asPicture(board.svg)} alt="" />}
          <figcaption class="field-flag">
            <label>
              <input
                type="checkbox"
                aria-label={text.boardFiles.takeBoard(board.mark)}
                checked={!file.without.includes(board.line)}
                onChange={() => say((session) => session.say_of_file(at, "without", String(board.line)))}
              />
              <span>
                <b class="board-letter">{board.mark}</b> {board.words}
              </span>
            </label>
          </figcaption>
        </figure>
      ))}
    </section>
  );
}

const sentence = ({ line, message }: LineTold): string => (line === 0 ? message : text.boardFiles.line(line, message));

interface ChooseProps {
  readonly id: string;
  readonly label: string;
  readonly hint: string;
  /** What stands there while nothing is chosen. */
  readonly open: string;
  readonly value: string;
  readonly choices: readonly Choice[];
  readonly chosen: (value: string) => void;
}

function Choose({ id, label, hint, open, value, choices, chosen }: ChooseProps) {
  return (
    <div class="field field-long">
      <label for={id}>{label}</label>
      <select id={id} value={value} aria-describedby={hint === "" ? undefined : `${id}-hint`} onChange={(event) => chosen(event.currentTarget.value)}>
        <option value="">{open}</option>
        {choices.map((choice) => (
          <option key={choice.value} value={choice.value}>
            {choice.label}
          </option>
        ))}
      </select>
      {hint !== "" && (
        <p class="hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
    </div>
  );
}
