// What the parts of drive.mjs share: a browser opened from disk with the network off, the command line beside it, and
// a tally of what held.
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, resolve } from "node:path";
import { tmpdir } from "node:os";
import { fileURLToPath } from "node:url";

export const root = join(dirname(fileURLToPath(import.meta.url)), "../../..");
const [template, programPath, web, ...options] = process.argv.slice(2);
const program = resolve(programPath);
export const option = (name) => (options.includes(name) ? options[options.indexOf(name) + 1] : "");
const packages = createRequire(join(resolve(web), "package.json"));
const { chromium } = packages("playwright-core");
const axe = readFileSync(packages.resolve("axe-core/axe.min.js"), "utf8");
export const scratch = mkdtempSync(join(tmpdir(), "page-"));
export const caseFile = join(root, "cases/missed_heel/case.toml"), bench = join(scratch, "bench.html");
export const pictures = option("--pictures");
const env = { ...process.env, LEVERWRIGHT_PAGE: resolve(template) };
export const run = (...words) => execFileSync(program, words, { cwd: scratch, encoding: "utf8", env, stdio: ["ignore", "pipe", "ignore"] });
// What the program says against a file: all it writes, and whether it refused.
export function refusal(...words) {
  const ran = spawnSync(program, words, { cwd: scratch, encoding: "utf8", env });
  return { refused: ran.status !== 0, text: ran.stderr + ran.stdout };
}
export const times = {};

export const tally = { held: 0, wrong: [] };
export function expect(true_, what) {
  if (true_) ++tally.held;
  else {
    tally.wrong.push(what);
    console.log(`NOT SO: ${what}`);
  }
}
// What the command line says of a case's set-ups, as the page shows it.
export const kShown = { down_weight: 1, up_weight: 1, friction: 1, aftertouch: 2 };
export function numbers(path) {
  const said = JSON.parse(run("compare", path, "--no-uncertainty", "--no-touches", "--no-pictures", "--quiet", "--json", "-"));
  return Object.fromEntries(said.set_ups.map((s) => [s.name, Object.fromEntries(Object.entries(kShown).map(([key, digits]) => [key, read(s, key).toFixed(digits)]))]));
}
function read(setUp, key) {
  return setUp.numbers.find((n) => n.key === key).value;
}

const flags = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];
export async function open(name, settings, file = bench) {
  const context = await chromium.launchPersistentContext(join(scratch, name), {
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", headless: true, args: flags, offline: true, locale: "en-GB", acceptDownloads: true, ...settings,
  });
  context.setDefaultTimeout(120000); // a busy machine is slow, not wrong
  const page = context.pages()[0];
  page.on("pageerror", (error) => expect(false, `${name}: no error in the page: ${error.message}`));
  page.on("request", (request) => {
    if (!/^(file|blob|data):/.test(request.url())) expect(false, `${name}: asks the network for ${request.url()}`);
  });
  const begun = Date.now();
  await page.goto(`file://${file}`);
  return { context, page, begun };
}
export async function save(page, name) {
  const download = page.waitForEvent("download");
  await page.getByRole("button", { name: /Save the case|Fall speichern/ }).click();
  const path = join(scratch, name);
  await (await download).saveAs(path);
  return path;
}
export const shown = async (page, key) => (await page.locator(`tr[data-key="${key}"] td.now`).innerText()).trim().replace("−", "-");
export const settled = (page) => page.waitForFunction(() => document.querySelector("tr[data-key=down_weight] td.now") && !document.querySelector("table.is-moving, table.is-behind"));
export async function says(page, wanted, where) {
  for (const [key, value] of Object.entries(wanted)) {
    await page.waitForFunction(([k, v]) => document.querySelector(`tr[data-key="${k}"] td.now`)?.innerText.trim().replace("−", "-") === v, [key, value], { timeout: 120000 }).catch(() => undefined);
    const there = await shown(page, key);
    expect(there === value, `${where}: ${key} ${there} on the page, ${value} on the command line`);
  }
}
export async function accessible(page, where) {
  await page.evaluate(axe);
  const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
  for (const v of found.violations) expect(false, `${where}: ${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.target.join(" ")).join("; ")}`);
  expect(found.passes.length > 20, `${where}: the checker looked at the page`);
}
export async function fits(page, where) {
  const [wide, window_] = await page.evaluate(() => [document.documentElement.scrollWidth, window.innerWidth]);
  expect(wide <= window_, `${where}: nothing wider than the screen (${wide} of ${window_} px)`);
}
// Millimetres of the drawing along the action, and up.
export async function drag(page, millimetres, touch, grip = "capstan_place", up = 0) {
  const handle = page.locator(`.handle[data-grip="${grip}"] .grip`);
  await handle.scrollIntoViewIfNeeded();
  const box = await handle.boundingBox();
  const scale = await page.evaluate(() => document.querySelector(".action svg").getScreenCTM().a);
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2], steps = 12;
  if (touch) {
    const pad = await page.context().newCDPSession(page);
    const at = (type, share) => pad.send("Input.dispatchTouchEvent", { type, touchPoints: type === "touchEnd" ? [] : [{ x: x + millimetres * scale * share, y: y - up * scale * share }] });
    await at("touchStart", 0);
    for (let k = 1; k <= steps; ++k) await at("touchMove", k / steps);
    await at("touchEnd", 0);
  } else {
    await page.mouse.move(x, y);
    await page.mouse.down();
    for (let k = 1; k <= steps; ++k) await page.mouse.move(x + (millimetres * scale * k) / steps, y - (up * scale * k) / steps);
    await page.mouse.up();
  }
}

