/** Pages that the library writes, to look at, keep and print: the card, and a session of practice. */

import { useRef, useState } from "preact/hooks";
import { Field, Message } from "./parts";
import { plain, texts } from "./texts";

/** By what a phone has for sending and keeping files; elsewhere into the folder of downloads. */
export async function save(texts: Record<string, string>, type: string): Promise<void> {
  const files = Object.entries(texts).map(([name, text]) => new File([text], name, { type }));
  if (matchMedia("(pointer: coarse)").matches && navigator.canShare?.({ files })) {
    try {
      await navigator.share({ files });
      return;
    } catch (error) {
      if (error instanceof DOMException && error.name === "AbortError") return; // she thought better of it
    }
  }
  for (const file of files) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(file);
    link.download = file.name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  }
}

/** Its own document: its styles and ours do not meet, and it has no script. */
export function Sheet({ name, title, page, back }: { name: string; title: string; page: string; back: () => void }) {
  const frame = useRef<HTMLIFrameElement>(null);
  return (
    <>
      {page !== "" && <iframe ref={frame} class="sheet" title={title} sandbox="allow-same-origin allow-modals" srcdoc={page} />}
      <div class="last row pages">
        <button type="button" onClick={back}>{texts.back}</button>
        <button type="button" disabled={page === ""} onClick={() => void save({ [name]: page }, "text/html")}>{texts.keep}</button>
        <button type="button" class="main" disabled={page === ""} onClick={() => frame.current?.contentWindow?.print()}>
          {texts.print}
        </button>
      </div>
    </>
  );
}

export interface Session {
  minutes: string;
  pool: string;
  work: string;
  snorkel: boolean;
}

export function Practice({ plan, back }: { plan: (session: Session) => Promise<string>; back: () => void }) {
  const [session, change] = useState<Session>({ minutes: "40", pool: "25", work: "easy", snorkel: true });
  const [page, setPage] = useState("");
  const [problem, setProblem] = useState<string>();
  const ask = async (): Promise<void> => {
    try {
      setPage(await plan({ ...session, pool: plain(session.pool) }));
      setProblem(undefined);
    } catch (error) {
      setPage("");
      setProblem(error instanceof Error ? error.message : texts.failed);
    }
  };
  return (
    <>
      <form class="controls plan" onSubmit={(e) => { e.preventDefault(); void ask(); }}>
        <div class="row">
          {(["minutes", "pool"] as const).map((name) => (
            <Field key={name} label={texts.practice[name]} name={name} wrong={false}>
              <input type="text" inputMode="decimal" value={session[name]} onInput={(e) => change({ ...session, [name]: e.currentTarget.value })} />
            </Field>
          ))}
          <Field label={texts.practice.work} name="work" wrong={false}>
            <select value={session.work} onChange={(e) => change({ ...session, work: e.currentTarget.value })}>
              {Object.entries(texts.practice.works).map(([value, words]) => <option key={value} value={value}>{words}</option>)}
            </select>
          </Field>
        </div>
        <label class="tick">
          <input type="checkbox" checked={session.snorkel} onChange={(e) => change({ ...session, snorkel: e.currentTarget.checked })} />
          <span>{texts.practice.snorkel}</span>
        </label>
        <Message text={problem} />
        <button type="submit" class="main">{texts.practice.plan}</button>
      </form>
      <Sheet name="practice.html" title={texts.views.practice} page={page} back={back} />
    </>
  );
}
