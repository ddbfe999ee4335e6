// German for what the core says. Keys are its English words and sentences (german/*.ts), with {} where something stands
// that is translated in its turn, {~} the same without brackets in it, {"} where a name stands in quotes and is kept, {#}
// where a number stands, {=} where any text is kept; ^ in front: never cut at a semicolon before. What no key fits stays English, so nothing is lost: a sentence that
// changes in the core shows here as English, and tests/viz/page/german.mjs names it. One list, so that another output
// can take it over.
import { benchSentences } from "./german/bench";
import { faultSentences } from "./german/faults";
import { judgementSentences } from "./german/judgement";
import { readerSentences } from "./german/reader";
import { sheetSentences } from "./german/sheet";
import { words } from "./german/words";

const sentences = [...judgementSentences, ...benchSentences, ...sheetSentences, ...faultSentences, ...readerSentences];

const kDepth = 12;
interface Rule {
  match: RegExp;
  kinds: string[];
  to: string;
}
const escaped = (text: string) => text.replace(/[.*+?^$()|[\]\\]/g, "\\$&");
const kSlots: Record<string, string> = { "": "(.+?)", "~": "([^()]+?)", "=": "(.+?)", "#": "([-+−]?\\d[\\d.]*)", '"': '("[^"]*")' };
const exact = new Map(Object.entries(words));
const rules: Rule[] = [], uncut: Rule[] = [];
for (const [key, to] of sentences) {
  const from = key.replace(/^\^/, "");
  const kinds = [...from.matchAll(/\{(["#~=]?)\}/g)].map((m) => m[1] ?? "");
  if (kinds.length === 0) {
    exact.set(from, to);
    continue;
  }
  const pattern = from
    .split(/\{["#~=]?\}/)
    .map((piece) => escaped(piece).replace(/[{}]/g, "\\$&"))
    .reduce((all, piece, k) => all + kSlots[kinds[k - 1] ?? ""] + piece);
  (from === key ? rules : uncut).push({ match: new RegExp(`^${pattern}$`, "s"), kinds, to });
}

const number = (text: string) => text.replace(/(\d)\.(\d)/g, "$1,$2");
const upper = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);
const lowerFirst = (text: string) => text.charAt(0).toLowerCase() + text.slice(1);

// A text cut at this joint, but never inside brackets or quotes.
function cut(text: string, joint: RegExp): string[] {
  const pieces: string[] = [];
  let deep = 0, quoted = false, from = 0;
  for (let k = 0; k < text.length; ++k) {
    const c = text[k];
    if (c === '"') quoted = !quoted;
    else if (!quoted && c === "(") ++deep;
    else if (!quoted && c === ")") deep = Math.max(0, deep - 1);
    if (quoted || deep > 0) continue;
    joint.lastIndex = k;
    const found = joint.exec(text);
    if (!found) continue;
    pieces.push(text.slice(from, k));
    from = k + found[0].length;
    k = from - 1;
  }
  pieces.push(text.slice(from));
  return pieces;
}

let unknown: string[] = []; // pieces no key fits, of the text at hand
const kUnits = /(?<![A-Za-z])(?:mm|cm|gf|gm|kg|deg|in|ms|Hz|Nm|pp|mf|ff|toml|TOML|UTF|C4)(?![A-Za-z])/g;
const isWords = (text: string) => /[A-Za-z]{2,}/.test(text.replace(/"[^"]*"/g, "").replace(kUnits, ""));

function byRule(text: string, depth: number, of: Rule[]): string | null {
  let best: string | null = null, least = Infinity;
  for (const rule of of) {
    const found = rule.match.exec(text);
    if (!found) continue;
    const before = unknown.length;
    const slots = found.slice(1).map((slot, k) => {
      const kind = rule.kinds[k];
      return kind === '"' || kind === "=" ? slot : kind === "#" ? number(slot) : translate(slot, depth + 1);
    });
    const missed = unknown.length - before;
    unknown.length = before;
    if (missed >= least) continue;
    let k = 0;
    best = rule.to.replace(/\{\}/g, () => slots[k++] ?? "");
    least = missed;
    if (missed === 0) break;
  }
  if (least > 0 && best !== null) unknown.push(text);
  return best;
}

const kSentence = /[.!?] (?=[A-Z"])/y;
const kJoints: [RegExp, string][] = [[/; /y, "; "], [/: /y, ": "], [/, /y, ", "], [/ and /y, " und "]];

function inPieces(text: string, joint: RegExp, between: string, depth: number): string | null {
  const pieces = cut(text, joint);
  if (pieces.length < 2) return null;
  const parts = between === ": " ? [pieces[0] ?? "", pieces.slice(1).join(": ")] : pieces;
  const before = unknown.length;
  const made = parts.map((p) => translate(p, depth + 1));
  if (made.some((m, k) => m !== parts[k]) || unknown.length === before) return made.join(between);
  unknown.length = before;
  return null;
}

const memory = new Map<string, { now: string; missed: string[] }>();
function translate(text: string, depth: number): string {
  if (depth > kDepth || text.trim() === "") return text;
  const kept = memory.get(text);
  if (kept) {
    unknown.push(...kept.missed);
    return kept.now;
  }
  const before = unknown.length, now = anew(text, depth);
  if (memory.size > 20000) memory.clear();
  memory.set(text, { now, missed: unknown.slice(before) });
  return now;
}

function anew(text: string, depth: number): string {
  const known = exact.get(text) ?? null;
  if (known !== null) return known;
  const small = lowerFirst(text), smallKnown = exact.get(small);
  if (smallKnown !== undefined) return upper(smallKnown);
  // Sentences, each by itself, its stop left where it is.
  const ends = cut(text, kSentence);
  if (ends.length > 1) {
    const made: string[] = [];
    let at = 0;
    ends.forEach((piece, k) => {
      const last = k === ends.length - 1;
      made.push(translate(piece, depth + 1) + (last ? "" : (text[at + piece.length] ?? "")));
      at += piece.length + 2;
    });
    return made.join(" ");
  }
  const stop = /^(.*)([.!?])$/s.exec(text);
  if (stop && !/\.\.\.$/.test(text)) return translate(stop[1] ?? "", depth) + (stop[2] ?? "");
  if (/^"[^"]*"(?:(?:, | and )"[^"]*")*$/.test(text)) return text.replace(/" and "/g, '" und "');
  const whole = byRule(text, depth, uncut);
  if (whole !== null) return whole;
  const [semicolon, ...joints] = kJoints;
  const halves = inPieces(text, semicolon![0], semicolon![1], depth);
  if (halves !== null) return halves;
  const before = unknown.length;
  const ruled = byRule(text, depth, rules);
  if (ruled !== null && unknown.length === before) return ruled;
  unknown.length = before;
  const smallRuled = small === text ? null : byRule(small, depth, rules);
  if (smallRuled !== null && unknown.length === before) return upper(smallRuled);
  unknown.length = before;
  // "friction -2.1 gf", "3.0 mm"
  const amount = /^(.+?) ([-+−]?\d[\d.]*(?: to [-+−]?\d[\d.]*)?(?: (?:[a-zA-Z]{1,2}|deg|N mm|%|°))?)$/.exec(text);
  const what = amount ? (exact.get(amount[1]!) ?? (exact.has(lowerFirst(amount[1]!)) ? upper(exact.get(lowerFirst(amount[1]!))!) : undefined)) : undefined;
  if (amount && what !== undefined) return `${what} ${number((amount[2] ?? "").replace(" to ", " bis "))}`;
  if (/^[-+−±]?\d[\d.]*( to [-+−]?\d[\d.]*)?( ?(?:[A-Za-z]{1,2}|deg|mm\/s|m\/s|N mm|%|°)?)$/.test(text)) return number(text.replace(" to ", " bis "));
  for (const [joint, between] of joints) {
    const made = inPieces(text, joint, between, depth);
    if (made !== null) return made;
  }
  if (ruled ?? smallRuled) {
    unknown.push(text);
    return ruled ?? upper(smallRuled!);
  }
  if (isWords(text) && !/^"[^"]*"$/.test(text)) unknown.push(text);
  return text;
}

export function inGerman(text: string): string {
  unknown = [];
  return translate(text, 0);
}

// What is expected in a file: whole sentences in German, what is to be typed as it is, without the key's description behind it.
export function typedGerman(text: string): string {
  const known = exact.get(text);
  if (known !== undefined) return known;
  // "10.4 gf +- 0.1 gf"; what it is; 100 to 125 mm
  const pieces = text.split("; ");
  const plain = pieces.filter((piece) => /^"[^"]*"$/.test(piece) || /^[-\d.]+ to [-\d.]+( \S+)?$/.test(piece));
  if (pieces.length > 1 && plain.length > 0) return plain.map((piece) => piece.replace(" to ", piece.startsWith('"') ? " to " : " bis ")).join("; ");
  return text
    .replace(/^((?:[a-z_]+ = )?"[^"]*") \([^]*\)$/, "$1")
    .replace(/^(kind = )?one of:? /, "$1eines von: ")
    .replace(/^either /, "entweder ")
    .replace(/, or /g, ", oder ")
    .replace(/ and /g, " und ");
}

// What of a text stays English.
export function leftEnglish(text: string): string[] {
  unknown = [];
  translate(text, 0);
  return unknown;
}
