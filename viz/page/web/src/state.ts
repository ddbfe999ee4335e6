// What the page holds: the case, its set-ups as edited with undo and redo, and what the core answered to them.
import { batch, computed, effect, signal, untracked } from "@preact/signals";
import { Link } from "./link";
import {
  isRefused,
  type Answer, type Catalogue, type Change, type Judged, type Opened, type Picture, type PictureRequest, type Problem, type Request, type SetUp,
  type Stroke, type Weighed,
} from "./messages";
import { keep, kept, type Kept } from "./keep";

export interface Doc {
  setUps: SetUp[];
  active: number;
  over: number; // shown beside the active one; the base at first
  screws?: number[]; // as turned by hand; else regulated
}

export interface CaseFile {
  name: string;
  text: string;
}

export type Face = "workshop" | "customer" | "classroom";

export const started = signal<"loading" | "no case" | "open" | "failed">("loading");
export const failure = signal("");
export const catalogue = signal<Catalogue | null>(null);
export const opened = signal<Opened | null>(null);
export const caseText = signal("");
export const caseName = signal("case.toml");
const caseFiles = signal<CaseFile[]>([]); // parts and materials that stand beside it
export const problems = signal<Problem[]>([]);
export const notice = signal("");

export const doc = signal<Doc>({ setUps: [], active: 0, over: 0 });
const past = signal<Doc[]>([]);
const future = signal<Doc[]>([]);
export const canUndo = computed(() => past.value.length > 0);
export const canRedo = computed(() => future.value.length > 0);

export const base = signal<Weighed | null>(null);
export const hand = signal<Weighed | null>(null);
export const other = signal<Weighed | null>(null);
export const handProblems = signal<Problem[]>([]);
export const picture = signal<Picture | null>(null);
export const restPicture = signal<Picture | null>(null);
export const stroke = signal<Stroke | null>(null);
export const otherStroke = signal<Stroke | null>(null); // of the set-up it is compared with
export const judged = signal<Judged | null>(null);
export const judging = signal<{ doing: string; share: number } | null>(null);
export const screwsByHand = computed<number[] | null>(() => doc.value.screws ?? null);
export const leaning = signal(false); // the numbers shown are not yet leaned on the readings as found

export const face = signal<Face>("workshop");
export const moment = signal<"rest" | "half stroke" | "let-off">("rest");
export const shownDip = signal<number | null>(null); // the slow path at this dip, in place of the moment
export const sideBySide = signal(false);
export const showForces = signal(false);
export const playTime = signal<number | null>(null);
export const paperWidth = signal(150);
export const moving = signal(false); // a hand is on something

export const activeSetUp = computed<SetUp | undefined>(() => doc.value.setUps[doc.value.active]);
const overSetUp = computed<SetUp | undefined>(() => doc.value.setUps[doc.value.over]);
export const isBase = computed(() => doc.value.active === 0);

let link = new Link();
let judgeLink: Link | null = null;

// Steps -------------------------------------------------------------------------------------------------------------

// One step that can be undone; `within` a drag the steps are one.
let openStep = false;
export function step(next: Doc, within = false): void {
  batch(() => {
    if (!(within && openStep)) past.value = [...past.value, doc.value];
    openStep = within;
    future.value = [];
    doc.value = next;
  });
}
export function endStep(): void {
  openStep = false;
}
export function undo(): void {
  const before = past.value[past.value.length - 1];
  if (!before) return;
  batch(() => {
    future.value = [doc.value, ...future.value];
    past.value = past.value.slice(0, -1);
    doc.value = before;
  });
}
export function redo(): void {
  const after = future.value[0];
  if (!after) return;
  batch(() => {
    past.value = [...past.value, doc.value];
    future.value = future.value.slice(1);
    doc.value = after;
  });
}

// Whatever is changed, the action is regulated afresh.
function regulated(): Doc {
  const { setUps, active, over } = doc.value;
  return { setUps, active, over };
}

export function turnScrew(index: number, to: number, within = false): void {
  const settings = screwsByHand.value ?? hand.value?.screws.map((s) => s.setting);
  if (!settings || settings[index] === to) return;
  step({ ...doc.value, screws: settings.map((s, k) => (k === index ? to : s)) }, within);
}
export function regulateAgain(): void {
  step(regulated());
}

export function choose(active: number): void {
  if (active !== doc.value.active) step({ ...regulated(), active });
}
export function chooseOver(over: number): void {
  if (over !== doc.value.over) step({ ...doc.value, over });
}

function freeName(stem: string): string {
  const names = new Set(doc.value.setUps.map((s) => s.name));
  for (let k = 1; ; ++k) if (!names.has(`${stem} ${k}`)) return `${stem} ${k}`;
}

export function addSetUp(stem: string, changes: Change[] = [], within = false): void {
  const made: SetUp = { name: freeName(stem), description: "", from: 0, to: 0, as_it_is: false, changes };
  step({ ...regulated(), setUps: [...doc.value.setUps, made], active: doc.value.setUps.length }, within);
}

export function copySetUp(stem: string): void {
  addSetUp(stem, structuredClone(activeSetUp.value?.changes ?? []));
}

export function removeSetUp(index: number): void {
  if (index === 0) return;
  const setUps = doc.value.setUps.filter((_, k) => k !== index);
  const shifted = (k: number) => (k === index ? 0 : k > index ? k - 1 : k);
  step({ setUps, active: shifted(doc.value.active), over: shifted(doc.value.over) });
}

export function editSetUp(index: number, edit: Partial<SetUp>, within = false): void {
  const setUps = doc.value.setUps.map((s, k) => (k === index ? { ...s, ...edit } : s));
  step({ ...regulated(), setUps }, within);
}

export function renameSetUp(index: number, name: string): void {
  if (name.trim() !== "" && doc.value.setUps.every((s, k) => k === index || s.name !== name)) editSetUp(index, { name });
}

// Puts one change of a kind into the active set-up, or takes it out; on the base a new set-up is begun.
export function putChange(kind: string, change: Change | null, stem: string, within = false): void {
  const active = activeSetUp.value;
  if (!active) return;
  if (isBase.value) {
    if (change) addSetUp(stem, [change], within);
    return;
  }
  const at = active.changes.findIndex((c) => c.kind === kind);
  const changes = active.changes.slice();
  if (at >= 0 && change) changes[at] = change;
  else if (at >= 0) changes.splice(at, 1);
  else if (change) changes.push(change);
  editSetUp(doc.value.active, { changes }, within);
}

// The same by its place among the changes; -1: a further one.
export function putChangeAt(at: number, change: Change | null, stem: string, within = false): void {
  const active = activeSetUp.value;
  if (!active || (at < 0 && !change)) return;
  if (isBase.value) {
    if (change) addSetUp(stem, [change], within);
    return;
  }
  const changes = active.changes.slice();
  if (at < 0) changes.push(change!);
  else if (change) changes[at] = change;
  else changes.splice(at, 1);
  editSetUp(doc.value.active, { changes }, within);
}

// Asking --------------------------------------------------------------------------------------------------------------

export function pictureRequest(): PictureRequest {
  const request: PictureRequest = { forces: showForces.value };
  if (playTime.value !== null) {
    request.time = playTime.value;
    request.labels = false;
    request.millimetres_per_newton = 1;
  } else {
    if (shownDip.value !== null) request.dip = shownDip.value;
    else request.moment = moment.value;
    request.labels = face.value !== "customer";
    request.paper_width = paperWidth.value;
  }
  if (doc.value.over !== doc.value.active && other.value?.ok) request.over = "over";
  return request;
}

// What of it follows a hand that moves.
function handPicture(): PictureRequest {
  const { paper_width: _, ...request } = pictureRequest();
  return picture.value?.over && request.over ? { ...request, draw_over: false } : request;
}

const samePicture = () => JSON.stringify(pictureRequest());

export const behind = signal(false); // the numbers shown are not yet those of what is set
let asked = 0;
async function weighHand(): Promise<void> {
  const setUp = activeSetUp.value;
  if (!setUp || started.value !== "open") return;
  const quick = moving.value;
  const turn = ++asked;
  behind.value = true;
  const screws = screwsByHand.value;
  const answer = await link.latest<Weighed>("hand", {
    ask: "weigh", slot: "hand", set_up: setUp, quick, picture: quick ? handPicture() : pictureRequest(), ...(screws ? { screws } : {}),
  });
  if (answer === null) return;
  batch(() => {
    if (turn === asked) behind.value = false;
    if (isRefused(answer)) {
      handProblems.value = answer.problems;
      return;
    }
    handProblems.value = [];
    hand.value = answer;
    stroke.value = otherStroke.value = null;
    if (answer.picture && !isRefused(answer.picture)) {
      // A hand that moves leaves words and the other set-up where they were.
      picture.value = quick && picture.value ? { ...answer.picture, words: picture.value.words, over: answer.picture.over ?? picture.value.over } : answer.picture;
      if (moment.value === "rest" && shownDip.value === null) restPicture.value = picture.value;
    }
  });
}

async function weighOver(): Promise<void> {
  const setUp = doc.value.setUps[doc.value.over];
  if (!setUp || started.value !== "open") return;
  const answer = await link.latest<Weighed>("over", { ask: "weigh", slot: "over", set_up: setUp });
  if (answer === null || isRefused(answer)) return;
  other.value = answer;
  if (doc.value.over === 0) base.value = answer;
  void draw();
}

export async function draw(): Promise<void> {
  if (started.value !== "open" || !hand.value) return;
  const answer = await link.latest<Picture>("picture", { ask: "picture", slot: "hand", ...pictureRequest() });
  if (answer === null || isRefused(answer)) return;
  picture.value = answer;
}

// A touch of the case, or some strokes repeated at a rate [1/s].
export type Played = { touch: string } | { repeat: "full" | "partial"; rate: number };
export async function play(what: Played): Promise<void> {
  const answer = await link.ask<Stroke>({ ask: "play", slot: "hand", ...what });
  if (isRefused(answer)) {
    handProblems.value = answer.problems;
    return;
  }
  let beside: Stroke | null = null;
  if (doc.value.over !== doc.value.active) {
    const second = await link.ask<Stroke>({ ask: "play", slot: "over", ...what });
    if (!isRefused(second)) beside = second;
  }
  batch(() => {
    otherStroke.value = beside;
    stroke.value = answer;
  });
}

// Of questions that come faster than they are answered the last alone is asked; null for the others.
export function askLast<T>(channel: string, request: Request): Promise<Answer<T> | null> {
  return link.latest<T>(channel, request);
}
export function askBench<T>(request: Request): Promise<Answer<T>> {
  return link.ask<T>(request);
}

// A question beside the bench's own; null where it was refused.
export async function ask<T>(request: Request): Promise<T | null> {
  const answer = await link.ask<T>(request);
  return isRefused(answer) ? null : answer;
}

export async function saveText(): Promise<string | null> {
  const answer = await link.ask<{ text: string }>({ ask: "save", set_ups: doc.value.setUps });
  if (isRefused(answer)) {
    problems.value = answer.problems;
    return null;
  }
  return answer.text;
}

// Bands and advice: a worker of its own, begun afresh whenever a set-up changes.
const judgedBefore = new WeakMap<SetUp[], Judged>(); // a step undone finds its advice again
let judgeTimer = 0;
let judgeRun = 0;
async function judge(): Promise<void> {
  const run = ++judgeRun;
  judgeLink?.stop();
  const own = new Link();
  judgeLink = own;
  judging.value = { doing: "", share: 0 };
  own.told = (doing, share) => {
    if (run === judgeRun) judging.value = { doing, share };
  };
  const setUps = doc.value.setUps;
  const answer = await own.ask<Judged>({
    ask: "judge", set_ups: setUps, text: caseText.value, name: caseName.value, files: caseFiles.value,
  });
  if (run !== judgeRun) return;
  own.stop();
  judgeLink = null;
  if (!isRefused(answer)) judgedBefore.set(setUps, answer);
  batch(() => {
    judging.value = null;
    judged.value = isRefused(answer) ? null : answer;
  });
}

// Opening -------------------------------------------------------------------------------------------------------------

let openRun = 0;
let leanLink: Link | null = null;

// The first numbers come from the case as written; where it holds readings as found it is leaned on them meanwhile, in
// a worker of its own that then takes the first one's place.
export async function openCase(text: string, name: string, from?: Kept, files: CaseFile[] = []): Promise<boolean> {
  const answer = await link.ask<Opened>({ ask: "open", text, name, files, lean: false });
  if (isRefused(answer)) {
    problems.value = answer.problems;
    return false;
  }
  const run = ++openRun;
  leanLink?.stop();
  leanLink = null;
  batch(() => {
    problems.value = [];
    opened.value = answer;
    caseText.value = text;
    caseName.value = name;
    caseFiles.value = files;
    past.value = [];
    future.value = [];
    judged.value = null;
    base.value = hand.value = other.value = null;
    picture.value = restPicture.value = null;
    stroke.value = otherStroke.value = null;
    playTime.value = shownDip.value = null;
    leaning.value = answer.leans;
    doc.value = from ? from.doc : { setUps: answer.set_ups, active: 0, over: 0 };
    started.value = "open";
  });
  if (answer.leans) void lean(run, text, name, files);
  return true;
}

async function lean(run: number, text: string, name: string, files: CaseFile[]): Promise<void> {
  const own = new Link();
  leanLink = own;
  const answer = await own.ask<Opened>({ ask: "open", text, name, files });
  if (run !== openRun) return own.stop();
  leanLink = null;
  if (isRefused(answer)) {
    own.stop();
    batch(() => {
      leaning.value = false;
      problems.value = answer.problems;
    });
    return;
  }
  link.stop();
  link = own;
  batch(() => {
    stroke.value = otherStroke.value = null;
    playTime.value = null;
    leaning.value = false;
    opened.value = answer;
  });
}

export async function start(): Promise<void> {
  try {
    const known = await link.ask<Catalogue>({ ask: "catalogue" });
    if (isRefused(known)) throw new Error(known.problems[0]?.what);
    catalogue.value = known;
    const embedded = JSON.parse(document.getElementById("case")?.textContent ?? "null") as
      | (CaseFile & { files?: CaseFile[] })
      | null;
    const before = kept();
    if (before && (!embedded || before.origin === embedded.text)) {
      if (await openCase(before.text, before.name, before, before.files ?? [])) return;
    }
    if (embedded) {
      if (!(await openCase(embedded.text, embedded.name, undefined, embedded.files))) started.value = "no case";
    } else started.value = "no case";
  } catch (error) {
    failure.value = String(error instanceof Error ? error.message : error);
    started.value = "failed";
  }
}

// The invented piano every page has in it, for who comes without a case.
export function openDemo(): void {
  const demo = JSON.parse(document.getElementById("demo")?.textContent ?? "null") as { name: string; text: string } | null;
  if (demo) void openCase(demo.text, demo.name);
}

// A piano of one's own, line by line; the case at hand stays kept until another is made.
export function newSheet(): void {
  started.value = "no case";
  opened.value = null;
}

export function forgetWork(): void {
  localStorage.removeItem("leverwright.bench");
  const embedded = JSON.parse(document.getElementById("case")?.textContent ?? "null") as
    | (CaseFile & { files?: CaseFile[] })
    | null;
  if (embedded) void openCase(embedded.text, embedded.name, undefined, embedded.files);
  else started.value = "no case";
}

// What follows from what ---------------------------------------------------------------------------------------------

effect(() => {
  void activeSetUp.value;
  void screwsByHand.value;
  void opened.value;
  void moving.value;
  untracked(() => void weighHand());
});
effect(() => {
  void overSetUp.value;
  void opened.value;
  untracked(() => void weighOver());
});
let lastPicture = "";
effect(() => {
  const wanted = samePicture();
  if (wanted === lastPicture) return;
  lastPicture = wanted;
  untracked(() => void draw());
});
effect(() => {
  const now = doc.value;
  if (started.value !== "open") return;
  keep({ doc: now, text: caseText.value, name: caseName.value, files: caseFiles.value });
});
let judgedSetUps: SetUp[] | null = null;
effect(() => {
  const setUps = doc.value.setUps;
  if (started.value !== "open" || moving.value || leaning.value) return;
  if (setUps === judgedSetUps) return;
  judgedSetUps = setUps;
  const known = judgedBefore.get(setUps) ?? null;
  judged.value = known;
  judgeRun++;
  judgeLink?.stop();
  judgeLink = null;
  judging.value = null;
  window.clearTimeout(judgeTimer);
  if (known) return;
  judgeTimer = window.setTimeout(() => void judge(), 1200);
});
