// The only script that stands in the page as it is: unpacks the page's own and starts it.

import { cannotStart } from "./cannot-start";
import { unpack } from "./packed";

async function start(): Promise<void> {
  const script = document.createElement("script");
  script.src = URL.createObjectURL(new Blob([await unpack("script").blob()], { type: "text/javascript" }));
  script.onload = () => URL.revokeObjectURL(script.src);
  script.onerror = () => cannotStart("The browser does not let the page's own script run.");
  document.body.append(script);
}

start().catch(cannotStart);
