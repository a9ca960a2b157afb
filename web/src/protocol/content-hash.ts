// SHA-256 (FIPS 180-4) of a file's content, by which photographs are found. The browser's own works only on
// pages opened from disk or by a safe connection, and this page is also opened from a machine across the workshop.

/** The first 32 bits behind the point of a number. */
const fraction = (value: number): number => ((value % 1) * 2 ** 32) | 0;

function primes(count: number): number[] {
  const found: number[] = [];
  for (let number = 2; found.length < count; number += 1) if (found.every((prime) => number % prime !== 0)) found.push(number);
  return found;
}

const ROUNDS = Int32Array.from(primes(64), (prime) => fraction(Math.cbrt(prime)));
const BEGIN = primes(8).map((prime) => fraction(Math.sqrt(prime)));

const turned = (word: number, by: number): number => (word >>> by) | (word << (32 - by));

/** The hash in hexadecimal. O(n) for n bytes; a megabyte takes some ten milliseconds. */
export function contentHash(bytes: Uint8Array): string {
  const { length } = bytes;
  // A one, zeros, and the length in bits, to whole blocks.
  const last = new Uint8Array(length % 64 < 56 ? 64 : 128);
  const whole = length - (length % 64);
  last.set(bytes.subarray(whole));
  last[length % 64] = 0x80;
  const end = new DataView(last.buffer);
  end.setUint32(last.length - 8, Math.floor(length / 2 ** 29));
  end.setUint32(last.length - 4, (length << 3) >>> 0);
  const state = Int32Array.from(BEGIN);
  const words = new Int32Array(64);
  const take = (view: DataView, from: number): void => block(state, words, view, from);
  const view = new DataView(bytes.buffer, bytes.byteOffset, length);
  for (let at = 0; at < whole; at += 64) take(view, at);
  for (let at = 0; at < last.length; at += 64) take(end, at);
  return [...state].map((word) => (word >>> 0).toString(16).padStart(8, "0")).join("");
}

function block(state: Int32Array, w: Int32Array, view: DataView, from: number): void {
  for (let i = 0; i < 16; i += 1) w[i] = view.getInt32(from + 4 * i);
  for (let i = 16; i < 64; i += 1) {
    const x = w[i - 15]!;
    const y = w[i - 2]!;
    w[i] = w[i - 16]! + w[i - 7]! + (turned(x, 7) ^ turned(x, 18) ^ (x >>> 3)) + (turned(y, 17) ^ turned(y, 19) ^ (y >>> 10));
  }
  // Not in one line by a list: this is the innermost loop, and lists are made anew in each round.
  let a = state[0]!;
  let b = state[1]!;
  let c = state[2]!;
  let d = state[3]!;
  let e = state[4]!;
  let f = state[5]!;
  let g = state[6]!;
  let h = state[7]!;
  for (let i = 0; i < 64; i += 1) {
    const one = (h + (turned(e, 6) ^ turned(e, 11) ^ turned(e, 25)) + ((e & f) ^ (~e & g)) + ROUNDS[i]! + w[i]!) | 0;
    const two = (turned(a, 2) ^ turned(a, 13) ^ turned(a, 22)) + ((a & b) ^ (a & c) ^ (b & c));
    h = g;
    g = f;
    f = e;
    e = (d + one) | 0;
    d = c;
    c = b;
    b = a;
    a = (one + two) | 0;
  }
  [a, b, c, d, e, f, g, h].forEach((word, i) => (state[i] = state[i]! + word));
}
