// What a hand does on the drawing, as the change of a case it stands for: a grip is one thing that can be moved one
// way. Where it is drawn follows from the picture's shapes and frames; what it says goes into the set-up as text.
import type { Change, Pair, Picture, SetUp, Shape } from "./messages";
import { activeSetUp, base, catalogue, hand, isBase, opened, picture, putChange, putChangeAt, turnScrew } from "./state";
import { t, trade, type TextKey } from "./texts";
import { shown, shownUnit, splitAmount, withNumber } from "./units";

export type Tool = "capstan" | "strip" | "heel" | "knuckle" | "leads" | "springs" | "screws";
export const kTools: Tool[] = ["capstan", "strip", "heel", "knuckle", "leads", "springs", "screws"];

export interface Grip {
  id: string;
  label: string;
  names: Pair; // what it belongs to, mm
  offset: Pair; // of the grip from there, pixels, y upwards
  way: "x" | "y"; // along the action or up
  gain?: number; // value a millimetre of the drawing, minus: against the axis; 1 where it is not said
  perPixel?: number; // the same a pixel, for what is finer than the drawing
  value: number;
  low: number;
  high: number;
  step: number;
  words: (value: number) => string;
  put: (value: number, within: boolean) => void;
}

export const kStep = 0.1; // mm
const kMost = 10; // mm
const kStrings = "toward the strings", kBalance = "toward the balance rail";
const kPixelsPerStep = 7; // of a screw

// Amounts of changes -----------------------------------------------------------------------------------------------

function find(kind: string): Change | undefined {
  return activeSetUp.value?.changes.find((c) => c.kind === kind);
}
function amount(change: Change | undefined, name: string): number | undefined {
  return change ? splitAmount(change.arguments[name] ?? "")?.value : undefined;
}
// What can be put beside: the change with these amounts, in their units; nothing of it where `is_none`.
function put(kind: string, amounts: Record<string, [number, string]>, words: Record<string, string>, isNone: boolean, within: boolean): void {
  const before = find(kind);
  if (isNone) {
    if (before) putChange(kind, null, t("my_trial"), within);
    return;
  }
  const given: Record<string, string> = { ...before?.arguments };
  for (const [name, [value, unit]] of Object.entries(amounts)) given[name] = withNumber(before?.arguments[name] ?? "", value, unit);
  Object.assign(given, words);
  putChange(kind, { kind, arguments: given }, t("my_trial"), within);
}

function signed(kind: string, name: string): number {
  const change = find(kind), size = amount(change, name);
  if (!change || size === undefined) return 0;
  return change.arguments["direction"] === kStrings ? size : -size;
}
const way = (shift: number) => ({ direction: shift > 0 ? kStrings : kBalance });
const rounded = (x: number) => Math.round(x * 100) / 100;

// Of the capstan along the key, positive towards the strings [mm].
export function capstanShift(setUp: SetUp | undefined): number {
  const change = setUp?.changes.find((c) => c.kind === "capstan moved");
  const distance = amount(change, "distance");
  if (!change || distance === undefined) return 0;
  return change.arguments["direction"] === kStrings ? distance : -distance;
}

export function moveCapstan(to: number, within: boolean): void {
  const shift = Math.max(-kMost, Math.min(kMost, rounded(to)));
  if (shift === capstanShift(activeSetUp.value)) return;
  put("capstan moved", { distance: [Math.abs(shift), "mm"] }, way(shift), Math.abs(shift) < 0.05, within);
}

function putHeel(shift: number, shim: number, within: boolean): void {
  put("heel re-glued", { shift: [Math.abs(shift), "mm"], shim: [shim, "mm"] }, way(shift), Math.abs(shift) < 0.05 && shim < 0.05, within);
}

function putStrip(height: number, length: number, centre: number, within: boolean): void {
  put("heel build-up", { height: [height, "mm"], length: [length, "mm"], centre: [centre, "mm"] }, {}, height < 0.05, within);
}

// Where things are drawn ---------------------------------------------------------------------------------------------

interface Box {
  x0: number;
  y0: number;
  x1: number;
  y1: number;
}
function box(shapes: Shape[], name: string): Box | null {
  const shape = shapes.find((s) => s.shape === "path" && s.name === name);
  if (shape?.shape !== "path") return null;
  const xs = shape.points.filter((_, k) => k % 2 === 0), ys = shape.points.filter((_, k) => k % 2 === 1);
  return { x0: Math.min(...xs), x1: Math.max(...xs), y0: Math.min(...ys), y1: Math.max(...ys) };
}
const middle = (b: Box): Pair => [(b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2];
// A place in a body's own frame, mm.
function place(p: Picture, body: string, x: number, y: number): Pair {
  const [ox, oy, angle] = p.frames[body] ?? [0, 0, 0];
  return [ox + x * Math.cos(angle) - y * Math.sin(angle), oy + x * Math.sin(angle) + y * Math.cos(angle)];
}

// Words ------------------------------------------------------------------------------------------------------------

const mm = (value: number) => `${shown(value, "mm", 1)} ${shownUnit("mm")}`;
const sided = (value: number) =>
  `${mm(Math.abs(value))} ${Math.abs(value) < 0.05 ? t("as_it_was") : value > 0 ? t("toward_strings") : t("toward_balance")}`;
const mmFine = (value: number) => `${shown(value, "mm", 2)} ${shownUnit("mm")}`;

// Grips ------------------------------------------------------------------------------------------------------------

function capstanGrips(p: Picture): Grip[] {
  const shaft = box(p.whole.shapes, "capstan shaft");
  const foot: Pair = shaft ? [(shaft.x0 + shaft.x1) / 2, shaft.y0] : [p.capstan[0], p.capstan[1] - 20];
  const long = Math.max(8, p.capstan[1] - foot[1]);
  return [
    {
      id: "capstan_place", label: t("capstan_place"), names: p.capstan, offset: [0, 0], way: "x",
      value: capstanShift(activeSetUp.value), low: -kMost, high: kMost, step: kStep, words: sided, put: moveCapstan,
    },
    {
      id: "capstan_lean", label: t("capstan_lean"), names: foot, offset: [0, -34], way: "x", gain: -180 / Math.PI / long,
      value: rounded(amount(find("capstan lean"), "angle") ?? p.built.lean), low: -15, high: 15, step: 0.5,
      words: (v) => `${shown(v, "deg", 1, true)}°`,
      put: (v, within) => put("capstan lean", { angle: [v, "deg"] }, {}, false, within),
    },
    ...screwGrips(p).filter((g) => g.id === "screw_0").map((g) => ({ ...g, label: t("capstan_height"), offset: [62, 0] as Pair })),
  ];
}

function stripGrips(p: Picture): Grip[] {
  const there = find("heel build-up");
  const under = (p.frames["wippen"]?.[0] ?? 0) - p.capstan[0];
  const height = amount(there, "height") ?? 0, length = amount(there, "length") ?? 5;
  const centre = amount(there, "centre") ?? Math.round(under * 2) / 2;
  const wippen = p.frames["wippen"] ?? [0, 0, 0];
  const deep = p.capstan[1] - wippen[1];
  const at = (x: number): Pair => place(p, "wippen", -x, deep);
  const grips: Grip[] = [
    {
      id: "strip_thickness", label: t("strip_thickness"), names: at(centre), offset: [-66, 26], way: "y", gain: -0.25,
      value: height, low: 0, high: 4, step: 0.05, words: mmFine,
      put: (v, within) => putStrip(v, length, centre, within),
    },
  ];
  if (there)
    grips.push(
      {
        id: "strip_place", label: t("strip_place"), names: at(centre), offset: [0, -40], way: "x", gain: -1,
        value: centre, low: 40, high: 90, step: 0.5, words: mm, put: (v, within) => putStrip(height, length, v, within),
      },
      {
        id: "strip_length", label: t("strip_length"), names: at(centre - length / 2), offset: [66, 26], way: "x", gain: 2,
        value: length, low: 0.5, high: 40, step: 0.5, words: mm, put: (v, within) => putStrip(height, v, centre, within),
      },
    );
  return grips;
}

function heelGrips(p: Picture): Grip[] {
  const b = box(p.whole.shapes, "heel block") ?? { x0: p.capstan[0] - 8, x1: p.capstan[0] + 8, y0: p.capstan[1], y1: p.capstan[1] + 9 };
  const shift = signed("heel re-glued", "shift"), shim = amount(find("heel re-glued"), "shim") ?? 0;
  return [
    {
      id: "heel_shift", label: t("heel_shift"), names: middle(b), offset: [0, 0], way: "x", value: shift, low: -kMost,
      high: kMost, step: kStep, words: sided, put: (v, within) => putHeel(rounded(v), shim, within),
    },
    {
      id: "heel_shim", label: t("heel_shim"), names: [b.x1, (b.y0 + b.y1) / 2], offset: [56, -8], way: "y", gain: -0.25,
      value: shim, low: 0, high: 8, step: 0.1, words: mm, put: (v, within) => putHeel(shift, rounded(v), within),
    },
  ];
}

function knuckleGrips(p: Picture): Grip[] {
  const b = box(p.whole.shapes, "knuckle");
  if (!b) return [];
  const change = find("knuckle");
  const hung = amount(change, "hanging_distance") ?? rounded(p.built.hanging_distance);
  const wide = amount(change, "diameter") ?? rounded(p.built.knuckle_diameter);
  return [
    {
      id: "knuckle_place", label: t("knuckle_place"), names: middle(b), offset: [0, 34], way: "x", gain: 0.5, value: hung,
      low: 14, high: 20, step: kStep, words: mm,
      put: (v, within) => put("knuckle", { hanging_distance: [rounded(v), "mm"] }, {}, false, within),
    },
    {
      id: "knuckle_diameter", label: t("knuckle_diameter"), names: [b.x1, middle(b)[1]], offset: [62, 0], way: "y", gain: -0.25,
      value: wide, low: 7, high: 13, step: kStep, words: mm,
      put: (v, within) => put("knuckle", { diameter: [rounded(v), "mm"] }, {}, false, within),
    },
  ];
}

const kInKey = 12; // mm above the key's bottom
const gram = (value: number) => `${shown(value, "g", 1)} g`;
const behindHole = (value: number) => `${mm(Math.abs(value))} ${value >= 0 ? t("in_front_of_hole") : t("behind_hole")}`;

// The key's own leads, moved; leads the set-up puts in, moved and made heavier.
function leadGrips(p: Picture): Grip[] {
  const grips: Grip[] = [];
  const changes = activeSetUp.value?.changes ?? [];
  const own = opened.value?.leads ?? [];
  own.forEach(([mass, distance], k) => {
    const near = (c: Change) =>
      c.kind === "lead" && c.arguments["action"] !== "add" && c.arguments["action"] !== undefined &&
      Math.abs((amount(c, "distance") ?? 1e9) - distance) < 5 && Math.abs((amount(c, "mass") ?? 1e9) - mass) < 2;
    const index = changes.findIndex(near);
    if (index >= 0 && changes[index]?.arguments["action"] === "remove") return;
    const at = index >= 0 ? amount(changes[index], "to") ?? distance : distance;
    grips.push({
      id: `lead_${k}`, label: `${t("key_lead")} ${k + 1}`, names: place(p, "key", -at, kInKey), offset: [0, -30], way: "x", gain: -1,
      value: rounded(at), low: -100, high: 230, step: 1, words: behindHole,
      put: (v, within) => {
        const moved: Change = {
          kind: "lead",
          arguments: { mass: `${rounded(mass)} g`, distance: `${rounded(distance)} mm`, action: "move", to: `${rounded(v)} mm` },
        };
        putChangeAt(index, Math.abs(v - distance) < 0.5 ? null : moved, t("my_trial"), within);
      },
    });
  });
  changes.forEach((c, index) => {
    if (c.kind !== "lead" || (c.arguments["action"] ?? "add") !== "add") return;
    const at = amount(c, "distance") ?? 100, mass = amount(c, "mass") ?? 10;
    const edit = (name: string, v: number, unit: string, within: boolean) =>
      putChangeAt(index, { ...c, arguments: { ...c.arguments, [name]: withNumber(c.arguments[name] ?? "", rounded(v), unit) } }, t("my_trial"), within);
    grips.push(
      {
        id: `added_${index}_place`, label: t("added_lead_place"), names: place(p, "key", -at, kInKey), offset: [0, 0], way: "x",
        gain: -1, value: at, low: -100, high: 230, step: 1, words: behindHole, put: (v, within) => edit("distance", v, "mm", within),
      },
      {
        id: `added_${index}_mass`, label: t("added_lead_mass"), names: place(p, "key", -at, kInKey), offset: [0, 58], way: "y",
        gain: 0.5, value: mass, low: 1, high: 30, step: 0.5, words: gram, put: (v, within) => edit("mass", v, "g", within),
      },
    );
  });
  return grips;
}

function springGrips(p: Picture): Grip[] {
  const strength = amount(find("assist spring"), "strength") ?? 0;
  return [
    {
      id: "assist_spring", label: t("assist_spring"), names: place(p, "key", 40, 24), offset: [0, 40], way: "y", gain: -0.5,
      value: strength, low: -20, high: 20, step: 0.5, words: (v) => `${shown(v, "gf", 1, true)} gf`,
      put: (v, within) => put("assist spring", { strength: [v, "gf"] }, {}, Math.abs(v) < 0.25, within),
    },
    ...screwGrips(p).filter((g) => g.id === "screw_7"),
  ];
}

// Each regulating screw: the shape it turns, where the grip stands, which way more of it goes.
const kScrewPlaces: [string, Pair, "x" | "y", 1 | -1][] = [
  ["capstan shaft", [-56, 0], "y", 1], ["front punching", [0, 30], "y", 1], ["let-off screw", [0, 44], "y", 1],
  ["drop screw", [0, 48], "y", 1], ["jack button", [-56, 0], "y", 1], ["lever-height button", [44, 44], "y", 1],
  ["back check", [0, 48], "x", -1], ["spring coil", [6, 96], "y", 1],
];
function screwGrips(p: Picture): Grip[] {
  const known = catalogue.value, now = hand.value;
  if (!known || !now) return [];
  return known.screws.flatMap((screw, k): Grip[] => {
    const s = now.screws[k], [shape, offset, along, sense] = kScrewPlaces[k] ?? ["", [0, 0] as Pair, "y" as const, 1 as const];
    const b = box(p.whole.shapes, shape);
    if (!s || !b) return [];
    const pitch = s.pitch || 1e-3, step = k === 1 ? 1 : 0.125; // papers, or turns
    const turned = s.setting / pitch;
    const top: Pair = [(b.x0 + b.x1) / 2, offset[1] > 0 ? b.y1 : (b.y0 + b.y1) / 2];
    const words = (v: number) => {
      const by = v - (base.value?.screws[k]?.setting ?? s.setting) / pitch;
      return `${shown(by, "1", 2, true)} ${t("turns")}, ${Math.abs(by) < 0.005 ? t("as_it_was") : trade(by > 0 ? screw.more : screw.less)}`;
    };
    return [{
      id: `screw_${k}`, label: trade(screw.name), names: top, offset, way: along, perPixel: (sense * step) / kPixelsPerStep,
      value: turned, low: -(s.down ?? 0.01) / pitch, high: (s.up ?? 0.01) / pitch, step, words,
      put: (v, within) => turnScrew(k, v * pitch, within),
    }];
  });
}

export function gripsOf(tool: Tool, p: Picture | null): Grip[] {
  if (!p) return [];
  switch (tool) {
    case "capstan": return capstanGrips(p);
    case "strip": return stripGrips(p);
    case "heel": return heelGrips(p);
    case "knuckle": return knuckleGrips(p);
    case "leads": return leadGrips(p);
    case "springs": return springGrips(p);
    case "screws": return screwGrips(p);
  }
}

export const kLeadPutIn: Change = { kind: "lead", arguments: { mass: "12 g", distance: "120 mm", action: "add" } };

// What a tool puts in by a button, where there is nothing yet to take hold of.
export function putIn(tool: Tool): { words: TextKey; put: () => void } | null {
  const p = picture.value;
  if (!p) return null;
  if (tool === "strip" && (isBase.value || !find("heel build-up")))
    return { words: "put_strip", put: () => putStrip(0.5, 5, Math.round(((p.frames["wippen"]?.[0] ?? 0) - p.capstan[0]) * 2) / 2, false) };
  if (tool === "leads")
    return {
      words: "put_lead",
      put: () => putChangeAt(-1, kLeadPutIn, t("my_trial"), false),
    };
  return null;
}
