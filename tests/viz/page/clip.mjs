// The clip of README: the demo's capstan dragged 3 mm to and fro in the page, numbers following, as an animated picture.
//   node tests/viz/page/clip.mjs build-page/page.html PROGRAM build-page/web --clip viz/page/bench.webp
// Needs ImageMagick's convert.
import { execFileSync } from "node:child_process";
import { mkdirSync, rmSync, statSync } from "node:fs";
import { join } from "node:path";
import { bench, caseFile, open, option, run, scratch, settled } from "./driver.mjs";

const frames = join(scratch, "frames"), out = option("--clip");
mkdirSync(frames);
run("page", caseFile, "-o", bench);
const { context, page } = await open("clip", { viewport: { width: 1120, height: 540 }, colorScheme: "light" });
await page.waitForSelector("tr[data-key=down_weight] td.now", { timeout: 120000 });
await page.locator("label.check", { hasText: "nearer" }).click();
await page.addStyleTag({
  content: ".head, .below, .tools, .hint, .card-head button, [aria-labelledby=title-set_ups], [aria-labelledby=title-changes], " +
    "[aria-labelledby=title-advice], .cautions, .warnings, p.row { display: none !important } main { padding-top: 0.6rem } " +
    ".handle:not([data-grip=capstan_place]) { display: none } .action svg { max-height: 450px } tr:nth-child(n+11) { display: none }",
});
await settled(page);
const grip = await page.locator(".handle[data-grip=capstan_place] .grip").boundingBox();
const scale = await page.evaluate(() => document.querySelector(".action svg").getScreenCTM().a);
const [x, y] = [grip.x + grip.width / 2, grip.y + grip.height / 2];
const moves = [];
for (let k = 0; k <= 15; ++k) moves.push(-0.2 * k);
for (let k = 14; k >= 0; --k) moves.push(-0.2 * k);
await page.mouse.move(x, y);
await page.mouse.down();
await page.mouse.move(x - 0.2 * scale, y);
await page.waitForTimeout(2500);
let count = 0;
for (const at of moves) {
  await page.mouse.move(x + at * scale, y);
  await page.waitForTimeout(120);
  await page.waitForFunction(() => !document.querySelector("table.is-behind"), null, { timeout: 120000 });
  await page.screenshot({ path: join(frames, `${String(count++).padStart(3, "0")}.png`) });
}
await page.mouse.up();
await context.close();
const list = [...Array(count).keys()].map((k) => join(frames, `${String(k).padStart(3, "0")}.png`));
const delays = list.flatMap((file, k) => ["(", "-delay", k === 15 || k === count - 1 ? "90" : "9", file, ")"]);
execFileSync("convert", [...delays, "-loop", "0", "-quality", "55", "-define", "webp:method=6", out]);
console.log(`${out}: ${count} frames, ${Math.round(statSync(out).size / 1000)} kB`);
rmSync(scratch, { recursive: true, force: true });
