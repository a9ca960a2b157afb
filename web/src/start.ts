// The only script that stands in the page as it is: unpacks the page's styles and its own script, and starts it.

import { cannotStart } from "./cannot-start";
import { unpack } from "./packed";
import { opening, scriptRefused } from "./text/start";

/** No policy that browsers know refuses connections between peers, so nothing here has the means for them. */
function takeAwayPeers(): void {
  for (const name of ["RTCPeerConnection", "webkitRTCPeerConnection", "mozRTCPeerConnection"]) Reflect.deleteProperty(window, name);
}

async function start(): Promise<void> {
  takeAwayPeers();
  const page = document.getElementById("page");
  if (page !== null) page.textContent = opening;
  const [rules, code] = await Promise.all([unpack("style").text(), unpack("script").blob()]);
  const style = document.createElement("style");
  style.textContent = rules;
  document.head.append(style);
  const script = document.createElement("script");
  // Else it would be read in the page's own UTF-16.
  script.src = URL.createObjectURL(new Blob([code], { type: "text/javascript;charset=utf-8" }));
  script.onload = () => URL.revokeObjectURL(script.src);
  script.onerror = () => cannotStart(scriptRefused);
  document.body.append(script);
}

start().catch(cannotStart);
