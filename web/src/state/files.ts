// What is read out of a file that a person gives.

/** Far above any real job; above it the browser would only struggle. */
const MOST_BYTES = 20 * 1024 * 1024;
/** The same with photographs. */
const MOST_ZIPPED = 1024 * 1024 * 1024;

export type FileRead =
  | { readonly kind: "read"; readonly name: string; readonly bytes: Uint8Array }
  | { readonly kind: "zip"; readonly name: string }
  | { readonly kind: "too_large"; readonly name: string }
  | { readonly kind: "unreadable"; readonly name: string };

export async function readFile(file: File): Promise<FileRead> {
  try {
    const head = await file.slice(0, 4).text();
    if (head.startsWith("PK")) return { kind: file.size > MOST_ZIPPED ? "too_large" : "zip", name: file.name };
    if (file.size > MOST_BYTES) return { kind: "too_large", name: file.name };
    return { kind: "read", name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) };
  } catch {
    return { kind: "unreadable", name: file.name };
  }
}
