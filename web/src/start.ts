// The only script that stands in the page as it is: starts the one that unpacks all others.

import { cannotStart } from "./cannot-start";
import { packed } from "./packed";
import { runScript } from "./run-script";
import { opening } from "./text/start";

/** No policy that browsers know refuses connections between peers, so nothing here has the means for them. */
function takeAwayPeers(): void {
  for (const name of ["RTCPeerConnection", "webkitRTCPeerConnection", "mozRTCPeerConnection"]) Reflect.deleteProperty(window, name);
}

async function start(): Promise<void> {
  takeAwayPeers();
  const page = document.getElementById("page");
  if (page !== null) page.textContent = opening;
  runScript(await new Response(packed("unpacker").stream().pipeThrough(new DecompressionStream("gzip"))).text());
}

start().catch(cannotStart);
