// Everything that can be moved in reality, moved on the drawing: the set-up it makes, saved, gives the command line's
// numbers; screws by hand move let-off, drop and aftertouch; every move can be undone.
import { readFileSync } from "node:fs";
import { bench, drag, expect, numbers, open, save, says, settled, shown, pictures } from "./driver.mjs";
import { join } from "node:path";

// Tool, grip, millimetres of the drawing along and up, what the saved case then says of it.
const kMoves = [
  ["capstan", "capstan_place", 2, 0, /kind = "capstan moved"\ndistance = "2 mm"\ndirection = "toward the strings"/],
  ["capstan", "capstan_lean", 2, 0, /kind = "capstan lean"\nangle = "-\d/],
  ["strip", "strip_thickness", 0, -3, /kind = "heel build-up"\nheight = "0\.7\d* mm"\nlength = "5 mm"/],
  ["strip", "strip_place", -2, 0, /centre = "6\d(\.\d)? mm"/],
  ["strip", "strip_length", 1, 0, /length = "7 mm"/],
  ["heel", "heel_shift", 2, 0, /kind = "heel re-glued"\nshift = "2 mm"\n(shim = "0 mm"\n)?direction = "toward the strings"/],
  ["heel", "heel_shim", 0, -2, /shim = "0\.5 mm"/],
  ["knuckle", "knuckle_place", 2, 0, /kind = "knuckle"\nhanging_distance = "19 mm"/],
  ["knuckle", "knuckle_diameter", 0, -2, /diameter = "10\.5 mm"/],
  ["leads", "lead_0", 20, 0, /kind = "lead"\nmass = "14 g"\ndistance = "150 mm"\naction = "move"\nto = "130 mm"/],
  ["springs", "assist_spring", 0, -8, /kind = "assist spring"\nstrength = "4 gf"/],
];
const kScrewGrips = { screw_2: "let_off", screw_3: "drop", screw_1: "aftertouch", screw_0: "blow" };
const words = { capstan: "Capstan", strip: "Strip", heel: "Heel", knuckle: "Knuckle", leads: "Leads", springs: "Springs", screws: "Screws" };

async function choose(page, tool) {
  const list = page.locator("select.hold");
  if (await list.count()) await list.selectOption(tool);
  else await page.locator(".hold label", { hasText: words[tool] }).click();
}
const undoAll = async (page) => {
  const undo = page.getByRole("button", { name: "Undo" });
  while (await undo.isEnabled()) await undo.click();
  await settled(page);
};

export async function tryHands() {
  for (const touch of [false, true]) {
    const name = touch ? "hands, finger" : "hands, mouse";
    const size = touch ? { width: 820, height: 1180 } : { width: 1440, height: 1000 };
    const { context, page } = await open(touch ? "finger" : "mouse", { viewport: size, hasTouch: touch });
    await page.waitForSelector("tr[data-key=down_weight] td.now", { timeout: 120000 });
    await page.locator("label.check", { hasText: "nearer" }).click();
    const before = await shown(page, "down_weight");
    let last = "";
    for (const [tool, grip, along, up, wanted] of kMoves) {
      if (tool !== last) await undoAll(page);
      if (["leads", "springs"].includes(tool) !== ["leads", "springs"].includes(last)) await page.locator("label.check", { hasText: "nearer" }).click();
      last = tool;
      await choose(page, tool);
      const box = await page.locator(`.handle[data-grip="${grip}"] .grip`).boundingBox();
      expect(box.width >= 40 && box.height >= 40, `${name}: ${grip} is large enough (${Math.round(box.width)} px)`);
      await drag(page, along, touch, grip, up);
      await settled(page);
      const path = await save(page, `${grip}_${touch}.toml`);
      const text = readFileSync(path, "utf8").split("my trial").pop();
      expect(wanted.test(text), `${name}: ${grip} makes ${wanted} (${text.slice(0, 300)})`);
      if (pictures && !touch) await page.screenshot({ path: join(pictures, `hand_${grip}.png`) });
      if (!touch && ["capstan_lean", "strip_length", "heel_shim", "knuckle_diameter", "lead_0", "assist_spring"].includes(grip)) {
        const own = Object.entries(numbers(path)).pop();
        await says(page, own[1], `${name}, ${grip}`);
      }
    }
    await undoAll(page);
    await says(page, { down_weight: before }, `${name}, all undone`);

    // A lead put in, its place by the keyboard.
    await choose(page, "leads");
    await page.getByRole("button", { name: "Put in a lead" }).click();
    const added = page.locator('.handle[data-grip="added_0_place"]');
    await added.focus();
    await page.keyboard.press("ArrowRight");
    expect((await added.getAttribute("aria-valuenow")) === "121", `${name}: an arrow key moves a lead`);
    await undoAll(page);

    // By hand: a button turned, and back.
    await choose(page, "screws");
    await page.locator("label.check", { hasText: "nearer" }).click();
    for (const [grip, quantity] of Object.entries(kScrewGrips)) {
      const was = Number(await shown(page, quantity));
      const handle = page.locator(`.handle[data-grip="${grip}"]`);
      await handle.focus();
      for (let k = 0; k < 3; ++k) await page.keyboard.press("ArrowUp");
      await page.waitForFunction(([q, w]) => Number(document.querySelector(`tr[data-key="${q}"] td.now`).innerText.replace("−", "-")) !== w, [quantity, was], { timeout: 120000 }).catch(() => undefined);
      const now = Number(await shown(page, quantity));
      expect(now !== was, `${name}: ${grip} turned moves ${quantity} (${was}, ${now})`);
      expect(await page.getByRole("button", { name: "Regulate again" }).count() > 0, `${name}: the page says that it is not regulated`);
      await undoAll(page);
      await says(page, { [quantity]: was.toFixed(quantity === "blow" ? 1 : 2) }, `${name}, ${grip} undone`);
    }
    if (pictures) await page.screenshot({ path: join(pictures, `hand_screws_${touch ? "tablet" : "screen"}.png`) });

    // Two set-ups side by side, strokes repeated, the cursor shared.
    await page.locator(".set-up", { hasText: "capstan relocated" }).click();
    await page.locator("label.check", { hasText: "side by side" }).click();
    expect(await page.locator(".apart svg").count() === 2, `${name}: two set-ups stand side by side`);
    await page.locator("section[aria-labelledby=title-stroke] select").first().selectOption("repeated full");
    await page.getByLabel("Rate").fill("6");
    await page.keyboard.press("Enter");
    await page.locator("button.main", { hasText: "Play" }).click();
    await page.waitForSelector("input.scrub", { timeout: 120000 });
    await page.getByRole("button", { name: "Pause" }).click().catch(() => undefined);
    const said = await page.locator("section:has(input.scrub)").innerText();
    expect((said.match(/\d\.\d\d/g) ?? []).length >= 6, `${name}: repeated strokes and their hammer speeds (${said.slice(0, 200)})`);
    await page.locator("input.scrub").fill("0.05");
    if (pictures) await page.screenshot({ path: join(pictures, `repeated_${touch ? "tablet" : "screen"}.png`), fullPage: true });
    await page.getByRole("button", { name: "Back to the bench" }).click();
    const over = page.locator("section[aria-labelledby=title-force_dip] .u-over");
    const chart = await over.boundingBox();
    await over.scrollIntoViewIfNeeded();
    await over.click({ position: { x: chart.width / 2, y: chart.height / 2 } });
    await page.waitForFunction(() => [...document.querySelectorAll("select")].some((s) => s.value === "dip"), null, { timeout: 5000 }).catch(() => undefined);
    expect(await page.locator("select", { hasText: "dip" }).first().inputValue() === "dip", `${name}: a click on the force curve shows the action at that dip`);

    if (!touch) await inGerman(page);
    await context.close();
  }
}

// In German no English stands in what the page and the core say, but for names in the case; of the judgement's
// sentences, which change with it, three in four at least have their German.
async function inGerman(page) {
  await page.getByRole("button", { name: "Settings" }).click();
  await page.getByLabel("Deutsch").check();
  await page.getByRole("button", { name: "Schließen" }).click();
  await page.waitForSelector(".answer", { timeout: 1200000 });
  if (pictures) await page.screenshot({ path: join(pictures, "screen_german.png"), fullPage: true });
  const answer = await page.locator(".answer, .warnings").allInnerTexts();
  const said = answer.reduce((all, piece) => all.replace(piece, ""), await page.locator("main").innerText());
  const names = await page.locator(".set-up-name").allInnerTexts();
  const english = (text) => text.split(/\n|(?<=[.;]) /).filter((line) => line.trim() !== "").map((line) => names.concat(["as found"]).reduce((l, n) => l.replaceAll(n, ""), line).replace(/"[^"]*"/g, ""))
    .filter((line) => /\b(the|of|and|with|is|to|not|than|from|below|above|no)\b/i.test(line));
  const left = english(said), sentences = answer.join("\n").split(/\n|(?<=[.;]) /).filter((line) => line.trim() !== "").length;
  expect(english(answer.join("\n")).length <= sentences / 4, `German: of ${sentences} pieces of the judgement ${english(answer.join("\n")).length} are English`);
  expect(left.length === 0, `German: no English is left (${left.slice(0, 5).join(" | ")})`);
}
