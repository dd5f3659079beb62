declare module "libdrag.mjs" {
  import type { Module } from "./library";
  const start: (given: { wasmBinary: ArrayBuffer; locateFile: (name: string) => string }) => Promise<Module>;
  export default start;
}
