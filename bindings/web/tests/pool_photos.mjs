// Photos of a swimmer whose angles are known: the library's own drawing as a camera sees it, not quite level, with its
// joints. Runs in the page, whose library draws.

/** @returns {photos: {without, breath}, marks: {without, breath}, truth}: JPEGs as base64, points in pixels, degrees */
export async function photographed({ drop, tilt, width }) {
  const race = { event: "100 free", time: "1:02.40", sex: "f", height: "172cm", mass: "63kg" };
  const [level, low] = (
    await window.engine.ask([
      { ask: "draw", ...race, hip_drop: "0deg", draws: 1000 },
      { ask: "draw", ...race, hip_drop: `${drop}deg`, draws: 1000 },
    ])
  ).answers;
  const out = { photos: {}, marks: {}, truth: drop };
  for (const [which, drawn, joints] of [
    ["without", level, level.level],
    ["breath", low, low.low],
  ]) {
    const image = new Image();
    image.src = URL.createObjectURL(new Blob([drawn.side], { type: "image/svg+xml" }));
    await image.decode();
    const box = drawn.side.match(/viewBox="0 0 ([\d.]+) ([\d.]+)"/).slice(1).map(Number);
    const canvas = document.createElement("canvas");
    canvas.width = width;
    canvas.height = Math.round(width * 0.66);
    const context = canvas.getContext("2d");
    context.fillStyle = "#9fc3cf";
    context.fillRect(0, 0, canvas.width, canvas.height);
    const scale = (0.86 * width) / box[0];
    context.translate(width / 2, canvas.height / 2);
    context.rotate((tilt * Math.PI) / 180);
    context.scale(scale, scale);
    context.translate(-box[0] / 2, -box[1] / 2);
    context.drawImage(image, 0, 0, box[0], box[1]);
    const matrix = context.getTransform();
    const at = ([x, y]) => {
      const p = matrix.transformPoint({ x, y });
      return { x: p.x, y: p.y };
    };
    out.marks[which] = {
      left: at([box[0] * 0.06, box[1] * 0.3]),
      right: at([box[0] * 0.94, box[1] * 0.3]),
      shoulder: at(joints.shoulder),
      hip: at(joints.hip),
      ankle: at(joints.ankle),
      head: at(joints.head),
    };
    const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.9));
    const bytes = new Uint8Array(await blob.arrayBuffer());
    let text = "";
    for (const byte of bytes) text += String.fromCharCode(byte);
    out.photos[which] = btoa(text);
  }
  return out;
}

/** A JPEG with one entry of EXIF: a number of sixteen bits, or a text. */
export function exif(jpeg, { tag, number, text }) {
  const value = Buffer.from(text === undefined ? "" : `${text}\0`, "latin1");
  const tiff = Buffer.concat([Buffer.alloc(26), value]);
  tiff.write("II*\0", 0, "latin1");
  tiff.writeUInt32LE(8, 4);
  tiff.writeUInt16LE(1, 8); // one entry
  tiff.writeUInt16LE(tag, 10);
  tiff.writeUInt16LE(text === undefined ? 3 : 2, 12);
  tiff.writeUInt32LE(text === undefined ? 1 : value.length, 14);
  if (text === undefined) tiff.writeUInt16LE(number, 18);
  else tiff.writeUInt32LE(26, 18);
  const body = Buffer.concat([Buffer.from("Exif\0\0", "latin1"), tiff]);
  const head = Buffer.from([0xff, 0xe1, (body.length + 2) >> 8, (body.length + 2) & 255]);
  // Behind the JFIF segment, if there is one.
  const at = jpeg[2] === 0xff && jpeg[3] === 0xe0 ? 4 + jpeg.readUInt16BE(4) : 2;
  return Buffer.concat([jpeg.subarray(0, at), head, body, jpeg.subarray(at)]);
}
/** A JPEG that says it was taken with the phone turned (orientation 6 is shown turned by a quarter clockwise). */
export const turned = (jpeg, orientation) => exif(jpeg, { tag: 0x0112, number: orientation });
