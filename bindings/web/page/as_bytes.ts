/**
 * Bytes of a text that as_text.mjs wrote. What a page in UTF-16 cannot hold as it is does not occur in it: the end of a
 * string, the end of a line as Windows has it, the begin of a tag, and half of a letter beyond 2^16.
 */
export function asBytes(text: string, length: number): Uint8Array<ArrayBuffer> {
  const spare = 0x800 + 3;
  const bytes = new Uint8Array(length);
  let size = 0;
  let bits = 0;
  let held = 0;
  for (let i = 0; i < text.length; ++i) {
    const unit = text.charCodeAt(i);
    const letter = unit - 1 - (unit > 13 ? 1 : 0) - (unit > 60 ? 1 : 0) - (unit > 0xd7ff ? 0x800 : 0);
    const short = letter < spare;
    held = short ? (held << 15) | letter : (held << 16) | (letter + spare);
    for (bits += short ? 15 : 16; bits >= 8; bits -= 8) bytes[size++] = held >> (bits - 8);
    held &= (1 << bits) - 1;
  }
  return bytes;
}
