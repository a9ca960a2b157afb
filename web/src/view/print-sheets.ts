// Puts sheets on paper: they go into a container that only printing shows.

const SIZE = { a4: "A4", a3: "A3", letter: "letter" } as const;

export function printSheets(svgs: readonly string[], paper: keyof typeof SIZE): void {
  document.querySelector(".sheets")?.remove();
  const container = document.createElement("div");
  container.className = "sheets";
  container.dataset["paper"] = paper;
  const size = document.createElement("style");
  // The core draws the sheets at true size, most of them lying.
  size.textContent = `@page{size:${SIZE[paper]} landscape;margin:0}@page standing{size:${SIZE[paper]} portrait;margin:0}`;
  container.append(size);
  for (const [sheet, drawn] of svgs.entries()) {
    // The floor, hidden in print, may have a clip of the same name, and what is hidden clips nothing.
    const svg = drawn.replaceAll('id="clip-', `id="sheet-${sheet}-clip-`).replaceAll("url(#clip-", `url(#sheet-${sheet}-clip-`);
    const holder = document.createElement("div");
    // Written by the core, which escapes every text of a person.
    holder.innerHTML = svg.slice(Math.max(0, svg.indexOf("<svg")));
    const drawing = holder.querySelector("svg");
    if (drawing === null) continue;
    // Styles inside a drawing count for the whole page: on the screen they must not.
    for (const style of drawing.querySelectorAll("style")) style.media = "print";
    const { width, height } = drawing.viewBox.baseVal;
    drawing.classList.toggle("upright", height > width);
    container.append(drawing);
  }
  document.body.append(container);
  window.addEventListener("afterprint", () => container.remove(), { once: true });
  const photos = [...container.querySelectorAll("image")];
  if (photos.length === 0) return window.print();
  // Not before they are there to be printed; one that cannot be shown keeps nobody.
  const shown = photos.map((photo) => {
    const image = new Image();
    image.src = photo.href.baseVal;
    return image.decode().catch(() => undefined);
  });
  void Promise.all(shown).then(() => window.print());
}
