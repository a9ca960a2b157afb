// Puts sheets on paper: they go into a container that only printing shows.

const SIZE = { a4: "A4", letter: "letter" } as const;

export function printSheets(svgs: readonly string[], paper: "a4" | "letter"): void {
  document.querySelector(".sheets")?.remove();
  const container = document.createElement("div");
  container.className = "sheets";
  container.dataset["paper"] = paper;
  const size = document.createElement("style");
  size.textContent = `@page{size:${SIZE[paper]};margin:0}`;
  container.append(size);
  for (const svg of svgs) {
    const holder = document.createElement("div");
    // Written by the core, which escapes every text of a person.
    holder.innerHTML = svg.slice(Math.max(0, svg.indexOf("<svg")));
    const drawing = holder.querySelector("svg");
    if (drawing !== null) container.append(drawing);
  }
  document.body.append(container);
  window.addEventListener("afterprint", () => container.remove(), { once: true });
  window.print();
}
