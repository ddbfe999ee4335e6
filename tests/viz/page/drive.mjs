// The page driven in a real browser, opened from disk with the network off:
//   node drive.mjs PAGE.html PROGRAM WEB_FOLDER [--record FILE] [--pictures FOLDER] [--only PART,PART]
// PAGE.html as built, without a case; PROGRAM the command line; WEB_FOLDER holds node_modules. Exit code 1 and a line
// for each thing that is not as it should be. Parts: bench, in this file, at three widths; hands.mjs, everything that can be
// moved; looks.mjs, how it shows itself; german_page.mjs, in German; sheet.mjs, a case from the bench sheet; files.mjs, broken, hostile and several files.
import { existsSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import {
  accessible, bench, caseFile, drag, expect, fits, numbers, open, option, pictures, run, save, says, scratch, settled, tally, times,
} from "./driver.mjs";
import { tryFiles } from "./files.mjs";
import { tryGerman } from "./german_page.mjs";
import { tryHands } from "./hands.mjs";
import { tryLooks } from "./looks.mjs";
import { trySheet } from "./sheet.mjs";

run("page", caseFile, "-o", bench);
const size = readFileSync(bench).length;
expect(size < 3e6, `the page is under 3 MB (${size})`);
const wanted = numbers(caseFile);
const widths = [
  { name: "phone", width: 390, height: 844, touch: true },
  { name: "tablet", width: 820, height: 1180, touch: true },
  { name: "screen", width: 1440, height: 1000, touch: false },
];
const only = option("--only").split(",").filter((part) => part !== "");
const isAsked = (part) => only.length === 0 || only.includes(part);
for (const w of isAsked("bench") ? widths : []) {
  const settings = { viewport: { width: w.width, height: w.height }, hasTouch: w.touch, colorScheme: w.touch ? "dark" : "light" };
  const { context, page, begun } = await open(w.name, settings);
  await page.waitForSelector("tr[data-key=down_weight] td.now", { timeout: 120000 });
  times[`${w.name}: open to first number`] = Date.now() - begun;
  await says(page, wanted["as found"], `${w.name}, opened`);
  await fits(page, w.name);

  await drag(page, -3, w.touch);
  await settled(page);
  const place = await page.locator(".handle[data-grip=capstan_place]").getAttribute("aria-valuenow");
  expect(Math.abs(Number(place) + 3) < 0.11, `${w.name}: dragged 3 mm toward the balance rail (${place})`);
  if (place !== "-3") {
    await page.getByLabel("distance", { exact: false }).first().fill("3");
    await page.keyboard.press("Enter");
  }
  await says(page, wanted["capstan relocated"], `${w.name}, dragged`);
  expect(await page.locator(".set-up[aria-pressed=true] .mark").count() === 1, `${w.name}: marked NOT REVERSIBLE`);
  await page.locator(".handle[data-grip=capstan_place]").focus();
  await page.keyboard.press("ArrowRight");
  expect(Number(await page.locator(".handle[data-grip=capstan_place]").getAttribute("aria-valuenow")) === -2.9, `${w.name}: an arrow key moves a tenth`);
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
  const saved = await save(page, `${w.name}.toml`);
  const text = readFileSync(saved, "utf8");
  expect(text.startsWith(readFileSync(caseFile, "utf8")), `${w.name}: the saved case begins with the case as it was`);
  if (w.name !== "tablet") {
    const own = numbers(saved);
    expect("lead in front" in own, `${w.name}: the command line reads the saved set-up`);
    if (own["lead in front"]) await says(page, own["lead in front"], `${w.name}, saved`);
  }
  await page.reload();
  await page.waitForSelector("tr[data-key=down_weight] td.now", { timeout: 120000 });
  expect(await page.locator(".set-up", { hasText: "lead in front" }).count() === 1, `${w.name}: work is kept over a reload`);

  // A stroke, stepped from event to event.
  await page.locator("button.main", { hasText: "Play" }).click();
  await page.waitForSelector("input.scrub", { timeout: 120000 });
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
      await page.waitForSelector("section p.big", { timeout: 120000 });
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
    const box = await page.locator(".handle[data-grip=capstan_place] .grip").boundingBox();
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
    await page.waitForSelector("input.scrub", { timeout: 120000 });
    times["stroke, asked to shown"] = Date.now() - strokeBegun;
    const bandsBegun = Date.now();
    await page.waitForFunction(() => document.querySelectorAll("progress").length === 0, null, { timeout: 240000 });
    times["bands and advice after that"] = Date.now() - bandsBegun;
    times["memory of the page"] = `${Math.round((await page.evaluate(() => performance.memory?.usedJSHeapSize ?? 0)) / 1e6)} MB`;
  }
  await context.close();
}
for (const [name, part] of [["hands", tryHands], ["looks", tryLooks], ["german", tryGerman], ["sheet", trySheet], ["files", tryFiles]]) {
  if (!isAsked(name)) continue;
  const begun = Date.now();
  await part();
  console.log(`${name}: ${Math.round((Date.now() - begun) / 1000)} s`);
}
if (existsSync(option("--record") ? dirname(option("--record")) : ""))
  writeFileSync(option("--record"), JSON.stringify({ size, ...times }, null, 2) + "\n");
for (const [what, time] of Object.entries(times)) console.log(`${what}: ${time}${typeof time === "number" ? " ms" : ""}`);
rmSync(scratch, { recursive: true, force: true });
console.log(tally.wrong.length === 0 ? `all ${tally.held} hold` : `${tally.wrong.length} of ${tally.held + tally.wrong.length} not so`);
process.exit(tally.wrong.length === 0 ? 0 : 1);
