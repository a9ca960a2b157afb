// Files in and out, by the browser's own means.

/** Far above any real job; above it the browser would only struggle. */
const MOST_BYTES = 20 * 1024 * 1024;

export type FileRead =
  | { readonly kind: "text"; readonly name: string; readonly text: string }
  | { readonly kind: "too_large"; readonly name: string }
  | { readonly kind: "unreadable"; readonly name: string };

export async function readFile(file: File): Promise<FileRead> {
  if (file.size > MOST_BYTES) return { kind: "too_large", name: file.name };
  try {
    return { kind: "text", name: file.name, text: await file.text() };
  } catch {
    return { kind: "unreadable", name: file.name };
  }
}

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
