/** A photo from a file: as the browser turns it, shrunk once. */

import { texts } from "./texts";

export interface Point {
  x: number;
  y: number;
}
export const markNames = ["left", "right", "shoulder", "hip", "ankle", "head"] as const;
export type MarkName = (typeof markNames)[number];
export const optional: readonly MarkName[] = ["ankle", "head"];

export interface Photo {
  picture: HTMLCanvasElement;
  marks: Partial<Record<MarkName, Point>>;
  /** Which mark is set next; past the last: none. */
  at: number;
  cross: Point;
}
export type Which = "without" | "breath";
export type Photos = Partial<Record<Which, Photo | undefined>>;

const longest = 2000;

export class NoPhoto extends Error {}

async function problem(file: File): Promise<string> {
  if (file.size === 0) return texts.photoProblem.empty;
  if (file.type.startsWith("video/")) return texts.photoProblem.film;
  const begin = new TextDecoder("latin1").decode(await file.slice(4, 12).arrayBuffer());
  if (/^ftyp(hei|hev|mif|msf)/.test(begin)) return texts.photoProblem.heic;
  if (begin.startsWith("ftyp")) return texts.photoProblem.film;
  return texts.photoProblem.other;
}

/** @throws NoPhoto with a sentence */
export async function readPhoto(file: File): Promise<Photo> {
  let bitmap: ImageBitmap;
  try {
    bitmap = await createImageBitmap(file, { imageOrientation: "from-image" });
  } catch {
    throw new NoPhoto(await problem(file));
  }
  const scale = Math.min(1, longest / Math.max(bitmap.width, bitmap.height));
  const picture = document.createElement("canvas");
  picture.width = Math.max(1, Math.round(bitmap.width * scale));
  picture.height = Math.max(1, Math.round(bitmap.height * scale));
  const context = picture.getContext("2d");
  if (context === null) throw new NoPhoto(texts.photoProblem.other);
  context.imageSmoothingQuality = "high";
  context.drawImage(bitmap, 0, 0, picture.width, picture.height);
  bitmap.close();
  return { picture, marks: {}, at: 0, cross: { x: picture.width * 0.12, y: picture.height * 0.4 } };
}

/** When it was taken, as cameras write it into a JPEG; an edit leaves later times beside it. Empty where nothing says so. */
async function takenAt(file: File): Promise<string> {
  const begin = new TextDecoder("latin1").decode(await file.slice(0, 1 << 17).arrayBuffer());
  return [...begin.matchAll(/\d{4}:\d\d:\d\d \d\d:\d\d:\d\d/g)].map(([time]) => time).sort()[0] ?? "";
}
/** Two photos, the earlier first; as they were chosen where one does not say when it was taken. */
export async function inOrder(first: File, second: File): Promise<[File, File]> {
  const [one, two] = await Promise.all([takenAt(first), takenAt(second)]);
  return one !== "" && two !== "" && two < one ? [second, first] : [first, second];
}

const columns = [
  "breath", "frame", "side", "shoulder x (px)", "shoulder y (px)", "hip x (px)", "hip y (px)", "ankle x (px)",
  "ankle y (px)", "head x (px)", "head y (px)", "x1", "y1", "x2", "y2",
];

/** The marks as the library's table of points; the cross stands for a mark that is being set. Empty without a trunk. */
export function pointsTable(photos: Photos, side: string): string {
  const rows: string[] = [];
  for (const which of ["breath", "without"] as const) {
    const photo = photos[which];
    if (photo === undefined) continue;
    const marks = marksNow(photo);
    if (marks.shoulder === undefined || marks.hip === undefined) continue;
    const cells = (name: MarkName): string[] => {
      const point = marks[name];
      return point === undefined ? ["", ""] : [point.x.toFixed(2), point.y.toFixed(2)];
    };
    const level = marks.left !== undefined && marks.right !== undefined;
    rows.push(
      [
        which === "breath" ? "1" : "", "1", side, ...cells("shoulder"), ...cells("hip"), ...cells("ankle"), ...cells("head"),
        ...(level ? [...cells("left"), ...cells("right")] : ["", "", "", ""]),
      ].join(","),
    );
  }
  return rows.length === 0 ? "" : `${[columns.join(","), ...rows].join("\n")}\n`;
}

/** With the cross for the trunk's end that is being set. */
function marksNow(photo: Photo): Photo["marks"] {
  const name = markNames[photo.at];
  return name === "hip" ? { ...photo.marks, hip: photo.cross } : photo.marks;
}
