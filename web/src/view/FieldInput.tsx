// One field of a form, whatever it is. What was typed stays as typed, also when it is wrong;
// the core says what is wrong and what was understood.

import { useSignal } from "@preact/signals";
import { useId, useLayoutEffect, useRef } from "preact/hooks";

import type { Field, SmallPicture, Thing } from "../protocol/generated";
import { pageOrder } from "../state/keys";
import { text } from "../text";
import { useApp } from "./app-context";

/** Letters that a choice beside its label has room for. */
const LONG_CHOICE = 17;

export interface FieldInputProps {
  readonly field: Field;
  /** What the field belongs to. */
  readonly thing: Thing;
  /** Hands over what was typed, once, when the field is left or Enter is pressed. */
  readonly commit: (text: string) => void;
  /** In a table the column's heading is the label. */
  readonly bare?: boolean;
  readonly focusNow?: boolean;
  /** Says that the field was left, after what was typed was handed over: by Enter or Escape, or by going elsewhere. */
  readonly left?: (byKey: boolean) => void;
  /** Says that Enter was pressed in it, after what was typed was handed over. */
  readonly entered?: (from: HTMLElement) => void;
}

export function FieldInput({ field, thing, commit, bare = false, focusNow = false, left, entered }: FieldInputProps) {
  const { drafts } = useApp();
  const id = useId();
  const draft = useSignal<string | null>(null);
  const input = useRef<HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement>(null);
  const problemId = `${id}-problem`;
  const hintId = `${id}-hint`;
  const told = field.hint !== null || field.question !== null || field.standing !== null;

  // Before the next key can arrive, or its first letter would be lost.
  useLayoutEffect(() => {
    if (!focusNow || input.current === null) return;
    input.current.focus();
    // What was being typed when the page went away is typed on.
    const given = drafts.take(thing, field.name);
    if (given !== null) draft.value = given;
    else if (input.current instanceof HTMLInputElement) input.current.select();
    input.current.scrollIntoView({ block: "nearest" });
  }, [focusNow, field.name]);

  const described = [field.problem === null ? "" : problemId, !told || bare ? "" : hintId]
    .filter((each) => each !== "")
    .join(" ");
  const common = {
    id,
    "data-field": field.name,
    "aria-invalid": field.problem !== null,
    "aria-describedby": described === "" ? undefined : described,
    "aria-label": bare ? field.label : undefined,
    title: bare ? (field.problem ?? undefined) : undefined,
  };

  function leave(): void {
    const typed = draft.value;
    draft.value = null;
    if (typed !== null && typed !== field.text) commit(typed);
    drafts.left();
  }

  const isFresh = useRef(false);
  const typing = {
    onInput: (event: Event) => {
      const typed = (event.currentTarget as HTMLInputElement).value;
      draft.value = typed;
      drafts.typed(thing, field.name, typed);
    },
    onBlur: () => {
      leave();
      left?.(false);
    },
    onKeyDown: (event: KeyboardEvent) => {
      if (pageOrder(event) !== null) {
        // What was typed so far counts in what is saved or printed.
        leave();
        return;
      }
      if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) {
        // The form has its own use for it.
        leave();
        return;
      }
      // Other keys typed into a field are text and not orders; only leaving it is looked at.
      event.stopPropagation();
      if (event.key === "Enter" && !(event.currentTarget instanceof HTMLTextAreaElement)) {
        // Or the same key would press the button that gets the keyboard next.
        event.preventDefault();
        leave();
        left?.(true);
        if (left === undefined) entered?.(event.currentTarget as HTMLElement);
      }
      if (event.key === "Escape") {
        draft.value = null;
        drafts.left();
        if (left !== undefined) left(true);
        else (event.currentTarget as HTMLElement).blur();
      }
    },
  };

  if (field.kind === "flag") {
    return (
      <div class="field field-flag">
        <label>
          <input
            {...common}
            type="checkbox"
            ref={input as { current: HTMLInputElement | null }}
            checked={field.text === "yes"}
            onChange={(event) => commit(event.currentTarget.checked ? "yes" : "no")}
          />
          {!bare && <span>{field.label}</span>}
        </label>
        <Below field={field} commit={commit} problemId={problemId} hintId={hintId} bare={bare} />
      </div>
    );
  }

  const pictured = field.choices.some((choice) => choice.picture !== null);
  let control;
  if (pictured) {
    control = (
      <div class="picture-choices" role="radiogroup" aria-labelledby={`${id}-label`} aria-describedby={common["aria-describedby"]}>
        {field.choices.map((choice) => (
          <label key={choice.value}>
            <input
              type="radio"
              name={id}
              value={choice.value}
              data-field={field.name}
              ref={choice.value === field.text ? (input as { current: HTMLInputElement | null }) : null}
              checked={choice.value === field.text}
              onChange={() => commit(choice.value)}
              // The arrows choose here, and push no part about.
              onKeyDown={(event) => event.key.startsWith("Arrow") && event.stopPropagation()}
            />
            <Drawn picture={choice.picture} />
            <span>{choice.label}</span>
          </label>
        ))}
      </div>
    );
  } else if (field.kind === "choice") {
    control = (
      <select
        {...common}
        ref={input as { current: HTMLSelectElement | null }}
        value={field.text}
        onChange={(event) => commit(event.currentTarget.value)}
      >
        {field.choices.map((choice) => (
          <option key={choice.value} value={choice.value}>
            {choice.label}
          </option>
        ))}
      </select>
    );
  } else if (field.kind === "note") {
    control = (
      <textarea
        {...common}
        {...typing}
        rows={2}
        ref={input as { current: HTMLTextAreaElement | null }}
        value={draft.value ?? field.text}
        placeholder={field.when_empty ?? ""}
      />
    );
  } else {
    control = (
      <input
        {...common}
        {...typing}
        ref={input as { current: HTMLInputElement | null }}
        // No number fields: lengths are typed as people write them, in any unit.
        type="text"
        inputMode={field.kind === "number" ? "decimal" : undefined}
        autocomplete="off"
        spellcheck={false}
        class={field.kind === "text" ? "" : "measure"}
        onFocus={() => (isFresh.current = true)}
        onClick={(event) => {
          // A finger can hardly pick figures out to type over them; tapped again, it sets the caret.
          const types = isFresh.current && window.matchMedia("(pointer: coarse)").matches;
          isFresh.current = false;
          if (types && field.kind !== "text") event.currentTarget.select();
        }}
        value={draft.value ?? field.text}
        placeholder={field.when_empty ?? ""}
      />
    );
  }

  // Long choices get the whole width: a choice that is cut off cannot be told from its neighbour.
  const long = pictured || field.choices.some((choice) => choice.label.length > LONG_CHOICE);
  return (
    <div class={`field field-${field.kind}${long ? " field-long" : ""}`}>
      {!bare && !pictured && <label for={id}>{field.label}</label>}
      {pictured && <span id={`${id}-label`}>{field.label}</span>}
      <div class="control">
        {control}
        {!bare && field.reads_as !== null && <span class="reads-as">{field.reads_as}</span>}
      </div>
      <Below field={field} commit={commit} problemId={problemId} hintId={hintId} bare={bare} />
    </div>
  );
}

function Drawn({ picture }: { picture: SmallPicture | null }) {
  if (picture === null) return null;
  return (
    <svg class="drawn" viewBox="0 0 80 30" aria-hidden="true">
      <path class="wood" d={picture.wood} />
      <path d={picture.sign} />
    </svg>
  );
}

interface BelowProps {
  readonly field: Field;
  readonly commit: (text: string) => void;
  readonly problemId: string;
  readonly hintId: string;
  readonly bare: boolean;
}

function Below({ field, commit, problemId, hintId, bare }: BelowProps) {
  const told = field.hint !== null || field.question !== null || field.standing !== null;
  return (
    <>
      {field.problem !== null && (
        <p class={bare ? "narrow-hidden-text" : "problem"} id={problemId}>
          {field.problem}
        </p>
      )}
      {told && !bare && (
        <div class="hint" id={hintId}>
          {field.question !== null && <p class="question">{field.question}</p>}
          {!bare && <Drawn picture={field.picture} />}
          {field.hint !== null && <p>{field.hint}</p>}
          {field.standing !== null && <p class="standing">{field.standing}.</p>}
        </div>
      )}
      {field.offers.length > 0 && !bare && (
        <div class="offers" role="group" aria-label={text.forms.choose(field.label)}>
          {field.offers.map((offer) => (
            <button key={offer.value} type="button" class="button small" onClick={() => commit(offer.value)}>
              {offer.label}
            </button>
          ))}
        </div>
      )}
    </>
  );
}
