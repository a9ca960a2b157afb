// Reads what the build packed into the page: see `crates/xtask/src/packing.rs`.

/** The bytes of text of seven bits a letter; what is left of the last letter is filling. */
function bytesOf(text: string): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(Math.floor((text.length * 7) / 8));
  let held = 0;
  let bits = 0;
  let at = 0;
  for (let place = 0; place < text.length; place += 1) {
    held = ((held << 7) | (text.charCodeAt(place) & 127)) & 0xffff;
    bits += 7;
    if (bits >= 8) {
      bits -= 8;
      bytes[at] = (held >> bits) & 255;
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
