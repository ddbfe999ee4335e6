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
// Each regulating screw, what it moves, and how many places that is shown with.
const kScrewGrips = {
  screw_2: ["let_off", 2], screw_3: ["drop", 2], screw_1: ["aftertouch", 2], screw_0: ["blow", 1], screw_4: ["dip_at_button", 2],
  screw_5: ["jack_clearance", 2], screw_7: ["let_off_resistance", 0],
};
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
    await page.locator("label.check", { hasText: "All numbers" }).click();
    for (const [grip, [quantity, places]] of Object.entries(kScrewGrips)) {
      const was = Number(await shown(page, quantity));
      const handle = page.locator(`.handle[data-grip="${grip}"]`);
      if (grip === "screw_2") await drag(page, 0, touch, grip, 14);
      else {
        await handle.focus();
        for (let k = 0; k < 3; ++k) await page.keyboard.press("ArrowUp");
      }
      await page.waitForFunction(([q, w]) => Number(document.querySelector(`tr[data-key="${q}"] td.now`).innerText.replace("−", "-")) !== w, [quantity, was], { timeout: 120000 }).catch(() => undefined);
      const now = Number(await shown(page, quantity));
      expect(now !== was, `${name}: ${grip} turned moves ${quantity} (${was}, ${now})`);
      expect(await page.getByRole("button", { name: "Regulate again" }).count() > 0, `${name}: the page says that it is not regulated`);
      await undoAll(page);
      await says(page, { [quantity]: was.toFixed(places) }, `${name}, ${grip} undone`);
    }
    // The back check, which nothing but a stroke tells; turned by its button in the table of screws.
    const checked = async () => {
      await page.locator("button.main", { hasText: "Play" }).click();
      await page.locator("tr[data-measure=check_distance] td.now").waitFor();
      await page.getByRole("button", { name: "Pause" }).click({ timeout: 1000 }).catch(() => undefined);
      const at = Number(await page.locator("tr[data-measure=check_distance] td.now").innerText());
      await page.getByRole("button", { name: "Back to the bench" }).click();
      return at;
    };
    const caught = await checked();
    const check = page.locator('.handle[data-grip="screw_6"]');
    await check.focus();
    for (let k = 0; k < 3; ++k) await page.keyboard.press("ArrowUp");
    await settled(page);
    const after = await checked();
    expect(Math.abs(after - caught) > 0.5, `${name}: the back check turned moves where the hammer is caught (${caught}, ${after} mm)`);
    await page.getByRole("button", { name: "Regulate again" }).first().click();
    await settled(page);
    expect(await page.getByRole("button", { name: "Regulate again" }).count() === 0, `${name}: regulated again`);
    await undoAll(page);

    // What is held while it is regulated, chosen beside the drawing.
    await page.locator("select.policy").selectOption("keep blow and aftertouch");
    await settled(page);
    const held = await save(page, `policy_${touch}.toml`);
    expect(/kind = "set value"\nkey = "regulation.policy"\nvalue = "keep blow and aftertouch"/.test(readFileSync(held, "utf8")), `${name}: the saved case names the policy`);
    if (!touch) await says(page, Object.entries(numbers(held)).pop()[1], `${name}, policy`);
    expect((await shown(page, "aftertouch")) === "1.20" && (await shown(page, "dip")) !== "10.00", `${name}: aftertouch is held, dip follows`);
    await undoAll(page);
    await says(page, { down_weight: before }, `${name}, policy undone`);
    await page.locator("label.check", { hasText: "All numbers" }).click();
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

    await context.close();
  }
}
