// Light or dark, size of type.
import { signal } from "@preact/signals";
import { prefer, preference } from "./keep";

export type Look = "device" | "light" | "dark";
export const look = signal<Look>(preference("look", "device") as Look);
export const large = signal(preference("type", "normal") === "large");

export function putLook(): void {
  const root = document.documentElement;
  if (look.value === "device") delete root.dataset["look"];
  else root.dataset["look"] = look.value;
  root.dataset["type"] = large.value ? "large" : "normal";
}
export function setLook(next: Look): void {
  look.value = next;
  prefer("look", next);
  putLook();
}
export function setLarge(next: boolean): void {
  large.value = next;
  prefer("type", next ? "large" : "normal");
  putLook();
}
