// A name that no other job or tab has.

/** Sixteen random bytes as hexadecimal. `randomUUID` would need a secure context, which plain http is not. */
export function freshId(): string {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
