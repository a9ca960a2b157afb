// Scripts that were unpacked run from an address of their own, as the page's policy wants it.

import { cannotStart } from "./cannot-start";
import { scriptRefused } from "./text/start";

export function runScript(code: string): void {
  const script = document.createElement("script");
  // Else it would be read in the page's own UTF-16.
  script.src = URL.createObjectURL(new Blob([code], { type: "text/javascript;charset=utf-8" }));
  script.onload = () => URL.revokeObjectURL(script.src);
  script.onerror = () => cannotStart(scriptRefused);
  document.body.append(script);
}
