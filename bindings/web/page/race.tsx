/** The second step: whose race. */

import { useEffect, useRef } from "preact/hooks";
import type { Failure } from "./engine";
import { Field, Message } from "./parts";
import type { Photos } from "./photo";
import { asTime, events, plain, texts } from "./texts";

export interface Race {
  sex: string;
  name: string;
  height: string;
  mass: string;
  event: string;
  course: string;
  time: string;
  breathe: string;
  when: string;
  /** Degrees, where no photo says it. */
  drop: string;
}
export const firstRace: Race = {
  sex: "f", name: "", height: "", mass: "", event: "100 free", course: "lcm", time: "", breathe: "", when: "breath", drop: "",
};

interface Given {
  race: Race;
  change: (race: Race) => void;
  /** The drop's words, if photos say it. */
  measured: string[] | undefined;
  photos: Photos;
  failure: Failure | undefined;
  working: boolean;
  show: () => void;
}

function Small({ picture }: { picture: HTMLCanvasElement | undefined }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    if (canvas.current === null || picture === undefined) return;
    canvas.current.width = 600;
    canvas.current.height = Math.round((600 * picture.height) / picture.width);
    canvas.current.getContext("2d")?.drawImage(picture, 0, 0, canvas.current.width, canvas.current.height);
  }, [picture]);
  return picture === undefined ? null : <canvas ref={canvas} aria-hidden="true" />;
}

export function RaceStep({ race, change, measured, photos, failure, working, show }: Given) {
  const text = (name: keyof Race, label: string, mode: "decimal" | "numeric" | "text", wide = false) => {
    const wrong = failure?.field.split(", ").includes(name) ?? false;
    return (
      <Field label={label} name={name} wrong={wrong}>
        <input
          class={wide ? "wide" : ""} type="text" inputMode={mode} autocomplete="off" value={race[name]}
          aria-invalid={wrong}
          onInput={(e) => change({ ...race, [name]: e.currentTarget.value })}
        />
      </Field>
    );
  };
  const choice = (name: keyof Race, label: string, options: Record<string, string>) => (
    <Field label={label} name={name} wrong={failure?.field.split(", ").includes(name) ?? false}>
      <select value={race[name]} onChange={(e) => change({ ...race, [name]: e.currentTarget.value })}>
        {Object.entries(options).map(([value, words]) => <option key={value} value={value}>{words}</option>)}
      </select>
    </Field>
  );
  return (
    <>
      {(photos.without ?? photos.breath) !== undefined && (
        <section class="picture both" aria-label={texts.steps.mark}>
          {(["without", "breath"] as const).map((which) => <Small key={which} picture={photos[which]?.picture} />)}
          {measured !== undefined && <p class="over"><strong>{texts.measuredDrop(measured)}</strong></p>}
        </section>
      )}
      <form class="controls" onSubmit={(e) => { e.preventDefault(); show(); }}>
        <Message text={failure?.message} />
        <div class="row">
          {choice("sex", texts.swimmer, texts.sexes)}
          {text("height", texts.height, "decimal")}
          {text("mass", texts.mass, "decimal")}
        </div>
        <div class="row">
          {choice("event", texts.event, Object.fromEntries(events.map((e) => [e, e])))}
          {choice("course", texts.course, texts.courses)}
        </div>
        <div class="row">
          {text("time", texts.time, "decimal", true)}
          <output class="read">{race.time === "" ? "" : asTime(race.time)}</output>
        </div>
        <div class="row">
          {choice("breathe", texts.breathe, texts.breaths)}
          {choice("when", texts.when, texts.whens)}
        </div>
        {measured === undefined && <div class="row">{text("drop", texts.drop, "decimal")}</div>}
        <div class="row">{text("name", texts.name, "text")}</div>
        <div class="last row">
          <button type="submit" class="main" disabled={working}>{working ? texts.working : texts.showCost}</button>
        </div>
      </form>
    </>
  );
}

/** The fields that a race gives a request. */
export function fieldsOf(race: Race): Record<string, string | null> {
  const number = (typed: string, unit: string): string | null => (plain(typed) === "" ? null : `${plain(typed)}${/[a-z]/i.test(typed) ? "" : unit}`);
  return {
    sex: race.sex,
    height: number(race.height, "cm"),
    mass: number(race.mass, "kg"),
    event: race.event,
    course: race.course,
    time: race.time === "" ? null : asTime(race.time),
    breathe: race.breathe === "" ? null : race.breathe,
    when: race.when === "breath" ? null : race.when,
  };
}
