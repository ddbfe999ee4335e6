// The core in WebAssembly against the same core compiled natively, on every case and on random actions:
//   node parity.mjs CORE_FOLDER PAGE_CORE [CASE_FOLDER ...]
//   node parity.mjs CORE_FOLDER PAGE_CORE --random RANDOM_CASES COUNT [SEED] [FROM]
// Static numbers to 1e-6 of max(|x|, 1), strokes to 1e-5; the same words, faults and order of events. A screw is solved
// to a tolerance and what is set by playing is searched, so the last digits of some quantities hang on the last bit of
// the input: the native program is asked again with every measured value moved by 1e-9 of itself, up and down, and a
// quantity may differ by as much as it does there anywhere (times kMore; shown by name). Exit code 1 where more differs.
import { spawnSync } from "node:child_process";
import { readFileSync, readdirSync, existsSync } from "node:fs";
import { createRequire } from "node:module";
import { join, dirname } from "node:path";
import { fileURLToPath } from "node:url";

const root = join(dirname(fileURLToPath(import.meta.url)), "../../..");
const [coreFolder, native, ...more] = process.argv.slice(2);
const drawn = more[0] === "--random" ? more.slice(1) : null;
function* texts() {
  if (drawn) {
    const [program, count, ...rest] = drawn;
    const said = spawnSync(program, [count, ...rest], { cwd: root, encoding: "utf8", maxBuffer: 1 << 28 }).stdout.trim().split("\n");
    for (const [k, line] of said.entries()) yield [`action ${Number(rest[1] ?? 0) + k}`, JSON.parse(line)];
    return;
  }
  const cases = more.length > 0 ? more : readdirSync(join(root, "cases")).filter((c) => existsSync(join(root, "cases", c, "case.toml")));
  for (const name of cases) yield [name, readFileSync(join(root, "cases", name, "case.toml"), "utf8")];
}
const kStatic = 1e-6, kPlayed = 1e-5, kMore = 3, kMoved = 1e-9;

const load = createRequire(import.meta.url)(join(coreFolder, "core.js"));
const core = await load({ wasmBinary: readFileSync(join(coreFolder, "core.wasm")) });
const askPage = (request) => JSON.parse(core.ccall("leverwright_ask", "string", ["string"], [JSON.stringify(request)]));

const names = Object.fromEntries(askPage({ ask: "catalogue" }).quantities.map((q, k) => [`numbers/${k}`, q.name]));
const moved = (text, sign) =>
  text.replace(/(^\[measured\]$)([^[]*)/m, (whole, head, lines) =>
    head + lines.replace(/^(\w+ = ")([\d.]+)/gm, (l, key, number, at) => key + (Number(number) * (1 + sign * kMoved * (1 + (at % 7) / 7))).toPrecision(15)));

function askNative(requests) {
  const ran = spawnSync(native, { input: requests.map((r) => JSON.stringify(r)).join("\n") + "\n", encoding: "utf8", maxBuffer: 1 << 28, cwd: root });
  return ran.stdout.trim().split("\n").map((line) => JSON.parse(line));
}

// Every leaf of what is compared, by its path.
function leaves(value, path, out) {
  if (value !== null && typeof value === "object") for (const key of Object.keys(value)) leaves(value[key], `${path}/${key}`, out);
  else out.set(path, value);
  return out;
}
const kKept = {
  open: ["title", "question", "set_ups", "found", "problems"],
  weigh: ["numbers", "ok", "regulated", "why", "failures", "hand", "undone", "problems"],
  play: ["events", "measures", "faults", "found", "problems"],
};
const compared_of = (request, answer) => leaves(Object.fromEntries(kKept[request.ask].map((k) => [k, answer[k] ?? null])), "", new Map());
const off = (a, b) => Math.abs(a - b) / Math.max(Math.abs(b), 1);
const key_of = (request, path) => `${request.ask}${path.replace(/^.(hand|found|set_ups|events|failures).*/, "/$1")}`;

const noise = new Map(); // how far the native program moves, by what is read
const rows = [];
const differences = [];
let count = 0, refused = 0, discrete = 0, flipped = 0;
for (const [name, text] of texts()) {
  ++count;
  const opened = askPage({ ask: "open", text, name: "case.toml" });
  const requests = (text) => [
    { ask: "open", text, name: "case.toml" },
    ...(opened.set_ups ?? []).map((set_up) => ({ ask: "weigh", slot: "a", set_up })),
    { ask: "play", slot: "a", touch: "mf" },
  ];
  if (opened.problems) ++refused;
  const asked = requests(text);
  const own = askNative(asked), around = [askNative(requests(moved(text, 1))), askNative(requests(moved(text, -1)))];
  asked.forEach((request, k) => {
    const page = compared_of(request, k === 0 ? opened : askPage(request)), here = compared_of(request, own[k]);
    const near = around.map((a) => compared_of(request, a[k]));
    for (const [path, value] of here) {
      const other = page.get(path), where = `${name}/${request.set_up?.name ?? request.ask}${path}`;
      if (typeof value !== "number" || typeof other !== "number") {
        ++discrete;
        if (other === value || /\/words$/.test(path)) continue;
        if (near.every((n) => n.get(path) === value))
          differences.push(`${where}: page ${JSON.stringify(other)}, native ${JSON.stringify(value)}`);
        else ++flipped;
        continue;
      }
      const key = key_of(request, path);
      for (const n of near) if (typeof n.get(path) === "number") noise.set(key, Math.max(noise.get(key) ?? 0, off(n.get(path), value)));
      rows.push({ where, key, off: off(other, value), tolerance: request.ask === "play" ? kPlayed : kStatic });
    }
  });
}
const loose = new Map();
for (const r of rows) {
  if (r.off <= r.tolerance) continue;
  const allowed = kMore * (noise.get(r.key) ?? 0);
  if (r.off > allowed) differences.push(`${r.where}: off by ${r.off.toExponential(1)}, native moves by ${(allowed / kMore).toExponential(1)}`);
  else loose.set(r.key, Math.max(loose.get(r.key) ?? 0, r.off));
}
const strict = rows.filter((r) => r.off <= r.tolerance).length;
console.log(`${count} ${drawn ? "random actions" : "cases"}, ${rows.length} numbers: ${strict} within 1e-6 (strokes 1e-5), ${rows.length - strict} beyond`);
console.log(`  ${discrete} words, faults and absent numbers: ${flipped} other where the native program flips by itself${refused > 0 ? `; ${refused} cases refused, alike` : ""}`);
for (const [key, most] of [...loose].sort((a, b) => b[1] - a[1]))
  console.log(`  ${names[key.replace("weigh/", "")] ?? key}: up to ${most.toExponential(1)}; the native program by itself ${noise.get(key).toExponential(1)}`);
for (const d of differences.slice(0, 40)) console.log(`  DIFFERS ${d}`);
if (differences.length > 0) console.log(`${differences.length} differ`);
process.exit(differences.length > 0 ? 1 : 0);
