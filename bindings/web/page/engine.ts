/** Questions to the library in its worker; a worker that died is replaced and asked again. */

import type { Json, Request } from "./library";
import type { Program } from "./program";
import type { Done, Job } from "./worker";

export interface Failure {
  field: string;
  value: string;
  allowed: string;
  message: string;
}
export type Answer = { [name: string]: Json };

export class Refused extends Error {
  constructor(readonly failure: Failure) {
    super(failure.message);
  }
}

interface Waiting {
  job: Job;
  tries: number;
  done: (done: Done) => void;
  failed: (error: Error) => void;
  timer: number;
}

const longest_ms = 30_000;
const most_tries = 2;

export class Engine {
  private worker: Worker | undefined;
  private readonly waiting = new Map<number, Waiting>();
  private last = 0;

  constructor(private readonly program: Program) {
    this.start();
  }

  /** The answers in the order of the requests, and the files that were wanted. @throws Refused for the first refusal */
  async ask(
    requests: Request[],
    files: Record<string, string> = {},
    wanted: string[] = [],
  ): Promise<{ answers: Answer[]; files: Record<string, string> }> {
    const job: Job = { id: ++this.last, requests: requests.map((r) => JSON.stringify(r)), files, wanted };
    const done = await new Promise<Done>((resolve, reject) => {
      const waiting: Waiting = { job, tries: 0, done: resolve, failed: reject, timer: 0 };
      this.waiting.set(job.id, waiting);
      this.send(waiting);
    });
    const answers = done.answers as Answer[];
    for (const answer of answers)
      if ("error" in answer) throw new Refused(answer.error as unknown as Failure);
    return { answers, files: done.files };
  }

  /** For tests: what the system does to a page that uses much memory. */
  kill(): void {
    this.worker?.terminate();
  }

  private start(): void {
    this.worker?.terminate();
    const worker = new Worker(this.program.worker);
    this.worker = worker;
    worker.onmessage = ({ data }: MessageEvent<Done>) => {
      const waiting = this.waiting.get(data.id);
      if (waiting === undefined) return;
      clearTimeout(waiting.timer);
      this.waiting.delete(data.id);
      waiting.done(data);
    };
    worker.onerror = (event) => {
      event.preventDefault();
      this.restart();
    };
    this.program.library.then((library) => worker.postMessage(library), () => undefined);
  }
  private restart(): void {
    this.start();
    for (const waiting of this.waiting.values()) this.send(waiting);
  }
  private send(waiting: Waiting): void {
    clearTimeout(waiting.timer);
    if (++waiting.tries > most_tries) {
      this.waiting.delete(waiting.job.id);
      waiting.failed(new Error("no answer"));
      return;
    }
    waiting.timer = setTimeout(() => this.restart(), longest_ms) as unknown as number;
    this.worker?.postMessage(waiting.job);
  }
}

/** Asks only for the latest of what is wanted while an answer is on its way. */
export class Latest<T> {
  private next: (() => Promise<T>) | undefined;
  private busy = false;
  constructor(
    private readonly show: (value: T) => void,
    private readonly failed: (error: unknown) => void,
  ) {}
  want(ask: () => Promise<T>): void {
    this.next = ask;
    if (!this.busy) void this.work();
  }
  private async work(): Promise<void> {
    this.busy = true;
    while (this.next !== undefined) {
      const ask = this.next;
      this.next = undefined;
      try {
        const value = await ask();
        if (this.next === undefined) this.show(value);
      } catch (error) {
        if (this.next === undefined) this.failed(error);
      }
    }
    this.busy = false;
  }
}
