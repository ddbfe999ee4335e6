// Broken and hostile case files are refused in the command line's own words, and the bench stays; a case with its own
// part files opens with them, in the page and embedded by the command line.
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { bench, caseFile, expect, numbers, open, refusal, root, run, says, scratch, times } from "./driver.mjs";

const text = readFileSync(caseFile, "utf8");
const kBad = {
  "a misspelt key": text.replace("\nspread =", "\nspred ="),
  "a weight in mm": text.replace('strike_weight = "9.6 gf', 'strike_weight = "9.6 mm'),
  "out of all range": text.replace('"112.5 mm', '"1125 mm'),
  "an unknown part": text.replace('wippen = "wippen_replacement"', 'wippen = "wippen_replacment"'),
  "a part elsewhere": text.replace('wippen = "wippen_replacement"', 'wippen = "not_there.toml"'),
  "no TOML": text.replace('spread = "112.5 mm', 'spread = 112.5 mm'),
  "an unclosed text": text.slice(0, text.indexOf('"112.5 mm') + 4),
  "no set-up": text.slice(0, text.indexOf("[[set_up]]")),
  "an unknown kind": text.replace('kind = "capstan moved"', 'kind = "capstan removed"'),
  "a script for a title": text.replace(/^title = .*$/m, 'title = "<img src=x onerror=window.hit=1>"').replace("\nspread =", "\n\"<script>window.hit=1</script>\" ="),
  "nothing": "",
  "bytes": "\u0000\u0001\uFFFD\uFFFD".repeat(200),
  "deeply nested": `a = ${"[".repeat(5000)}${"]".repeat(5000)}\n`,
  "cannot be regulated": text.replace('string_height = "201 mm', 'string_height = "180 mm'),
};

export async function tryFiles() {
  const { context, page } = await open("files", { viewport: { width: 1000, height: 900 } });
  await page.waitForSelector("tr[data-key=down_weight] td.now", { timeout: 120000 });
  const before = await page.locator("tr[data-key=down_weight] td.now").innerText();
  const plain = (s) => s.replace(/\s+/g, " ");
  for (const [what, bad] of Object.entries(kBad)) {
    const path = join(scratch, "bad.toml");
    writeFileSync(path, bad);
    const said = refusal("compare", path, "--no-uncertainty", "--no-pictures");
    await page.locator("input[type=file]").setInputFiles(path);
    await page.waitForSelector("main > [role=alert] li", { timeout: 120000 }).catch(() => undefined);
    const items = await page.locator("main > [role=alert] li").evaluateAll((all) => all.map((li) => ({ what: li.dataset.what, line: li.dataset.line, code: li.querySelector("code")?.textContent ?? "" })));
    expect(said.refused && items.length > 0, `${what}: refused by both (${items.length} on the page)`);
    const own = plain(said.text);
    for (const item of items.slice(0, 5)) {
      expect(own.includes(plain(item.what).replace(/^the base: /, "").trim().slice(0, 60)), `${what}: the command line says it too: ${item.what}`);
      if (Number(item.line) > 0) expect(new RegExp(`bad\\.toml:${item.line}\\b|line ${item.line}\\b`).test(said.text), `${what}: of line ${item.line} as well`);
    }
    await page.locator("main > [role=alert]").getByRole("button").click();
    expect((await page.locator("tr[data-key=down_weight] td.now").innerText()) === before, `${what}: the bench is still there`);
  }
  expect((await page.evaluate(() => window.hit)) === undefined, "no file's text runs as a script");

  // A wippen of one's own beside the case.
  const part = readFileSync(join(root, "models/parts/wippen_original.toml"), "utf8");
  const own = text.replace('wippen = "wippen_replacement"', 'wippen = "own_wippen.toml"');
  const ownCase = join(scratch, "own.toml"), ownPart = join(scratch, "own_wippen.toml");
  writeFileSync(ownCase, own);
  writeFileSync(ownPart, part);
  const wanted = numbers(ownCase);
  await page.locator("input[type=file]").setInputFiles([ownPart, ownCase]);
  await says(page, wanted["as found"], "a case opened with its own part");
  await context.close();
  const embedded = join(scratch, "own.html");
  run("page", ownCase, "-o", embedded);
  const second = await open("own", { viewport: { width: 1000, height: 900 } }, embedded);
  await second.page.waitForSelector("tr[data-key=down_weight] td.now", { timeout: 120000 });
  await says(second.page, wanted["as found"], "a page made with its own part");
  await second.context.close();

  // A case with readings as found: first numbers at once, those leaned on the readings when they are there.
  const read = join(root, "cases/work_order/case.toml"), leaned = join(scratch, "leaned.html");
  run("page", read, "-o", leaned);
  const third = await open("leaned", { viewport: { width: 1000, height: 900 } }, leaned);
  await third.page.waitForSelector("tr[data-key=down_weight] td.now", { timeout: 120000 });
  times["work_order: open to first number"] = Date.now() - third.begun;
  expect(await third.page.locator("main > [role=status]").count() === 1, "work_order: the page says that its first numbers will move");
  await third.page.locator("main > [role=status]").waitFor({ state: "detached", timeout: 400000 });
  times["work_order: open to numbers leaned on the readings"] = Date.now() - third.begun;
  await says(third.page, Object.values(numbers(read))[0], "work_order, leaned");
  await third.context.close();
}
