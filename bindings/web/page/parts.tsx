/** What several steps show. */

import type { ComponentChildren } from "preact";
import type { Json } from "./library";
import { texts } from "./texts";

/** The library's words of an interval: median, low, high. */
export function wordsOf(value: Json | undefined): string[] | undefined {
  if (value === null || typeof value !== "object" || Array.isArray(value)) return undefined;
  return Array.isArray(value.words) ? (value.words as string[]) : undefined;
}

/** A number, and as loud what it could be. */
export function Interval({ label, value, unit, loud = false }: { label: string; value: Json | undefined; unit: string; loud?: boolean }) {
  const words = wordsOf(value);
  if (words === undefined) return null;
  return (
    <p class={loud ? "interval loud" : "interval"}>
      <span class="label">{label}</span>{" "}
      <strong>{unit === "°" ? `${words[0]}°` : `${words[0]} ${unit}`}</strong>{" "}
      <span class="could">
        {texts.couldBe} <strong>{texts.range(words, unit)}</strong>
      </span>
    </p>
  );
}

export function Message({ text }: { text: string | undefined }) {
  return text === undefined ? null : <p class="message" role="alert">{text}</p>;
}

export function Sentences({ title, list }: { title: string; list: Json | undefined }) {
  if (!Array.isArray(list) || list.length === 0) return null;
  return (
    <>
      <h2>{title}</h2>
      <ul>{[...new Set(list as string[])].map((sentence) => <li key={sentence}>{sentence}</li>)}</ul>
    </>
  );
}

export function Field({ label, name, wrong, children }: { label: string; name: string; wrong: boolean; children: ComponentChildren }) {
  return (
    <label class={wrong ? "field wrong" : "field"} data-field={name}>
      <span>{label}</span>
      {children}
    </label>
  );
}
