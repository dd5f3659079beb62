import { render } from "preact";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { type Answer, Engine, type Failure, Latest, Refused } from "./engine";
import type { Json, Request } from "./library";
import { type Camera, Mark } from "./mark";
import { wordsOf } from "./parts";
import { Pool, type Swim } from "./pool";
import { type Photo, type Photos, pointsTable, type Which } from "./photo";
import { Licences } from "./licences";
import { fieldsOf, firstRace, type Race, RaceStep } from "./race";
import { Practice, save, type Session, Sheet } from "./sheet";
import { type Picture, rungs, Show, type Shown, type View } from "./show";
import { cannotOpen, plain, strokeOf, texts } from "./texts";

type Step = "mark" | "race" | "show";
const steps = ["mark", "race", "show"] as const;

/** Names of files in the library's memory. */
const points = "film.csv";
const record = "record.csv";

const dragged = 2000; // draws, while a finger drags

/** Its description is in the picture itself. */
function picture(svg: Json | undefined): Picture {
  const text = String(svg ?? "");
  return {
    url: URL.createObjectURL(new Blob([text], { type: "image/svg+xml" })),
    words: new DOMParser().parseFromString(text, "image/svg+xml").querySelector("desc")?.textContent ?? "",
  };
}

function Page({ engine }: { engine: Engine }) {
  const [step, go] = useState<Step>("mark");
  const [photos, setPhotos] = useState<Photos>({});
  const [camera, setCamera] = useState<Camera>({ side: "toward", above: false });
  const [angle, setAngle] = useState<Answer>();
  const [angleProblem, setAngleProblem] = useState<string>();
  const [race, setRace] = useState<Race>(firstRace);
  const [failure, setFailure] = useState<Failure>();
  const [working, setWorking] = useState(false);
  const [shown, setShown] = useState<Shown>();
  const [files, setFiles] = useState<Record<string, string>>({});

  const table = pointsTable(photos, camera.side);
  const angles = useMemo(
    () =>
      new Latest<Answer>(
        (answer) => { setAngle(answer); setAngleProblem(undefined); },
        (error) => { setAngle(undefined); setAngleProblem(error instanceof Refused ? error.message : texts.failed); },
      ),
    [],
  );
  useEffect(() => {
    if (table === "") { setAngle(undefined); return; }
    angles.want(async () => {
      const request: Request = { ask: "angle", file: points, above_water: camera.above };
      return (await engine.ask([request], { [points]: table })).answers[0] ?? {};
    });
  }, [table, camera.above]);

  const filmed = angle?.hip_drop_deg !== undefined && angle.hip_drop_deg !== null;
  const measured = filmed ? wordsOf(angle?.hip_drop_deg) : undefined;

  const costOf = (answer: Answer | undefined): Answer => ((answer?.events as Answer[] | undefined)?.[0] ?? {});
  const rungsOf = (answer: Answer | undefined): Answer[] => ((answer?.question as Answer | null)?.rungs as Answer[] | undefined) ?? [];
  /** The race that is shown, whatever was typed since. */
  const [asked, setAsked] = useState<Record<string, string | null>>({});

  const show = async (): Promise<void> => {
    setWorking(true);
    setFailure(undefined);
    try {
      const fields = fieldsOf(race);
      const stroke = strokeOf(race.event);
      const name = race.name.trim() === "" ? "Swimmer" : race.name.trim();
      const degrees = plain(race.drop);
      const log: Request = filmed
        ? { ask: "log", file: record, name, kind: "frames", film: points, stroke, side: camera.side }
        : { ask: "log", file: record, name, kind: "drop", drop: degrees === "" ? null : `${degrees}deg`, stroke };
      const given: Record<string, string> = table === "" ? {} : { [points]: table };
      const requests: Request[] = [
        { ask: "cost", ...fields, ...(filmed ? {} : { hip_drop: degrees === "" ? null : `${degrees}deg` }),
          ...(filmed ? { record } : {}) },
        { ask: "measured", file: record, ...fields, when: null },
        { ask: "draw", ...fields, draws: dragged, ...(filmed ? { record } : { hip_drop: degrees === "" ? null : `${degrees}deg` }) },
      ];
      const done = await engine.ask(filmed ? [log, ...requests] : [requests[0]!, log, ...requests.slice(1)], given, [record]);
      const [cost, seen, drawn] = filmed
        ? [done.answers[1], done.answers[2], done.answers[3]]
        : [done.answers[0], done.answers[2], done.answers[3]];
      setAsked(fields);
      setFiles({ ...given, [record]: done.files[record] ?? "" });
      setShown({
        event: String(costOf(cost).event ?? race.event),
        measured: seen ?? {},
        cost: costOf(cost),
        pictures: { side: picture(drawn?.side), front: picture(drawn?.front) },
        supposed: undefined,
      });
      go("show");
    } catch (error) {
      setFailure(
        error instanceof Refused ? error.failure : { field: "", value: "", allowed: "", message: texts.failed },
      );
    }
    setWorking(false);
  };

  const [problem, setProblem] = useState<string>();
  const supposing = useMemo(
    () =>
      new Latest<{ degrees: number; cost: Answer } | undefined>(
        (supposed) => { setProblem(undefined); setShown((now) => (now === undefined ? now : { ...now, supposed })); },
        (error) => setProblem(error instanceof Refused ? error.message : texts.failed),
      ),
    [],
  );
  /** What `rungs` cost, with few draws: asked once for all that a finger may drag over, so that no frame waits for an answer. */
  const dragging = useRef<Promise<Answer[]> | undefined>(undefined);
  const priced = async (degrees: number[], draws: number | undefined): Promise<Answer[]> => {
    const request: Request = { ask: "cost", ...asked, record, what_if: degrees.map((x) => `${x}deg`), ...(draws && { draws }) };
    return rungsOf((await engine.ask([request], files)).answers[0]);
  };
  useEffect(() => {
    dragging.current = undefined;
    if (record in files) void (dragging.current = priced(rungs, dragged)).catch(() => undefined);
  }, [files]);
  const suppose = (degrees: number | undefined, final: boolean): void => {
    supposing.want(async () => {
      if (degrees === undefined) return undefined;
      const answer = final ? (await priced([degrees], undefined))[0] : (await dragging.current)?.[rungs.indexOf(degrees)];
      return { degrees, cost: answer ?? {} };
    });
  };

  const [view, setView] = useState<View>();
  const [design, setDesign] = useState<Answer>({});
  const [card, setCard] = useState("");
  /** The race as `cost` reads it, the drop from her record. */
  const recorded = (): Record<string, Json> => ({ ...asked, record });
  const [opening, setOpening] = useState<View>();
  useEffect(() => scrollTo(0, 0), [step, view]);
  const open = async (next: View): Promise<void> => {
    setProblem(undefined);
    setOpening(next);
    try {
      if (next === "pool") {
        const request: Request = { ask: "design", ...recorded(), when: null };
        setDesign((await engine.ask([request], files)).answers[0] ?? {});
      } else if (next === "card") {
        const page = "card.html";
        const request: Request = { ask: "card", ...recorded(), out: page, force: true };
        setCard((await engine.ask([request], files, [page])).files[page] ?? "");
      }
      setView(next);
    } catch (error) {
      setProblem(error instanceof Refused ? error.message : texts.failed);
    }
    setOpening(undefined);
  };
  const athlete = async (): Promise<string> => {
    try {
      return String((await engine.ask([{ ask: "card", ...recorded() }], files)).answers[0]?.for_athlete ?? "");
    } catch {
      return texts.failed;
    }
  };
  const judge = async (swims: Swim[]): Promise<Answer> => {
    const name = race.name.trim() === "" ? "Swimmer" : race.name.trim();
    const log: Request = {
      ask: "log", file: record, name, how: swims.map((s) => s.how), time: swims.map((s) => s.time), distance: "25m",
      by: "stopwatch", stroke: strokeOf(race.event),
    };
    const done = await engine.ask([log, { ask: "measured", file: record, ...asked, when: null }], files, [record]);
    setFiles({ ...files, [record]: done.files[record] ?? "" });
    const answer = done.answers[1] ?? {};
    setShown((now) => (now === undefined ? now : { ...now, measured: answer, supposed: undefined }));
    return answer;
  };

  const plan = async (session: Session): Promise<string> => {
    const request: Request = {
      ask: "practice", ...recorded(), when: null, minutes: session.minutes, pool: `${session.pool}m`, work: session.work,
      snorkel: session.snorkel, html: true,
    };
    return String((await engine.ask([request], files)).answers[0]?.text ?? "");
  };

  const keep = (): void => {
    void save(files, "text/csv");
  };

  return (
    <div class={`page ${step}`}>
      <header>
        <h1>{texts.title}</h1>
        <nav>
          {steps.map((s) => (
            <button
              key={s} type="button" aria-current={s === step ? "step" : undefined}
              disabled={s === "show" && shown === undefined} onClick={() => { setView(undefined); go(s); }}
            >
              {texts.steps[s]}
            </button>
          ))}
        </nav>
      </header>
      <main>
        {step === "mark" && (
          <Mark
            photos={photos} change={(which: Which, photo: Photo | undefined) => setPhotos((now) => ({ ...now, [which]: photo }))}
            camera={camera} setCamera={setCamera} angle={angle} problem={angleProblem} next={() => go("race")}
          />
        )}
        {step === "race" && (
          <RaceStep
            race={race} change={setRace} measured={measured} photos={photos} failure={failure} working={working}
            show={() => void show()}
          />
        )}
        {step === "show" && shown !== undefined && view === undefined && (
          <Show shown={shown} problem={problem} suppose={suppose} athlete={athlete} keep={keep} opening={opening} open={(next) => void open(next)} />
        )}
        {step === "show" && view === "pool" && (
          <Pool design={design} judge={judge} keep={keep} back={() => setView(undefined)} />
        )}
        {step === "show" && view === "card" && (
          <Sheet name="card.html" title={texts.views.card} page={card} back={() => setView(undefined)} />
        )}
        {step === "show" && view === "practice" && <Practice plan={plan} back={() => setView(undefined)} />}
      </main>
    </div>
  );
}

function open(): void {
  const root = document.getElementById("page");
  if (root === null) return;
  const { program } = window;
  program.library.catch(() => { render(cannotOpen, root); });
  const engine = new Engine(program);
  root.textContent = "";
  render(<><Page engine={engine} /><Licences /></>, root);
  Object.assign(window, { engine }); // for tests
  document.body.dataset.ready = "1";
  // A browser compiles functions well once they were called: done while the coach looks for a photo.
  const request: Request = { ask: "draw", event: firstRace.event, time: "60", hip_drop: "4deg", draws: dragged };
  setTimeout(() => void engine.ask([request]).catch(() => undefined), 500);
  if (location.protocol.startsWith("http")) {
    const manifest = document.createElement("link");
    manifest.rel = "manifest";
    manifest.href = "manifest.webmanifest";
    document.head.append(manifest);
    void navigator.serviceWorker?.register("sw.js").catch(() => undefined); // a server of this file alone
  }
}
open();
