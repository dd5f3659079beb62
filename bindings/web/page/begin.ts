/** The page's first script: unpacks the others, which its policy allows by their sums, and runs them. */

import { asBytes } from "./as_bytes";
import { programOf, unpacked } from "./program";
import { cannotOpen } from "./texts";

function taken(id: string): { bytes: Uint8Array<ArrayBuffer>; size: number } {
  const held = document.getElementById(id);
  const bytes = asBytes(held?.textContent ?? "", Number(held?.dataset.bytes));
  held?.remove();
  return { bytes, size: Number(held?.dataset.size) };
}
async function begin(): Promise<void> {
  try {
    const packed = taken("program");
    const whole = await unpacked(taken("unpacker").bytes, packed.bytes, packed.size);
    window.program = programOf(whole);
    for (const [name, text] of [["style", whole.style], ["script", whole.script]] as const) {
      const element = document.createElement(name);
      element.textContent = text;
      document.head.append(element);
    }
  } catch {
    document.getElementById("page")!.textContent = cannotOpen;
  }
}
void begin();
