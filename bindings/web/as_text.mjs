/**
 * Bytes as a page's text of seven bits a character, which takes an eighth more room than they, where base64 takes a third.
 * What a text cannot hold as it is stands, with the seven bits after it, in a letter above 255 of two bytes.
 * page/program.ts reads it.
 */
export function as_text(bytes) {
  const missing = [0, 13, 60];
  const sevens = [];
  let [bits, held] = [0, 0];
  for (const byte of [...bytes, 0]) { // for the last bits of the others
    held = (held << 8) | byte;
    for (bits += 8; bits >= 7; bits -= 7) sevens.push((held >> (bits - 7)) & 127);
    held &= 127;
  }
  let text = "";
  for (let i = 0; i < sevens.length; ++i) {
    const at = missing.indexOf(sevens[i]);
    text += String.fromCharCode(at < 0 ? sevens[i] : ((at + 2) << 7) | (sevens[++i] ?? 0));
  }
  return text;
}
