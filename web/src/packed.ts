// Reads what the build packed into the page: see `crates/xtask/src/packing.rs`.

/** The bytes of text of two bytes a character; a pair of surrogates is one character, of which sixteen bits count. */
function bytesOf(text: string): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(2 * text.length);
  let at = 0;
  for (let place = 0; place < text.length; place += 1) {
    let word = text.charCodeAt(place);
    let isLast = false;
    if ((word & 0xf800) === 0xd800) {
      place += 1;
      isLast = (word & 0x40) !== 0;
      word = ((word & 0x3f) << 10) | (text.charCodeAt(place) & 0x3ff);
    }
    bytes[at] = word & 255;
    bytes[at + 1] = word >> 8;
    // The last byte may have no other beside it.
    at += isLast ? 1 : 2;
  }
  return bytes.subarray(0, at);
}

/** A block of the page as it is packed. */
export function packed(id: string): Blob {
  const text = document.getElementById(id)?.textContent;
  if (text == null) {
    throw new Error(`This copy of the page is incomplete: "${id}" is missing. Build or fetch it again.`);
  }
  return new Blob([bytesOf(text)]);
}
