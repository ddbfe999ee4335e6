// A case from the bench sheet, in a page that came without one: what is implausible is said at once, an empty line is
// "don't know", and the case made is read by the command line with the same numbers.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { accessible, expect, fits, kShown, numbers, open, pictures, run, save, says, scratch, shown } from "./driver.mjs";

const kAnswers = {
  11: "112.5", 12: "96.5 +- 0.5", 13: "151", 14: "25", 15: "70", 16: "201", 17: "185", 21: "246", 22: "131.9", 51: "18", 54: "130",
  55: "50", 61: "9,6", 62: "26", 63: "18", 64: "14", 65: "150", 71: "4", 72: "2",
};

export async function trySheet() {
  const blank = join(scratch, "blank.html");
  run("page", "-o", blank);
  for (const w of [{ name: "sheet, phone", width: 390, height: 844 }, { name: "sheet, screen", width: 1440, height: 1000 }]) {
    const { context, page } = await open(w.name, { viewport: { width: w.width, height: w.height }, hasTouch: w.width < 500 }, blank);
    await page.waitForSelector("#line-11", { timeout: 120000 });
    await accessible(page, w.name);
    await fits(page, w.name);
    if (pictures) await page.screenshot({ path: join(pictures, `${w.name.replace(", ", "_")}.png`), fullPage: true });
    const put = async (line, text) => {
      await page.locator(`#line-${line}`).fill(text);
      await page.locator(`#line-${line}`).blur();
    };
    const answer = (line) => page.locator(".sheet-line", { has: page.locator(`#line-${line}`) }).getByRole("alert");
    await put(11, "1125");
    await answer(11).waitFor({ timeout: 120000 });
    expect(/Not taken/.test(await answer(11).innerText()), `${w.name}: a spread of 1125 mm is not taken`);
    await put(11, "131");
    await page.waitForTimeout(300);
    await answer(11).waitFor({ timeout: 120000 });
    expect((await answer(11).innerText()).length > 10, `${w.name}: a spread of 131 mm is said to be odd`);
    if (pictures) await page.screenshot({ path: join(pictures, `${w.name.replace(", ", "_")}_odd.png`) });
    await page.locator("#sheet-note").fill("H9");
    await page.locator("#sheet-note").blur();
    await page.waitForSelector("#sheet-note[aria-invalid=true]", { timeout: 120000 });
    expect(true, `${w.name}: H9 is no note`);
    await page.locator("#sheet-note").fill("D4");
    await page.locator("#sheet-note").blur();
    await page.getByLabel("the whole sheet").check();
    for (const [line, text] of Object.entries(kAnswers)) await put(line, text);
    await page.locator("#sheet-title").fill("Sheet of a trial");
    await page.locator("#sheet-title").blur();
    await page.waitForFunction((n) => document.querySelector(".sheet-end [role=status]")?.textContent.startsWith(`${n} `), Object.keys(kAnswers).length, { timeout: 120000 }).catch(() => undefined);
    const given = await page.locator(".sheet-end [role=status]").innerText();
    expect(given.startsWith(`${Object.keys(kAnswers).length} `), `${w.name}: all answers are taken (${given})`);
    await page.reload();
    await page.waitForSelector("#line-11", { timeout: 120000 });
    expect((await page.locator("#line-11").inputValue()) === "112.5", `${w.name}: answers are kept over a reload`);
    await page.getByRole("button", { name: "To the bench" }).click();
    await page.waitForSelector("tr[data-key=down_weight] td.now", { timeout: 120000 });
    const path = await save(page, `${w.name.replace(", ", "_")}.toml`);
    const text = readFileSync(path, "utf8");
    expect(/title = "Sheet of a trial"/.test(text) && /name = "D4"/.test(text) && /spread = "112.5 mm/.test(text), `${w.name}: the case says what was typed`);
    const own = Object.values(numbers(path))[0];
    await says(page, own, w.name);
    expect(Object.keys(kShown).length === Object.keys(own).length && (await shown(page, "down_weight")) !== "–", `${w.name}: the command line reads it`);
    await context.close();
  }
}
