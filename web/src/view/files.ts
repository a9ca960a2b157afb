// Files chosen and saved, by the browser's own means.

/** Lets the person choose a file; null when they thought better of it. */
export function chooseFile(accept: string): Promise<File | null> {
  return new Promise((done) => {
    const input = document.createElement("input");
    input.type = "file";
    input.accept = accept;
    input.style.display = "none";
    input.addEventListener("change", () => {
      done(input.files?.[0] ?? null);
      input.remove();
    });
    input.addEventListener("cancel", () => {
      done(null);
      input.remove();
    });
    document.body.append(input);
    input.click();
  });
}

export function saveFile(name: string, text: string, type: string): void {
  const address = URL.createObjectURL(new Blob([text], { type }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.style.display = "none";
  document.body.append(link);
  link.click();
  link.remove();
  // The download has begun by then; the address may go.
  setTimeout(() => URL.revokeObjectURL(address), 30_000);
}
