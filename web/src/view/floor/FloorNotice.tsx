// The message at the foot of the floor.

import { useSignal } from "@preact/signals";
import { useLayoutEffect } from "preact/hooks";

import { text } from "../../text";
import { useApp } from "../app-context";

/** Long enough to read two lines twice. */
const PLAIN_NOTICE_MS = 9000;

export function FloorNotice() {
  const { desk } = useApp();
  const notice = desk.notice.value;
  const held = useSignal(false);

  // A sentence that asks for nothing and reports nothing wrong goes by itself, so that it does
  // not lie on the boards; it was also read out. Never while somebody is at it.
  useLayoutEffect(() => {
    if (notice === null) held.value = false;
    if (notice === null || notice.tone !== "plain" || notice.buttons.length > 0 || held.value) return;
    const timer = setTimeout(() => {
      if (desk.notice.value === notice) desk.notice.value = null;
    }, PLAIN_NOTICE_MS);
    return () => clearTimeout(timer);
  }, [notice, held.value]);

  if (notice === null) return null;
  return (
    <div
      onPointerEnter={() => (held.value = true)}
      onPointerLeave={() => (held.value = false)}
      onFocusCapture={() => (held.value = true)}
      onBlurCapture={() => (held.value = false)}
      class={`notice notice-${notice.tone}`}>
      <p title={notice.text}>{notice.text}</p>
      <div class="notice-buttons">
        {notice.buttons.map((button) => (
          <button key={button.label} type="button" class="button" onClick={button.run}>
            {button.label}
          </button>
        ))}
        <button type="button" class="button quiet" aria-label={text.floor.closeMessage} onClick={() => (desk.notice.value = null)}>
          {text.page.close}
        </button>
      </div>
    </div>
  );
}
