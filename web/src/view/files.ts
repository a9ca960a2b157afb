// Files chosen and saved, by the browser's own means.

/** Lets the person choose files; none when they thought better of it. */
export const chooseFiles = (accept: string, multiple: boolean): Promise<File[]> => chosen((input) => Object.assign(input, { accept, multiple }));

/** Lets the person choose photos, or take one with the camera where there is one. */
export const choosePhotos = (camera: boolean): Promise<File[]> =>
  chosen((input) => {
    input.accept = "image/*";
    if (camera) input.capture = "environment";
    else input.multiple = true;
  });

function chosen(dress: (input: HTMLInputElement) => void): Promise<File[]> {
  return new Promise((done) => {
    const input = document.createElement("input");
    input.type = "file";
    dress(input);
    input.style.display = "none";
    const end = (files: File[]): void => {
      done(files);
      input.remove();
    };
    input.addEventListener("change", () => end([...(input.files ?? [])]));
    input.addEventListener("cancel", () => end([]));
    // An open window makes everything outside of it inert.
    (document.querySelector("dialog[open]") ?? document.body).append(input);
    input.click();
  });
}

export function saveFile(name: string, content: string | Blob, type: string): void {
  const address = URL.createObjectURL(new Blob([content], { type }));
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
