// What is shown where the page could not start at all.

import { startTrouble } from "./text/start";

export function cannotStart(error: unknown): void {
  const words = document.createElement("div");
  words.className = "cannot-start";
  const heading = document.createElement("h1");
  heading.textContent = startTrouble;
  const details = document.createElement("p");
  details.textContent = error instanceof Error ? error.message : String(error);
  words.append(heading, details);
  document.getElementById("page")?.replaceChildren(words);
}
