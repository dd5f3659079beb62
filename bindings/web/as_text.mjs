/**
 * Bytes as text of a page in UTF-16, where all but a few of the 2^16 units of two bytes may stand: a unit is sixteen bits,
 * and of the first `spare` fifteen. page/as_bytes.ts reads it.
 */
export function as_text(bytes) {
  const spare = 0x800 + 3; // halves of letters beyond, and what as_bytes.ts names
  let at = 0;
  const bit = () => {
    const byte = bytes[at >> 3] ?? 0;
    return (byte >> (7 - (at++ & 7))) & 1;
  };
  let text = "";
  while (at < 8 * bytes.length) {
    let letter = 0;
    for (let i = 0; i < 15; ++i) letter = 2 * letter + bit();
    if (letter >= spare) letter = 2 * letter + bit() - spare;
    for (const missing of [0, 13, 60]) if (letter >= missing) ++letter;
    text += String.fromCharCode(letter < 0xd800 ? letter : letter + 0x800);
  }
  return text;
}
