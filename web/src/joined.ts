// The core's module put together again from lists by kind: see `crates/xtask/src/by_kind.rs`.

const LISTS = 260;
const INSTRUCTIONS = 256;
const SIZES = 257;
const VARIABLES = 258;
const OFFSETS = 259;

/** How many numbers follow each instruction; of those not named here none does. */
const NUMBERS: Readonly<Record<number, number>> = {
  0x02: 1, 0x03: 1, 0x04: 1, // begin a block
  0x0c: 1, 0x0d: 1, // leave it
  0x10: 1, 0x11: 2, // call
  0x20: 1, 0x21: 1, 0x22: 1, 0x23: 1, 0x24: 1, 0x25: 1, 0x26: 1, // variables and tables
  0x3f: 1, 0x40: 1, 0x41: 1, 0x42: 1, // memory's size, whole numbers
  0xd0: 1, 0xd2: 1, // references
};
/** Likewise after 0xfc and its number. */
const NUMBERS_OF_FC = [0, 0, 0, 0, 0, 0, 0, 0, 2, 1, 2, 1, 2, 1, 2, 1, 1, 1];

/** Puts a module together. */
export function joined(sorted: Uint8Array): Uint8Array<ArrayBuffer> {
  const words = new DataView(sorted.buffer, sorted.byteOffset);
  const word = (place: number): number => words.getUint32(4 * place, true);
  let from = 4 * (LISTS + 2);
  /** Where each list is read next. */
  const at = new Uint32Array(LISTS);
  for (let list = 0; list < LISTS; list += 1) {
    at[list] = from;
    from += word(list + 2);
  }
  const [before, functions] = [word(0), word(1)];
  const module = new Uint8Array(sorted.length - from + functions);
  module.set(sorted.subarray(from, from + before));
  module.set(sorted.subarray(from + before), before + functions);

  let to = before;
  const byte = (list: number): number => {
    const place = at[list] as number;
    at[list] = place + 1;
    return (module[to++] = sorted[place] as number);
  };
  const bytes = (list: number, count: number): void => {
    for (let done = 0; done < count; done += 1) byte(list);
  };
  /** Copies a number of seven bits a byte, and reads it as one without a sign. */
  const number = (list: number): number => {
    let value = 0;
    for (let shift = 0; ; shift += 7) {
      const next = byte(list);
      value |= (next & 127) << shift;
      if (next < 128) return value;
    }
  };
  const numbers = (list: number, count: number): void => {
    for (let done = 0; done < count; done += 1) number(list);
  };
  /** An instruction that does the same to several numbers at once. */
  const several = (): void => {
    const kind = number(0xfd);
    if (kind < 12 || kind > 91 && kind < 94) numbers(0xfd, 2);
    else if (kind < 14) bytes(0xfd, 16);
    else if (kind > 20 && kind < 35) byte(0xfd);
    else if (kind > 83 && kind < 92) {
      numbers(0xfd, 2);
      byte(0xfd);
    }
  };

  while (to < before + functions) {
    const size = number(SIZES);
    const end = to + size;
    for (let left = number(VARIABLES); left > 0; left -= 1) {
      number(VARIABLES);
      byte(VARIABLES);
    }
    while (to < end) {
      const kind = byte(INSTRUCTIONS);
      if (kind > 0x27 && kind < 0x3f) {
        number(kind);
        number(OFFSETS);
      } else if (kind === 0x0e) numbers(kind, number(kind) + 1);
      else if (kind === 0x1c) bytes(kind, number(kind));
      else if (kind === 0x43) bytes(kind, 4);
      else if (kind === 0x44) bytes(kind, 8);
      else if (kind === 0xfc) numbers(kind, NUMBERS_OF_FC[number(kind)] ?? 0);
      else if (kind === 0xfd) several();
      else numbers(kind, NUMBERS[kind] ?? 0);
    }
  }
  return module;
}
