/** The first step: marks on two photos, and at once how steep the trunk lies. */

import { useEffect, useRef, useState } from "preact/hooks";
import { type Answer } from "./engine";
import {
  inOrder, type MarkName, markNames, NoPhoto, optional, type Photo, type Photos, type Point, readPhoto, type Which,
} from "./photo";
import { Interval, Message } from "./parts";
import { texts } from "./texts";

const magnified = 4;

function draw(canvas: HTMLCanvasElement, photo: Photo): void {
  const context = canvas.getContext("2d");
  if (context === null) return;
  const dots = window.devicePixelRatio || 1;
  const { width, height } = canvas.getBoundingClientRect();
  canvas.width = Math.round(width * dots);
  canvas.height = Math.round(height * dots);
  context.scale(dots, dots);
  const { picture, marks, cross } = photo;
  const scale = Math.min(width / picture.width, height / picture.height);
  const left = (width - scale * picture.width) / 2;
  const top = (height - scale * picture.height) / 2;
  const on = ({ x, y }: Point): Point => ({ x: left + scale * x, y: top + scale * y });
  context.drawImage(picture, left, top, scale * picture.width, scale * picture.height);

  // Black on white on black is seen on every photo.
  const stroke = (path: () => void, size: number): void => {
    for (const [colour, more] of [["#000", 4], ["#fff", 0]] as const) {
      context.strokeStyle = colour;
      context.lineWidth = size + more;
      context.beginPath();
      path();
      context.stroke();
    }
  };
  const line = (a: Point, b: Point): void => stroke(() => { context.moveTo(a.x, a.y); context.lineTo(b.x, b.y); }, 2);
  const ring = (p: Point, r: number): void => stroke(() => context.arc(p.x, p.y, r, 0, 2 * Math.PI), 2);

  const now = markNames[photo.at];
  const at = (name: MarkName): Point | undefined => {
    const point = now === name ? cross : marks[name];
    return point === undefined ? undefined : on(point);
  };
  for (const [from, to] of [["left", "right"], ["shoulder", "hip"], ["hip", "ankle"]] as const) {
    const [a, b] = [at(from), at(to)];
    if (a !== undefined && b !== undefined) line(a, b);
  }
  for (const name of markNames) {
    const point = marks[name];
    if (point !== undefined) ring(on(point), 7);
  }
  if (now === undefined) return;
  const c = on(cross);
  const arm = 14;
  line({ x: c.x - arm, y: c.y }, { x: c.x + arm, y: c.y });
  line({ x: c.x, y: c.y - arm }, { x: c.x, y: c.y + arm });

  // The magnified circle, in the corner away from the cross.
  const radius = Math.min(width, height) * 0.24;
  const centre = {
    x: c.x < width / 2 ? width - radius - 8 : radius + 8,
    y: c.y < height / 2 ? height - radius - 8 : radius + 8,
  };
  context.save();
  context.beginPath();
  context.arc(centre.x, centre.y, radius, 0, 2 * Math.PI);
  context.clip();
  context.fillStyle = "#000";
  context.fillRect(centre.x - radius, centre.y - radius, 2 * radius, 2 * radius);
  const big = scale * magnified;
  context.drawImage(
    picture, centre.x - big * cross.x, centre.y - big * cross.y, big * picture.width, big * picture.height,
  );
  line({ x: centre.x - radius, y: centre.y }, { x: centre.x - 6, y: centre.y });
  line({ x: centre.x + 6, y: centre.y }, { x: centre.x + radius, y: centre.y });
  line({ x: centre.x, y: centre.y - radius }, { x: centre.x, y: centre.y - 6 });
  line({ x: centre.x, y: centre.y + 6 }, { x: centre.x, y: centre.y + radius });
  context.restore();
  ring(centre, radius);
  context.font = "bold 15px system-ui, sans-serif";
  context.textAlign = "center";
  context.lineWidth = 4;
  context.strokeStyle = "#000";
  context.fillStyle = "#fff";
  context.strokeText(texts.loupe, centre.x, centre.y + radius - 12);
  context.fillText(texts.loupe, centre.x, centre.y + radius - 12);
}

function PhotoView({ photo, which, move }: { photo: Photo; which: Which; move: (to: Point) => void }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const element = canvas.current;
    if (element === null) return undefined;
    const paint = (): void => draw(element, photo);
    paint();
    const seen = new ResizeObserver(paint);
    seen.observe(element);
    return () => seen.disconnect();
  }, [photo]);
  const jump = (event: PointerEvent): void => {
    const element = canvas.current;
    if (element === null) return;
    const { left, top, width, height } = element.getBoundingClientRect();
    const { picture } = photo;
    const scale = Math.min(width / picture.width, height / picture.height);
    move({
      x: (event.clientX - left - (width - scale * picture.width) / 2) / scale,
      y: (event.clientY - top - (height - scale * picture.height) / 2) / scale,
    });
  };
  return <canvas ref={canvas} class="photo" role="img" aria-label={texts.canvas(texts.photos[which])} onPointerDown={jump} />;
}

/** Below the photo, so that the finger hides nothing. */
function Pad({ photo, mark, move, set }: { photo: Photo; mark: string; move: (to: Point) => void; set: () => void }) {
  const last = useRef<{ x: number; y: number; time: number } | null>(null);
  const nudge = (dx: number, dy: number): void => move({ x: photo.cross.x + dx, y: photo.cross.y + dy });
  const down = (event: PointerEvent): void => {
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    last.current = { x: event.clientX, y: event.clientY, time: event.timeStamp };
  };
  const slide = (event: PointerEvent): void => {
    const before = last.current;
    if (before === null) return;
    const [dx, dy] = [event.clientX - before.x, event.clientY - before.y];
    const speed = Math.hypot(dx, dy) / Math.max(1, event.timeStamp - before.time); // points of the screen a ms
    const gain = (photo.picture.width / 380) * Math.min(2, 0.25 + 2 * speed);
    last.current = { x: event.clientX, y: event.clientY, time: event.timeStamp };
    nudge(gain * dx, gain * dy);
  };
  const steps: Record<string, [number, number]> = {
    ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1],
  };
  const press = (event: KeyboardEvent): void => {
    const step = steps[event.key];
    if (event.key === "Enter" || event.key === " ") set();
    else if (step !== undefined) {
      const far = event.shiftKey ? 10 : 1;
      nudge(far * step[0], far * step[1]);
    } else return;
    event.preventDefault();
  };
  return (
    <div
      class="pad" role="application" tabIndex={0} aria-label={texts.padSpoken(mark)} onKeyDown={press}
      onPointerDown={down} onPointerMove={slide}
      onPointerUp={() => { last.current = null; }} onPointerCancel={() => { last.current = null; }}
    >
      <strong>{texts.pad}</strong>
      <span>{texts.padHint}</span>
    </div>
  );
}

/** What the photo should show: a trunk under the water line, from shoulder to hip. */
function Sketch({ low }: { low: boolean }) {
  return (
    <svg class="sketch" viewBox="0 0 200 70" aria-hidden="true">
      <path class="surface" d="M0 20H200" />
      {low && <path class="level" d="M150 30L60 33" />}
      <path class="trunk" d={low ? "M150 30L62 52L18 60" : "M150 30L60 33L16 35"} />
      <circle cx="150" cy="30" r="5" />
      <circle cx={low ? 62 : 60} cy={low ? 52 : 33} r="5" />
      <circle class="head" cx="168" cy="27" r="9" />
    </svg>
  );
}

function FileButton({ label, camera, read }: { label: string; camera: boolean; read: (files: File[]) => void }) {
  return (
    <label class="button file">
      <input
        type="file" accept={camera ? "image/*" : "image/*,.jpg,.jpeg,.png,.webp"}
        {...(camera ? { capture: "environment" as const } : { multiple: true })}
        onChange={(event) => {
          const input = event.currentTarget;
          if (input.files?.length) read([...input.files]);
          input.value = "";
        }}
      />
      <span>{label}</span>
    </label>
  );
}

export interface Camera {
  side: "toward" | "away";
  above: boolean;
}

interface Given {
  photos: Photos;
  change: (which: Which, photo: Photo | undefined) => void;
  camera: Camera;
  setCamera: (camera: Camera) => void;
  angle: Answer | undefined;
  problem: string | undefined;
  next: () => void;
}

export function Mark({ photos, change, camera, setCamera, angle, problem, next }: Given) {
  const [which, show] = useState<Which>("without");
  const [reading, setReading] = useState(false);
  const [wrong, setWrong] = useState<string>();
  const [two, setTwo] = useState(false); // chosen at once, and nothing marked since
  const [spoken, speak] = useState("");
  const photo = photos[which];
  const name = photo === undefined ? undefined : markNames[photo.at];
  const other: Which = which === "without" ? "breath" : "without";

  const read = async (files: File[]): Promise<void> => {
    const [first, second] = files;
    if (first === undefined) return;
    setWrong(files.length > 2 ? texts.tooMany(files.length) : undefined);
    if (files.length > 2) return;
    setReading(true);
    const both = second === undefined ? undefined : await inOrder(first, second);
    const places: [Which, File][] = both === undefined ? [[which, first]] : [["without", both[0]], ["breath", both[1]]];
    for (const [place, file] of places)
      try {
        const next = await readPhoto(file);
        const level = both === undefined ? photos[other]?.marks.left : undefined;
        if (level !== undefined) next.cross = level; // as in `set`
        change(place, next);
      } catch (error) {
        const problem = error instanceof NoPhoto ? error.message : texts.photoProblem.other;
        setWrong(both === undefined ? problem : `${file.name}: ${problem}`);
      }
    if (both !== undefined) show("without");
    setTwo(both !== undefined);
    setReading(false);
  };
  const swap = (): void => {
    const [up, low] = [photos.without, photos.breath];
    if (up === undefined || low === undefined) return;
    change("without", low);
    change("breath", up);
  };
  const move = ({ x, y }: Point): void => {
    if (photo === undefined || name === undefined) return;
    const { width, height } = photo.picture;
    const cross = { x: Math.min(Math.max(x, 0), width), y: Math.min(Math.max(y, 0), height) };
    change(which, { ...photo, cross });
    if (name !== "hip") speak(texts.moved(Math.round(cross.x), Math.round(cross.y)));
    else speak("");
  };
  /** Where the cross waits for a mark. */
  const start = (of: Photo, mark: MarkName | undefined): Point => {
    const { width } = of.picture;
    const before = photos[other]?.marks;
    if (mark !== undefined && of.marks[mark] !== undefined) return of.marks[mark];
    if (mark === "right") return before?.right ?? { x: width * 0.88, y: of.cross.y };
    if (mark === "shoulder") return { x: width * 0.6, y: of.cross.y + width * 0.03 };
    if (mark === "hip") return { x: of.cross.x - width * 0.12, y: of.cross.y + width * 0.01 };
    return of.cross;
  };
  const go = (of: Photo, at: number): void => {
    change(which, { ...of, at, cross: start({ ...of }, markNames[at]) });
  };
  const set = (): void => {
    setTwo(false);
    if (photo === undefined || name === undefined) return;
    go({ ...photo, marks: { ...photo.marks, [name]: photo.cross } }, photo.at + 1);
    // The camera most likely stood still: the water line is where it was.
    const next = photos[other];
    if (name === "left" && next?.at === 0) change(other, { ...next, cross: photo.cross });
  };
  const skip = (): void => {
    if (photo !== undefined) go(photo, photo.at + 1);
  };
  const undo = (): void => {
    if (photo === undefined || photo.at === 0) return;
    const before = markNames[photo.at - 1];
    if (before === undefined) return;
    const cross = photo.marks[before] ?? photo.cross;
    const marks = { ...photo.marks };
    delete marks[before];
    change(which, { ...photo, marks, at: photo.at - 1, cross });
  };

  const drop = angle?.hip_drop_deg;
  const trunk = which === "breath" ? angle?.breath_incline_deg : angle?.incline_deg;
  const oneAlone = angle !== undefined && drop === null;
  return (
    <>
      <section class="picture" aria-label={texts.steps.mark}>
        {photo === undefined ? (
          <>
            <Sketch low={which === "breath"} />
            <p class="hint">{reading ? texts.reading : texts.photoHint[which]}</p>
          </>
        ) : (
          <PhotoView photo={photo} which={which} move={move} />
        )}
        <div class="over" role="status">
          {(drop === undefined || drop === null) && <Interval label={texts.trunk[which]} value={trunk} unit="°" />}
          <Interval label={texts.lower} value={drop} unit="°" loud />
          <span class="spoken">{spoken}</span>
        </div>
      </section>
      <section class="controls">
        <div class="row" role="group" aria-label={texts.steps.mark}>
          {(["without", "breath"] as const).map((w) => (
            <button key={w} type="button" aria-pressed={w === which} onClick={() => show(w)}>
              {texts.photos[w]}
            </button>
          ))}
        </div>
        <Message text={wrong ?? problem} />
        {photo === undefined ? (
          <>
            <div class="row">
              <FileButton label={texts.take} camera read={(files) => void read(files)} />
              <FileButton label={texts.choose} camera={false} read={(files) => void read(files)} />
            </div>
            <div class="last row">
              <button type="button" onClick={next}>{photos[other] === undefined ? texts.noPhoto : texts.next}</button>
            </div>
          </>
        ) : (
          <>
            {oneAlone && <p>{texts.notADrop}</p>}
            {two && photos[other] !== undefined && <p role="status">{texts.two}</p>}
            {name === undefined ? (
              <>
                <p>{texts.allSet}</p>
                <details>
                  <summary>{texts.camera}</summary>
                  <label class="field">
                    <span>{texts.seenFrom}</span>
                    <select
                      value={camera.side}
                      onChange={(e) => setCamera({ ...camera, side: e.currentTarget.value as Camera["side"] })}
                    >
                      {Object.entries(texts.sides).map(([value, words]) => <option key={value} value={value}>{words}</option>)}
                    </select>
                  </label>
                  <label class="tick">
                    <input
                      type="checkbox" checked={camera.above}
                      onChange={(e) => setCamera({ ...camera, above: e.currentTarget.checked })}
                    />
                    <span>{texts.aboveWater}</span>
                  </label>
                </details>
              </>
            ) : (
              <>
                <p>
                  <strong>{texts.place(texts.marks[name], photo.at + 1, markNames.length)}.</strong>{" "}
                  {(name === "left" || name === "right") && texts.waterHint}
                </p>
                <Pad photo={photo} mark={texts.marks[name]} move={move} set={set} />
              </>
            )}
            <div class="last row">
              {photo.at === 0 ? (
                <button type="button" onClick={() => change(which, undefined)}>{texts.another}</button>
              ) : (
                <button type="button" onClick={undo}>{texts.undo}</button>
              )}
              {photo.at === 0 && photos[other] !== undefined && <button type="button" onClick={swap}>{texts.swap}</button>}
              {name !== undefined && optional.includes(name) && <button type="button" onClick={skip}>{texts.skip}</button>}
              {name !== undefined ? (
                <button type="button" class="main" onClick={set}>{texts.set(texts.marks[name])}</button>
              ) : drop === undefined || drop === null ? (
                <button type="button" class="main" onClick={() => show(other)}>{texts.other(texts.photos[other])}</button>
              ) : (
                <button type="button" class="main" onClick={next}>{texts.next}</button>
              )}
            </div>
          </>
        )}
      </section>
    </>
  );
}
