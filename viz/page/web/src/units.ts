// Numbers as a person reads them: millimetres or inches, no "-0.0", a true minus sign.
import { signal } from "@preact/signals";
import { prefer, preference } from "./keep";
import { language } from "./texts";

export type Lengths = "mm" | "in";
export const lengths = signal<Lengths>(preference("lengths", "mm") === "in" ? "in" : "mm");
export function measureIn(next: Lengths): void {
  lengths.value = next;
  prefer("lengths", next);
}

export function fixed(value: number | null | undefined, decimals: number, signed = false): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return "–";
  let text = Math.abs(value).toFixed(decimals);
  const zero = Number(text) === 0;
  if (language.value === "de") text = text.replace(".", ",");
  return (zero ? "" : value < 0 ? "−" : signed ? "+" : "") + text;
}

export function shownUnit(unit: string): string {
  if (unit === "mm" && lengths.value === "in") return "in";
  return unit === "1" ? "" : unit;
}

export function shown(value: number | null | undefined, unit: string, decimals: number, signed = false): string {
  if (unit === "mm" && lengths.value === "in")
    return fixed(value === null || value === undefined ? value : value / 25.4, decimals + 1, signed);
  return fixed(value, decimals, signed);
}

// "3 mm +- 0.2 mm": the number in front, and what stands behind it.
export function splitAmount(text: string): { value: number; rest: string } | null {
  const found = /^\s*([-+]?\d*\.?\d+(?:[eE][-+]?\d+)?)(.*)$/.exec(text);
  return found ? { value: Number(found[1]), rest: found[2] ?? "" } : null;
}

export function withNumber(text: string, value: number, unit: string): string {
  const known = splitAmount(text);
  const number = String(Number(value.toFixed(4)));
  return known && known.rest.trim() !== "" ? number + known.rest : `${number}${unit ? ` ${unit}` : ""}`;
}
