/** The library's functions, and the memory that texts cross. */

/** What emscripten's module hands over. */
export interface Module {
  HEAPU8: Uint8Array;
  _malloc(bytes: number): number;
  _free(at: number): void;
  _answer(json: number, bytes: number): number;
  _in_seconds(seconds: number): number;
  _in_degrees(degrees: number): number;
  _write_file(name: number, bytes: number, size: number): void;
  _read_file(name: number): number;
  _remove_file(name: number): void;
}

export type Json = null | boolean | number | string | Json[] | { [name: string]: Json };
/** `ask` and the fields of a question, as `dragcalc` names its options, with underscores. */
export type Request = { ask: string } & { [field: string]: Json };

export class Library {
  constructor(private readonly module: Module) {}

  /** As `dragcalc ASK --field ... --json` prints it. */
  answer(request: string): string {
    return this.lend(request, (at, size) => this.text(this.module._answer(at, size)));
  }
  /** Numbers as the library's own words have them. */
  inSeconds(seconds: number): string {
    return this.text(this.module._in_seconds(seconds));
  }
  inDegrees(degrees: number): string {
    return this.text(this.module._in_degrees(degrees));
  }
  /** Files that a request may name; they live as long as the library. */
  writeFile(name: string, text: string): void {
    this.lend(name, (file) => this.lend(text, (at, size) => this.module._write_file(file, at, size)));
  }
  readFile(name: string): string {
    return this.lend(name, (file) => this.text(this.module._read_file(file)));
  }
  removeFile(name: string): void {
    this.lend(name, (file) => this.module._remove_file(file));
  }

  private lend<T>(text: string, use: (at: number, bytes: number) => T): T {
    const bytes = new TextEncoder().encode(text);
    const at = this.module._malloc(bytes.length + 1);
    try {
      this.module.HEAPU8.set(bytes, at);
      this.module.HEAPU8[at + bytes.length] = 0;
      return use(at, bytes.length);
    } finally {
      this.module._free(at);
    }
  }
  private text(at: number): string {
    const memory = this.module.HEAPU8;
    return new TextDecoder().decode(memory.subarray(at, memory.indexOf(0, at)));
  }
}
