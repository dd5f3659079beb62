/** A test at the pool: swims in the order of the library's design, timed here, written into her record. */

import { useEffect, useRef, useState } from "preact/hooks";
import type { Answer } from "./engine";
import { Interval, Message, Sentences } from "./parts";
import { texts } from "./texts";

export interface Swim {
  how: string;
  /** Seconds, as the watch shows them. */
  time: string;
}

interface Given {
  design: Answer;
  /** Takes the swims into the record; what the record says then. */
  judge: (swims: Swim[]) => Promise<Answer>;
  keep: () => void;
  back: () => void;
}

const clock = (ms: number): string => (ms / 1000).toFixed(2);

export function Pool({ design, judge, keep, back }: Given) {
  const plan = ((design.plan as Answer[] | undefined)?.[0]?.how as string[] | undefined) ?? [];
  const [swims, setSwims] = useState<Swim[]>([]);
  const [since, setSince] = useState<number>();
  const [stopped, setStopped] = useState<number>();
  const [verdict, setVerdict] = useState<Answer>();
  const [problem, setProblem] = useState<string>();
  const face = useRef<HTMLElement>(null);
  const how = plan[swims.length];

  useEffect(() => {
    if (since === undefined) return undefined;
    const timer = setInterval(() => {
      if (face.current !== null) face.current.textContent = clock(performance.now() - since);
    }, 50);
    return () => clearInterval(timer);
  }, [since]);

  const press = (): void => {
    if (since === undefined) {
      setStopped(undefined);
      setSince(performance.now());
    } else {
      setStopped(performance.now() - since);
      setSince(undefined);
    }
  };
  const take = (): void => {
    if (stopped === undefined || how === undefined) return;
    setSwims([...swims, { how, time: clock(stopped) }]);
    setStopped(undefined);
  };
  const ask = async (): Promise<void> => {
    setProblem(undefined);
    try {
      setVerdict(await judge(swims));
    } catch (error) {
      setProblem(error instanceof Error ? error.message : texts.failed);
    }
  };

  const watch = verdict?.watch as Answer | null | undefined;
  return (
    <>
      <section class="picture clock" aria-label={texts.views.pool}>
        <p>
          {how === undefined
            ? texts.pool.done
            : texts.pool.swim(swims.length + 1, plan.length, texts.pool.how(how))}
        </p>
        <p class="face"><span ref={face} role="timer">{stopped === undefined ? "0.00" : clock(stopped)}</span> s</p>
      </section>
      <section class="controls">
        {how !== undefined && (
          <button type="button" class="main tall" onClick={press}>{since === undefined ? texts.pool.start : texts.pool.stop}</button>
        )}
        {verdict === undefined && (
          <div class="row">
            <button type="button" disabled={swims.length === 0 || since !== undefined} onClick={() => setSwims(swims.slice(0, -1))}>
              {texts.pool.drop}
            </button>
            <button type="button" disabled={stopped === undefined} onClick={take}>{texts.pool.take}</button>
          </div>
        )}
        {swims.length > 0 && (
          <table>
            <caption>{texts.pool.swims}</caption>
            <tbody>
              {swims.map((s, i) => <tr key={i}><td>{i + 1}</td><td>{texts.pool.how(s.how)}</td><td>{s.time} s</td></tr>)}
            </tbody>
          </table>
        )}
        <Message text={problem} />
        {verdict !== undefined && (
          <div role="status">
            {watch !== null && watch !== undefined && (
              <p>{texts.pool.gap([watch.gap_percent, watch.low, watch.high].map((x) => Number(x).toFixed(1)))}</p>
            )}
            <Interval label={texts.wholeBreath} value={verdict.whole_breath_s} unit="s" loud />
            <Interval label={texts.hipsAlone} value={verdict.hips_s} unit="s" />
            <Sentences title={texts.notes} list={[verdict.conflicts, verdict.notes].flatMap((l) => (Array.isArray(l) ? l : []))} />
            <Sentences title={texts.cautions} list={verdict.cautions} />
          </div>
        )}
        {verdict === undefined && (
          <>
            <Sentences title={texts.pool.why} list={design.why} />
            <Sentences title={texts.cautions} list={design.cautions} />
          </>
        )}
        <div class="last row">
          <button type="button" onClick={back}>{texts.back}</button>
          {verdict === undefined ? (
            <button type="button" class="main" disabled={swims.length < 2} onClick={() => void ask()}>{texts.pool.ask}</button>
          ) : (
            <button type="button" class="main" onClick={keep}>{texts.keep}</button>
          )}
        </div>
      </section>
    </>
  );
}
