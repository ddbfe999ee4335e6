// Work kept in the browser: the case as opened and the set-ups as edited. Nothing leaves the machine.
import type { CaseFile, Doc } from "./state";

export interface Kept {
  version: 1;
  origin: string; // the case the page came with, or "": the work belongs to it alone
  text: string;
  name: string;
  doc: Doc;
  files?: CaseFile[]; // beside the case
}

const kPlace = "leverwright.bench";

function origin(): string {
  const embedded = JSON.parse(document.getElementById("case")?.textContent ?? "null") as { text: string } | null;
  return embedded?.text ?? "";
}

export function keep(work: { doc: Doc; text: string; name: string; files: CaseFile[] }): void {
  try {
    const whole: Kept = { version: 1, origin: origin(), ...work };
    localStorage.setItem(kPlace, JSON.stringify(whole));
  } catch {
    // A browser that keeps nothing still shows everything.
  }
}

export function kept(): Kept | null {
  try {
    const found = JSON.parse(localStorage.getItem(kPlace) ?? "null") as Kept | null;
    return found && found.version === 1 && Array.isArray(found.doc?.setUps) ? found : null;
  } catch {
    return null;
  }
}

export function preference(name: string, otherwise: string): string {
  try {
    return localStorage.getItem(`leverwright.${name}`) ?? otherwise;
  } catch {
    return otherwise;
  }
}

export function prefer(name: string, value: string): void {
  try {
    localStorage.setItem(`leverwright.${name}`, value);
  } catch {
    // as above
  }
}
