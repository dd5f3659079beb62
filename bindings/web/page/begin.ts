/** The page's first script: unpacks the others, which its policy allows by their sums, and runs them. */

import { asBytes } from "./as_bytes";
import { begun } from "./program";
import { cannotOpen } from "./texts";

function taken(id: string): { bytes: Uint8Array<ArrayBuffer>; unpacked: number } {
  const held = document.getElementById(id);
  const bytes = asBytes(held?.textContent ?? "", Number(held?.dataset.bytes));
  held?.remove();
  return { bytes, unpacked: Number(held?.dataset.unpacked) };
}
async function begin(): Promise<void> {
  try {
    const packed = taken("program");
    const { script, style, program } = await begun(taken("unpacker").bytes, packed.bytes, packed.unpacked);
    window.program = program;
    for (const [name, text] of [["style", style], ["script", script]] as const) {
      const element = document.createElement(name);
      element.textContent = text;
      document.head.append(element);
    }
  } catch {
    document.getElementById("page")!.textContent = cannotOpen;
  }
}
void begin();
