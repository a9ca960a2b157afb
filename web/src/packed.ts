// Reads what the build packed into the page: see `crates/xtask/src/packing.rs`.

/** The bytes of text to base 85: five digits for four bytes, from "(" on, "}" for "<". */
function bytesOf(text: string): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(Math.floor((text.length * 4) / 5));
  let at = 0;
  for (let start = 0; start < text.length; start += 5) {
    const digits = Math.min(5, text.length - start);
    let word = 0;
    for (let place = 0; place < 5; place += 1) {
      const sign = place < digits ? text.charCodeAt(start + place) : 124;
      word = word * 85 + (sign === 125 ? 20 : sign - 40);
    }
    for (let place = 1; place < digits; place += 1) {
      bytes[at] = (word / 2 ** (32 - 8 * place)) & 255;
      at += 1;
    }
  }
  return bytes;
}

/** A block of the page, unpacked. */
export function unpack(id: string): Response {
  const packed = document.getElementById(id)?.textContent;
  if (packed == null) {
    throw new Error(`This copy of the page is incomplete: "${id}" is missing. Build or fetch it again.`);
  }
  const plain = new Blob([bytesOf(packed)]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Response(plain);
}
