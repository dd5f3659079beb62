/** Every text of the page that the library does not write. A second language is a second table. */

/** Of the first script, which is small. */
export const cannotOpen = "This browser is too old for the page: it needs WebAssembly with exceptions.";

export const texts = {
  title: "What low hips cost",
  steps: { mark: "Mark", race: "Race", show: "Show" },
  views: { pool: "Pool test", practice: "Practice", card: "Card" },
  more: "More",
  back: "Back",

  photos: { without: "Hips up", breath: "At the breath" },
  photoHint: {
    without: "A photo from the side in a stroke without a breath: hips up.",
    breath: "A photo from the side at the breath, hips at their lowest.",
  },
  take: "Camera",
  choose: "One photo or both",
  two: "The earlier photo stands as hips up, the later as the breath.",
  swap: "Swap the two",
  another: "Another photo",
  tooMany: (many: number) => `These are ${many} photos: choose two, one with the hips up and one at the breath.`,
  noPhoto: "No photo: I give the drop",
  reading: "Reading the photo…",
  photoProblem: {
    empty: "This file is empty: choose another photo.",
    film: "This is a film, not a photo: stop it at the breath and take a picture of the screen.",
    heic: "This browser cannot read photos in HEIC: set the camera to “most compatible”, or share the photo as JPEG.",
    other: "This file is not a photo that the browser can read: choose a JPEG or PNG.",
  },
  marks: {
    left: "the water line, left",
    right: "the water line, right",
    shoulder: "the shoulder",
    hip: "the hip",
    ankle: "the ankle",
    head: "the top of the head",
  },
  waterHint: "The water line or a lane rope: it shows what is level.",
  place: (mark: string, at: number, of: number) => `${at} of ${of}: ${mark}`,
  set: (mark: string) => `Set ${mark}`,
  skip: "Skip",
  undo: "Undo",
  allSet: "All marks are set.",
  pad: "Slide here",
  padHint: "The cross follows, your finger stays out of the way. Slow is fine work.",
  padSpoken: (mark: string) =>
    `Pad to move the cross for ${mark}. Arrow keys move it by one point of the photo, with Shift by ten. Enter sets it.`,
  canvas: (which: string) => `Photo, ${which}, with the marks that were set`,
  loupe: "4 times",
  next: "Next: the race",
  other: (which: string) => `Now: ${which}`,
  seenFrom: "Filmed from",
  sides: { toward: "the side she breathes to", away: "the other side" },
  aboveWater: "The camera is above the water and looks through its surface",
  camera: "Camera",
  trunk: { without: "Trunk, hips up", breath: "Trunk, at the breath" },
  degrees: (words: string[]) => `${words[0]}°`,
  range: (words: string[], unit: string) => `${words[1]} to ${words[2]}${unit === "°" ? "" : " "}${unit}`,
  couldBe: "could be",
  lower: "Hips lower at the breath",
  notADrop: "One photo shows an incline, not a drop: how far the hips sink needs the other photo too.",
  moved: (x: number, y: number) => `Cross at ${x}, ${y}`,

  swimmer: "Swimmer",
  sexes: { f: "woman", m: "man", average: "not said" },
  name: "Name (stays on this phone)",
  height: "Height, cm",
  mass: "Weight, kg",
  event: "Race",
  course: "Pool",
  courses: { lcm: "50 m", scm: "25 m", scy: "25 yd" },
  time: "Time, digits only: 10240",
  breathe: "A breath",
  breaths: {
    "": "as usual",
    "every-1": "every cycle",
    "every-2": "every 2 strokes",
    "every-3": "every 3 strokes",
    "every-4": "every 4 strokes",
  },
  drop: "Hips lower at the breath, degrees",
  when: "The hips are low",
  whens: { breath: "at breaths", always: "always" },
  measuredDrop: (words: string[]) => `hips ${words[0]}° lower (${words[1]} to ${words[2]}°)`,
  showCost: "Show what it costs",
  working: "Working it out…",

  costs: "costs",
  hipsAlone: "Hips alone",
  wholeBreath: "Whole breath",
  seconds: (words: string[]) => `${words[0]} s`,
  over: (event: string) => `over ${event}`,
  suppose: (degrees: string) => `If they sank ${degrees}°`,
  slide: "Slide to see what less or more would cost.",
  supposeLabel: "Degrees that the hips sink",
  less: "Half a degree less",
  moreDegrees: "Half a degree more",
  asMeasured: "As measured",
  whyWide: "Why so wide:",
  ofIt: (share: string) => `(${share} % of it)`,
  cautions: "Take care",
  notes: "Notes",
  turn: "Turn to the athlete",
  turnBack: "Turn back",
  keep: "Save or send",
  print: "Print",
  practice: {
    minutes: "Minutes",
    pool: "Pool, m",
    work: "Work",
    works: { easy: "easy", threshold: "threshold", race: "race pace", tired: "tired", loaded: "loaded" },
    snorkel: "A snorkel is at hand",
    plan: "Plan the session",
  },
  pool: {
    swim: (at: number, of: number, how: string) => `Swim ${at} of ${of}: ${how}`,
    how: (name: string) =>
      name === "snorkel" ? "snorkel" : name === "never" ? "no breath" : name.startsWith("every-") ? `a breath every ${name.slice(6)}` : name,
    start: "Start",
    stop: "Stop",
    take: "Take this time",
    drop: "Undo",
    swims: "Swims, 25 m each",
    done: "All swims of the day are done.",
    ask: "What they say",
    gap: (x: string[]) => `On the watch: ${x[0]} % slower with the breath (${x[1]} to ${x[2]} %).`,
    why: "Why this order",
  },
  licences: "Licences",
  inside: "What this page is made of:",
  failed: "There was no answer. Try once more.",
} as const;

export const events = [
  "50 free", "100 free", "200 free", "400 free", "800 free", "1500 free",
  "50 fly", "100 fly", "200 fly",
  "50 breast", "100 breast", "200 breast",
  "50 back", "100 back", "200 back",
] as const;
/** What the library calls the stroke of an event. */
export const strokeOf = (event: string): string => {
  const stroke = event.slice(event.indexOf(" ") + 1);
  return stroke === "free" ? "crawl" : stroke;
};
/** A number as a German keyboard has it. */
export const plain = (typed: string): string => typed.trim().replace(",", ".");
/** 10240 is 1:02.40; what has a colon or a point already stays. */
export const asTime = (typed: string): string => {
  const text = plain(typed);
  if (!/^\d+$/.test(text)) return text;
  const digits = text.padStart(3, "0");
  const [minutes, seconds] = [digits.slice(0, -4), digits.slice(-4, -2)];
  return `${minutes === "" ? "" : `${Number(minutes)}:`}${seconds}.${digits.slice(-2)}`;
};
