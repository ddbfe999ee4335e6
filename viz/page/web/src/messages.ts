// What the core is asked and what it answers (viz/page/core/bench.h). Numbers in the unit a person reads.

export interface Change {
  kind: string;
  arguments: Record<string, string>;
}

export interface SetUp {
  name: string;
  description: string;
  from: number; // its first line in the case; 0: made here
  to: number;
  as_it_is: boolean;
  changes: Change[];
  undone?: number;
}

export interface Problem {
  line: number;
  line_text: string;
  what: string;
  expected: string;
  advice: string;
}

export interface Refused {
  problems: Problem[];
}

export type Answer<T> = T | Refused;

export function isRefused<T>(answer: Answer<T>): answer is Refused {
  return (answer as Refused).problems !== undefined;
}

export interface Found {
  name: string;
  unit: string;
  decimals: number;
  measured: number | null;
  computed: number | null;
}

export interface Opened {
  title: string;
  question: string;
  story: string;
  instrument: string;
  invented: boolean;
  notes: string[];
  warnings: string[];
  set_ups: SetUp[];
  found?: Found[];
  touches: { name: string; speed: number }[];
  leans: boolean; // numbers will move once the case is leaned on its readings as found
  policy: string;
  leads: Pair[]; // mass [g], distance in front of the balance hole [mm]
}

export interface Argument {
  name: string;
  group: string;
  required: boolean;
  description: string;
  default: string;
  words?: string[];
  free?: boolean;
  unit?: string;
  low?: number | null;
  high?: number | null;
}

export interface Remedy {
  kind: string;
  description: string;
  side_effects: string[];
  reversible: string;
  undone: number;
  undone_words: string;
  worry: string;
  labour: string;
  arguments: Argument[];
}

export interface Quantity {
  key: string;
  name: string;
  label: string;
  unit: string;
  decimals: number;
  group: string;
  how_read: string;
}

export interface Catalogue {
  remedies: Remedy[];
  quantities: Quantity[];
  keys: { path: string; unit: string; description: string; range: string }[];
  screws: { name: string; more: string; less: string; spring: boolean }[];
  roles: Record<string, [number, number, number]>;
  events: string[];
  policies: string[]; // of regulation
  cautions: { about: string; text: string }[];
}

export interface Curve {
  dip: number[];
  force: (number | null)[];
}

export interface LedgerRow {
  name: string;
  kind: "rubbing" | "cloth" | "centre" | "stored";
  amount: number | null;
}

export interface Weighed {
  name: string;
  regulated: boolean;
  ok: boolean;
  why: string;
  undone: number;
  undone_words: string;
  failures: { requirement: string; advice: string }[];
  warnings: string[];
  hand: { kind: string; words: string; undone: number; undone_words: string; worry: string }[];
  cautions: string;
  numbers: (number | null)[];
  absent: Record<string, string>;
  screws: { setting: number; pitch: number | null; up: number | null; down: number | null }[];
  down?: Curve;
  up?: Curve;
  window?: [number, number];
  dip_let_off?: number;
  ledger?: LedgerRow[];
  slide?: { dip: number[]; place: (number | null)[]; normal: (number | null)[]; face: [number, number] };
  picture?: Answer<Picture>;
}

export interface Pen {
  role: string;
  width: number;
  dashes?: number[];
}

export type Shape =
  | { shape: "path"; name: string; points: number[]; closed: boolean; fill?: string; opacity?: number; pen?: Pen }
  | { shape: "circle"; name: string; at: Pair; radius: number; fill?: string; opacity?: number; pen?: Pen }
  | { shape: "arc"; name: string; at: Pair; radius: number; from: number; to: number; pen: Pen }
  | { shape: "mark"; name: string; at: Pair; kind: string; size: number; role: string }
  | {
      shape: "label"; text: string; at: Pair; offset: Pair; anchor: string; size: number; role: string;
      bold: boolean; automatic: boolean;
    }
  | { shape: "arrow"; name: string; tail: Pair; tip: Pair; pen: Pen; head: number }
  | { shape: "trace"; name: string; points: number[]; values: number[]; low: number; high: number; width: number };

export type Pair = [number, number];
export type View = [number, number, number, number]; // x0, y0, x1, y1 in mm, y upwards

export interface Drawn {
  view: View;
  shapes: Shape[];
}

export interface PlacedWord {
  text: string;
  at: Pair;
  anchor: string;
  names: Pair;
  size: number;
}

export interface Picture {
  whole: Drawn;
  over?: Drawn;
  heel: Drawn;
  words?: PlacedWord[];
  dip: number;
  capstan: Pair;
  frames: Record<string, [number, number, number]>; // x, y [mm], angle [rad] of each body
  built: { lean: number; hanging_distance: number; knuckle_diameter: number; face: Pair; playing_point: number };
}

export interface Stroke {
  name: string;
  found: boolean;
  advice: string;
  plateau: number | null;
  events: { name: string; time: number }[];
  faults: string[];
  explained: string[];
  stopped: string;
  measures: Record<string, number | null>;
  notes?: string[];
  time: number[];
  dip: number[];
  gap: number[];
  force: number[];
  hammer_speed: number[];
}

export interface JudgedMeasure {
  key: string;
  value: number | null;
  sigma: number | null;
  change: number | null;
  sigma_change: number | null;
  dominant: string;
  word: string;
  noticeable?: number;
  wanted?: string;
}

export interface Judged {
  set_ups: {
    name: string;
    regulated: boolean;
    ok: boolean;
    undone: number;
    undone_words: string;
    sentence: string;
    measures: JudgedMeasure[];
  }[];
  answer: { label: string; text: string }[];
  warnings: string[];
  cautions: string;
}

export interface PictureRequest {
  moment?: string;
  dip?: number;
  time?: number;
  over?: string;
  draw_over?: boolean; // false: it stands as it did
  labels?: boolean;
  forces?: boolean;
  marks?: boolean;
  paper_width?: number;
  millimetres_per_newton?: number;
}

export type Request =
  | { ask: "catalogue" }
  | { ask: "open"; text: string; name: string; files?: { name: string; text: string }[]; lean?: boolean }
  | {
      ask: "weigh"; slot: string; set_up: SetUp; quick?: boolean; screws?: number[]; picture?: PictureRequest;
    }
  | ({ ask: "picture"; slot: string } & PictureRequest)
  | { ask: "play"; slot: string; touch?: string; speed?: number; repeat?: "full" | "partial"; rate?: number }
  | { ask: "judge"; set_ups: SetUp[]; text?: string; name?: string; files?: { name: string; text: string }[] }
  | { ask: "save"; set_ups: SetUp[] }
  | { ask: "sheet_lines" }
  | { ask: "sheet"; note: string; cells: Record<string, string> }
  | { ask: "sheet_case"; title: string };

export interface SheetLine {
  number: number;
  section: string;
  name: string;
  where: string;
  tool: string;
  usual: string;
  unit: string;
  uncertainty: string;
  supplement: boolean;
  first: boolean;
  words?: string[];
}

export interface SheetAnswer {
  note: string;
  given: number;
  replies: Record<string, { taken: boolean; says: string[] }>;
}

export interface SheetCase {
  text: string;
  note: string;
  open: { line: number; name: string; stays: string; estimate: boolean }[];
  warnings: string[];
  sheet: string;
}
