// The page driven in a real browser, opened from disk with the network off:
//   node drive.mjs PAGE.html PROGRAM WEB_FOLDER [--record FILE] [--pictures FOLDER]
// PAGE.html as built, without a case; PROGRAM the command line; WEB_FOLDER holds node_modules. Exit code 1 and a line
// for each thing that is not as it should be.
import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, resolve } from "node:path";
import { tmpdir } from "node:os";
import { fileURLToPath } from "node:url";

const root = join(dirname(fileURLToPath(import.meta.url)), "../../..");
const [template, programPath, web, ...options] = process.argv.slice(2);
const program = resolve(programPath);
const option = (name) => (options.includes(name) ? options[options.indexOf(name) + 1] : "");
const packages = createRequire(join(resolve(web), "package.json"));
const { chromium } = packages("playwright-core");
const axe = readFileSync(packages.resolve("axe-core/axe.min.js"), "utf8");
const scratch = mkdtempSync(join(tmpdir(), "page-"));
const caseFile = join(root, "cases/missed_heel/case.toml"), bench = join(scratch, "bench.html");
const run = (...words) => execFileSync(program, words, { cwd: scratch, encoding: "utf8", env: { ...process.env, LEVERWRIGHT_PAGE: resolve(template) }, stdio: ["ignore", "pipe", "ignore"] });

let held = 0;
const wrong = [];
function expect(true_, what) {
  if (true_) ++held;
  else {
    wrong.push(what);
    console.log(`NOT SO: ${what}`);
  }
}

// What the command line says of a case's set-ups, as the page shows it.
const kShown = { down_weight: 1, up_weight: 1, friction: 1, aftertouch: 2 };
function numbers(path) {
  const said = JSON.parse(run("compare", path, "--no-uncertainty", "--no-touches", "--no-pictures", "--quiet", "--json", "-"));
  return Object.fromEntries(said.set_ups.map((s) => [s.name, Object.fromEntries(Object.entries(kShown).map(([key, digits]) => [key, read(s, key).toFixed(digits)]))]));
}
function read(setUp, key) {
  return setUp.numbers.find((n) => n.key === key).value;
}

const flags = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];
async function open(name, settings, file = bench) {
  const context = await chromium.launchPersistentContext(join(scratch, name), {
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", headless: true, args: flags, offline: true, locale: "en-GB", acceptDownloads: true, ...settings,
  });
  const page = context.pages()[0];
  page.on("pageerror", (error) => expect(false, `${name}: no error in the page: ${error.message}`));
  page.on("request", (request) => {
    if (!/^(file|blob|data):/.test(request.url())) expect(false, `${name}: asks the network for ${request.url()}`);
  });
  const begun = Date.now();
  await page.goto(`file://${file}`);
  return { context, page, begun };
}
const shown = async (page, key) => (await page.locator(`tr[data-key="${key}"] td.now`).innerText()).trim().replace("−", "-");
const settled = (page) => page.waitForFunction(() => document.querySelector("tr[data-key=down_weight] td.now") && !document.querySelector("table.is-moving"));
async function says(page, wanted, where) {
  for (const [key, value] of Object.entries(wanted)) {
    await page.waitForFunction(([k, v]) => document.querySelector(`tr[data-key="${k}"] td.now`)?.innerText.trim().replace("−", "-") === v, [key, value], { timeout: 20000 }).catch(() => undefined);
    const there = await shown(page, key);
    expect(there === value, `${where}: ${key} ${there} on the page, ${value} on the command line`);
  }
}
async function accessible(page, where) {
  await page.evaluate(axe);
  const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
  for (const v of found.violations) expect(false, `${where}: ${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.target.join(" ")).join("; ")}`);
  expect(found.passes.length > 20, `${where}: the checker looked at the page`);
}
async function fits(page, where) {
  const [wide, window_] = await page.evaluate(() => [document.documentElement.scrollWidth, window.innerWidth]);
  expect(wide <= window_, `${where}: nothing wider than the screen (${wide} of ${window_} px)`);
}
async function drag(page, millimetres, touch) {
  const handle = page.locator(".handle .grip");
  await handle.scrollIntoViewIfNeeded();
  const box = await handle.boundingBox();
  const scale = await page.evaluate(() => document.querySelector(".action svg").getScreenCTM().a);
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2], steps = 12;
  if (touch) {
    const pad = await page.context().newCDPSession(page);
    const at = (type, dx) => pad.send("Input.dispatchTouchEvent", { type, touchPoints: type === "touchEnd" ? [] : [{ x: x + dx, y }] });
    await at("touchStart", 0);
    for (let k = 1; k <= steps; ++k) await at("touchMove", (millimetres * scale * k) / steps);
    await at("touchEnd", 0);
  } else {
    await page.mouse.move(x, y);
    await page.mouse.down();
    for (let k = 1; k <= steps; ++k) await page.mouse.move(x + (millimetres * scale * k) / steps, y);
    await page.mouse.up();
  }
}

run("page", caseFile, "-o", bench);
const size = readFileSync(bench).length;
expect(size < 3e6, `the page is under 3 MB (${size})`);
const wanted = numbers(caseFile);
const pictures = option("--pictures");
const widths = [
  { name: "phone", width: 390, height: 844, touch: true },
  { name: "tablet", width: 820, height: 1180, touch: true },
  { name: "screen", width: 1440, height: 1000, touch: false },
];
const times = {};
for (const w of widths) {
  const settings = { viewport: { width: w.width, height: w.height }, hasTouch: w.touch, colorScheme: w.touch ? "dark" : "light" };
  const { context, page, begun } = await open(w.name, settings);
  await page.waitForSelector("tr[data-key=down_weight] td.now", { timeout: 60000 });
  times[`${w.name}: open to first number`] = Date.now() - begun;
  await says(page, wanted["as found"], `${w.name}, opened`);
  await fits(page, w.name);

  await drag(page, -3, w.touch);
  await settled(page);
  const place = await page.locator(".handle").getAttribute("aria-valuenow");
  expect(Math.abs(Number(place) + 3) < 0.11, `${w.name}: dragged 3 mm toward the balance rail (${place})`);
  if (place !== "-3") {
    await page.getByLabel("distance", { exact: false }).first().fill("3");
    await page.keyboard.press("Enter");
  }
  await says(page, wanted["capstan relocated"], `${w.name}, dragged`);
  expect(await page.locator(".set-up[aria-pressed=true] .mark").count() === 1, `${w.name}: marked NOT REVERSIBLE`);
  await page.locator(".handle").focus();
  await page.keyboard.press("ArrowRight");
  expect(Number(await page.locator(".handle").getAttribute("aria-valuenow")) === -2.9, `${w.name}: an arrow key moves a tenth`);
  await page.getByRole("button", { name: "Undo" }).click();
  await says(page, wanted["capstan relocated"], `${w.name}, one step back`);
  while (await page.getByRole("button", { name: "Undo" }).isEnabled()) await page.getByRole("button", { name: "Undo" }).click();
  await says(page, wanted["as found"], `${w.name}, all undone`);
  while (await page.getByRole("button", { name: "Redo" }).isEnabled()) await page.getByRole("button", { name: "Redo" }).click();
  await page.getByRole("button", { name: "Undo" }).click();

  // A set-up of one's own, named, saved, read by the command line, still there after a reload.
  await page.getByRole("button", { name: "Add a set-up" }).click();
  await page.locator("#set-up-name").fill("lead in front");
  await page.keyboard.press("Enter");
  await page.locator("#add-change").selectOption("lead");
  await settled(page);
  const download = page.waitForEvent("download");
  await page.getByRole("button", { name: "Save the case" }).click();
  const saved = join(scratch, `${w.name}.toml`);
  await (await download).saveAs(saved);
  const text = readFileSync(saved, "utf8");
  expect(text.startsWith(readFileSync(caseFile, "utf8")), `${w.name}: the saved case begins with the case as it was`);
  if (w.name !== "tablet") {
    const own = numbers(saved);
    expect("lead in front" in own, `${w.name}: the command line reads the saved set-up`);
    if (own["lead in front"]) await says(page, own["lead in front"], `${w.name}, saved`);
  }
  await page.reload();
  await page.waitForSelector("tr[data-key=down_weight] td.now", { timeout: 60000 });
  expect(await page.locator(".set-up", { hasText: "lead in front" }).count() === 1, `${w.name}: work is kept over a reload`);

  // A stroke, stepped from event to event.
  await page.locator("button.main", { hasText: "Play" }).click();
  await page.waitForSelector("input.scrub", { timeout: 20000 });
  await page.getByRole("button", { name: "Next event" }).click();
  expect(/·/.test(await page.locator("section:has(input.scrub) .hint").first().innerText()), `${w.name}: an event of the stroke is named`);
  await page.getByRole("button", { name: "Back to the bench" }).click();

  // A broken case is refused with its line, and the bench stays.
  await page.locator("input[type=file]").setInputFiles({ name: "broken.toml", mimeType: "text/plain", buffer: Buffer.from(readFileSync(caseFile, "utf8").replace("\nspread =", "\nspred =")) });
  await page.waitForSelector("[role=alert] code");
  expect((await page.locator("main > [role=alert]").innerText()).includes('spred = "112.5 mm'), `${w.name}: a broken case is refused by its line`);
  await page.locator("main > [role=alert]").getByRole("button").click();
  expect(await page.locator("tr[data-key=down_weight] td.now").count() === 1, `${w.name}: the bench is still there`);

  for (const face of ["Workshop", "Customer", "Classroom"]) {
    await page.locator(".faces label", { hasText: face }).click();
    await page.waitForTimeout(400);
    if (face === "Classroom") {
      await page.getByRole("button", { name: "Next question" }).click();
      await page.waitForSelector("section p.big", { timeout: 20000 });
    }
    await accessible(page, `${w.name}, ${face}`);
    await fits(page, `${w.name}, ${face}`);
    if (pictures) await page.screenshot({ path: join(pictures, `${w.name}_${face.toLowerCase()}.png`), fullPage: true });
  }

  if (option("--record") && w.name === "screen") {
    // Hand to new numbers: moves of a held capstan, one after the other, until its number has followed.
    await page.locator(".faces label", { hasText: "Workshop" }).click();
    await page.locator(".set-up", { hasText: "as found" }).click();
    await settled(page);
    await page.evaluate(() => {
      window.took = [];
      let at = 0;
      document.addEventListener("pointermove", () => (at = performance.now()), true);
      new MutationObserver(() => {
        if (at > 0) window.took.push(performance.now() - at);
        at = 0;
      }).observe(document.querySelector("tr[data-key=down_weight]").parentElement, { subtree: true, characterData: true, childList: true });
    });
    const box = await page.locator(".handle .grip").boundingBox();
    const scale = await page.evaluate(() => document.querySelector(".action svg").getScreenCTM().a);
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width / 2 - 0.5 * scale, box.y + box.height / 2);
    await page.waitForTimeout(1000);
    await page.evaluate(() => (window.took = []));
    for (let k = 1; k <= 200; ++k) {
      await page.mouse.move(box.x + box.width / 2 - (1 + 2 * Math.abs(((k / 50) % 2) - 1)) * scale * (1 + 0.2 * (k % 2)), box.y + box.height / 2);
      await page.waitForFunction((count) => window.took.length >= count, k, { timeout: 3000, polling: 10 }).catch(() => undefined);
    }
    await page.mouse.up();
    const took = (await page.evaluate(() => window.took)).sort((a, b) => a - b);
    times["hand to new numbers, moves"] = String(took.length);
    times["hand to new numbers, median"] = Math.round(took[Math.floor(took.length / 2)]);
    times["hand to new numbers, worst"] = Math.round(took[took.length - 1]);
    await page.locator("button.main", { hasText: "Play" }).waitFor();
    const strokeBegun = Date.now();
    await page.locator("button.main", { hasText: "Play" }).click();
    await page.waitForSelector("input.scrub", { timeout: 20000 });
    times["stroke, asked to shown"] = Date.now() - strokeBegun;
    const bandsBegun = Date.now();
    await page.waitForFunction(() => document.querySelectorAll("progress").length === 0, null, { timeout: 240000 });
    times["bands and advice after that"] = Date.now() - bandsBegun;
    times["memory of the page"] = `${Math.round((await page.evaluate(() => performance.memory?.usedJSHeapSize ?? 0)) / 1e6)} MB`;
  }
  await context.close();
}
if (existsSync(option("--record") ? dirname(option("--record")) : ""))
  writeFileSync(option("--record"), JSON.stringify({ size, ...times }, null, 2) + "\n");
for (const [what, time] of Object.entries(times)) console.log(`${what}: ${time}${typeof time === "number" ? " ms" : ""}`);
rmSync(scratch, { recursive: true, force: true });
console.log(wrong.length === 0 ? `all ${held} hold` : `${wrong.length} of ${held + wrong.length} not so`);
process.exit(wrong.length === 0 ? 0 : 1);
