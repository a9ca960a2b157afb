// Mark, title, the four places, and the few things that are always at hand.

import { useSignal } from "@preact/signals";
import { useLayoutEffect, useRef } from "preact/hooks";

import type { PageName } from "../protocol/generated";
import { WHOLE_JOB } from "../state/drafts";
import { pageOrder } from "../state/keys";
import { text } from "../text";
import { ActionButton } from "./ActionButton";
import { useApp } from "./app-context";
import { Here, Mark } from "./Icon";
import { KeepingMark } from "./KeepingMark";
import { useOneStop } from "./one-stop";

const places: readonly { readonly name: PageName; readonly key: string }[] = [
  { name: "timber", key: "1" },
  { name: "piece", key: "2" },
  { name: "setting_out", key: "3" },
  { name: "bench", key: "4" },
];

export function Header() {
  const { desk, letterKeys } = useApp();
  const state = desk.state.value;
  const placesRow = useOneStop<HTMLElement>("[aria-current]");
  const tools = useOneStop<HTMLDivElement>();
  return (
    <header class="top">
      <h1 class="mark">
        <Mark />
        <span class="product">{text.page.product}</span>
      </h1>
      <JobTitle />
      <nav class="places" aria-label={text.places.row} ref={placesRow}>
        {places.map(({ name, key }) => (
          <button
            key={name}
            type="button"
            class="place"
            data-place={name}
            aria-current={desk.place.value === name ? "page" : undefined}
            title={letterKeys.value ? text.shown.withKey(text.places[name], key) : undefined}
            onClick={() => desk.goTo(name)}
          >
            <b>{text.places[name]}</b>
            <small>{state.tabs[name]}</small>
            {desk.place.value === name && <Here />}
          </button>
        ))}
      </nav>
      <div class="tools" role="toolbar" aria-label={text.page.tools} ref={tools}>
        <ActionButton id="undo" class="quiet" shown={text.actions.undo} />
        <ActionButton id="redo" class="quiet" shown={text.actions.redo} />
        <ActionButton id="units" class="quiet wide-only unit" shown={state.units} />
        <ActionButton id="open" class="quiet wide-only" shown={text.shown.open} />
        <ActionButton id="save" class="quiet wide-only" shown={text.shown.save} />
        <KeepingMark />
        <ActionButton id="menu" class="quiet" shown={text.actions.menu} />
      </div>
    </header>
  );
}

function JobTitle() {
  const { desk, drafts } = useApp();
  const editing = useSignal(false);
  const input = useRef<HTMLInputElement>(null);
  const title = desk.state.value.title;

  /** Whether a key ended the typing: then the keyboard goes on from the name. */
  const byKey = useRef(false);
  const button = useRef<HTMLButtonElement>(null);

  // Before the next key can arrive, or its first letter would be lost.
  useLayoutEffect(() => {
    if (!editing.value) {
      if (byKey.current) button.current?.focus();
      byKey.current = false;
      return;
    }
    input.current?.focus();
    input.current?.select();
  }, [editing.value]);

  function finish(keep: boolean): void {
    const typed = input.current?.value ?? title;
    if (!editing.value) return;
    editing.value = false;
    if (keep && typed !== title) desk.set(WHOLE_JOB, "title", typed);
    drafts.left();
  }

  if (editing.value) {
    return (
      <input
        ref={input}
        class="job-title-input"
        aria-label={text.page.jobName}
        defaultValue={title}
        onInput={(event) => drafts.typed(WHOLE_JOB, "title", event.currentTarget.value)}
        onBlur={() => finish(true)}
        onKeyDown={(event) => {
          if (pageOrder(event) !== null) {
            finish(true);
            return;
          }
          if (event.key === "Enter" || event.key === "Escape") {
            // Or the same key would press the button that gets the keyboard next.
            event.preventDefault();
            finish(event.key === "Enter");
            byKey.current = true;
          }
          event.stopPropagation();
        }}
      />
    );
  }
  return (
    <button ref={button} type="button" class="job-title" title={text.page.rename} onClick={() => (editing.value = true)}>
      <span>{title === "" ? text.page.untitled : title}</span>
    </button>
  );
}
