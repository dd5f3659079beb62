/** The third step: what it costs, in seconds and in a picture. */

import { useState } from "preact/hooks";
import type { Answer } from "./engine";
import type { Json } from "./library";
import { Interval, Message, Sentences } from "./parts";
import { texts } from "./texts";

export type View = "pool" | "practice" | "card";

export interface Picture {
  url: string;
  words: string;
}

/** Everything that the library says of a race. */
export interface Shown {
  event: string;
  /** What her measurements say: hips and the whole breath. */
  measured: Answer;
  /** The cost as measured; the drop in it. */
  cost: Answer;
  pictures: { side: Picture; front: Picture };
  /** The cost of another drop, while it is asked. */
  supposed: { degrees: number; cost: Answer } | undefined;
}

/** The interval on a line from nothing to its end: thin, for all of it is possible; a mark where the middle is. */
function Bar({ value }: { value: Json | undefined }) {
  if (value === null || typeof value !== "object" || Array.isArray(value)) return null;
  const [low, median, high] = [value.low, value.median, value.high].map(Number) as [number, number, number];
  const at = (x: number): string => `${Math.max(0, Math.min(100, (92 * x) / Math.max(high, 1e-9) + 4))}%`;
  return (
    <div class="bar" aria-hidden="true">
      <div class="from" style={{ left: at(low), right: `calc(100% - ${at(high)})` }} />
      <div class="middle" style={{ left: at(median) }} />
      <span class="zero">0</span>
    </div>
  );
}

/** Degrees of the slider. */
const step = 0.5;
const most = 15;
export const rungs = Array.from({ length: most / step + 1 }, (_, i) => i * step);

interface Given {
  shown: Shown;
  problem: string | undefined;
  suppose: (degrees: number | undefined, final: boolean) => void;
  /** The library's sentence for her. */
  athlete: () => Promise<string>;
  keep: () => void;
  /** The view that is being worked out. */
  opening: View | undefined;
  open: (view: View) => void;
}

export function Show({ shown, problem, suppose, athlete, keep, opening, open }: Given) {
  const [turned, turn] = useState(false);
  const [sentence, setSentence] = useState("");
  const { measured, cost, supposed, pictures } = shown;
  const now = supposed?.cost ?? cost;
  const hips = supposed === undefined ? (measured.hips_s ?? cost.hips_s) : supposed.cost.cost_s;
  const because = (supposed === undefined ? (measured.because ?? cost.because) : now.because) as { input: string; share: number }[] | undefined;
  const first = because?.[0];
  const degrees = supposed?.degrees ?? Math.round(Number(cost.hip_drop_deg) / step) * step;
  const cautions = [measured.cautions, now.cautions].flatMap((list) => (Array.isArray(list) ? (list as string[]) : []));
  const notes = [measured.conflicts, measured.notes, now.notes].flatMap((list) => (Array.isArray(list) ? (list as string[]) : []));
  const to = (value: number, final: boolean): void => suppose(Math.min(most, Math.max(0, value)), final);

  if (turned)
    return (
      <section class="athlete" role="dialog" aria-modal="true" aria-label={texts.turn}>
        <img src={pictures.side.url} alt={pictures.side.words} />
        <p role="status">{sentence}</p>
        <button type="button" ref={(b) => b?.focus()} onClick={() => turn(false)}>{texts.turnBack}</button>
      </section>
    );
  return (
    <>
      <section class="picture pictures" aria-label={texts.steps.show}>
        <img class="side" src={pictures.side.url} alt={pictures.side.words} />
        <img class="front" src={pictures.front.url} alt={pictures.front.words} />
      </section>
      <section class="controls">
        <div class="seconds" role="status">
          <p class="label">
            {supposed === undefined ? texts.hipsAlone : texts.suppose(String(degrees))} {texts.over(shown.event)}
          </p>
          <Interval label="" value={hips} unit="s" loud />
          <Bar value={hips} />
          {supposed === undefined && <Interval label={texts.wholeBreath} value={measured.whole_breath_s} unit="s" />}
        </div>
        <Message text={problem} />
        <div class="row slider">
          <button type="button" aria-label={texts.less} onClick={() => to(degrees - step, true)}>−</button>
          <label>
            <span class="spoken">{texts.supposeLabel}</span>
            <input
              type="range" min="0" max={most} step={step} value={degrees} aria-valuetext={texts.suppose(String(degrees))}
              onInput={(e) => to(Number(e.currentTarget.value), false)}
              onChange={(e) => to(Number(e.currentTarget.value), true)}
            />
          </label>
          <button type="button" aria-label={texts.moreDegrees} onClick={() => to(degrees + step, true)}>+</button>
        </div>
        <p class="row small">
          <span>{supposed === undefined ? texts.slide : texts.suppose(String(degrees))}</span>
          {supposed !== undefined && (
            <button type="button" onClick={() => suppose(undefined, true)}>{texts.asMeasured}</button>
          )}
        </p>
        {first !== undefined && (
          <p><strong>{texts.whyWide}</strong> {first.input} {texts.ofIt(String(Math.round(100 * first.share)))}</p>
        )}
        <Sentences title={texts.cautions} list={cautions} />
        <details>
          <summary>{texts.notes}</summary>
          <Sentences title={texts.notes} list={notes} />
        </details>
        <div class="row">
          {(["pool", "practice", "card"] as const).map((view) => (
            <button key={view} type="button" disabled={opening !== undefined} onClick={() => open(view)}>
              {view === opening ? texts.working : texts.views[view]}
            </button>
          ))}
        </div>
        <div class="last row">
          <button type="button" onClick={keep}>{texts.keep}</button>
          <button type="button" class="main" onClick={() => { turn(true); setSentence(texts.working); void athlete().then(setSentence); }}>{texts.turn}</button>
        </div>
      </section>
    </>
  );
}
