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

// "2.5 mm", "100 to 125 mm" of a sentence as chosen.
export function inLengths(text: string): string {
  if (lengths.value !== "in") return text;
  const comma = language.value === "de";
  const inch = (number: string) => {
    const [, sign, digits] = /^([-+−]?)(.*)$/.exec(number)!;
    const size = Number(digits!.replace(",", ".")) / 25.4, places = (digits!.split(/[.,]/)[1] ?? "").length + 1;
    return sign + (comma ? size.toFixed(places).replace(".", ",") : size.toFixed(places));
  };
  return text
    .split(/("[^"]*")/)
    .map((piece, k) =>
      k % 2 === 1
        ? piece
        : piece.replace(
            /(\bat |\bbei )?([-+−]?\d+(?:[.,]\d+)?)(?:( to | bis )([-+−]?\d+(?:[.,]\d+)?))? mm(?![a-z/])/g,
            (whole: string, at: string | undefined, a: string, to: string | undefined, b: string | undefined) =>
              at && a === "23" ? whole : `${at ?? ""}${inch(a)}${to && b ? `${to}${inch(b)}` : ""} in`,
          ),
    )
    .join("");
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
