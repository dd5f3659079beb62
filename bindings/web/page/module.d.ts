declare module "libdrag.mjs" {
  import type { Module } from "./library";
  interface Given {
    instantiateWasm(
      imports: WebAssembly.Imports,
      done: (instance: WebAssembly.Instance, module: WebAssembly.Module) => void,
    ): object;
    locateFile(name: string): string;
  }
  const start: (given: Given) => Promise<Module>;
  export default start;
}
declare module "*/LICENSE" {
  const text: string;
  export default text;
}
