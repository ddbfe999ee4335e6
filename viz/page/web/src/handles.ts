// What a hand does on the drawing, as the change of a case it stands for.
import type { SetUp } from "./messages";
import { activeSetUp, putChange } from "./state";
import { t } from "./texts";
import { splitAmount, withNumber } from "./units";

export const kStep = 0.1; // mm
const kMost = 10; // mm
const kStrings = "toward the strings", kBalance = "toward the balance rail";

// Of the capstan along the key, positive towards the strings [mm].
export function capstanShift(setUp: SetUp | undefined): number {
  const change = setUp?.changes.find((c) => c.kind === "capstan moved");
  const distance = change ? splitAmount(change.arguments["distance"] ?? "")?.value : undefined;
  if (!change || distance === undefined) return 0;
  return change.arguments["direction"] === kStrings ? distance : -distance;
}

export function moveCapstan(to: number, within: boolean): void {
  const shift = Math.max(-kMost, Math.min(kMost, Math.round(to * 100) / 100));
  const before = activeSetUp.value?.changes.find((c) => c.kind === "capstan moved");
  if (shift === capstanShift(activeSetUp.value)) return;
  const size = Math.abs(shift);
  if (size < 0.05) {
    putChange("capstan moved", null, t("my_trial"), within);
    return;
  }
  putChange(
    "capstan moved",
    {
      kind: "capstan moved",
      arguments: {
        ...before?.arguments,
        distance: withNumber(before?.arguments["distance"] ?? "", size, "mm"),
        direction: shift > 0 ? kStrings : kBalance,
      },
    },
    t("my_trial"),
    within,
  );
}
