// In German no English stands on any face, in the judgement, in a question or in a refusal, but for names in the case.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { caseFile, expect, open, pictures } from "./driver.mjs";

export async function tryGerman() {
  const { context, page } = await open("german", { viewport: { width: 1440, height: 1000 } });
  await page.waitForSelector("tr[data-key=down_weight] td.now");
  await page.locator(".set-up", { hasText: "capstan relocated" }).click();
  await page.getByRole("button", { name: "Settings" }).click();
  await page.getByLabel("Deutsch").check();
  await page.getByRole("button", { name: "Schließen" }).click();
  await page.waitForSelector(".answer", { timeout: 1200000 });
  await page.locator("button.main", { hasText: "Spielen" }).click();
  await page.locator("tr[data-measure=check_distance] td.now").waitFor();
  await page.getByRole("button", { name: "Zurück zur Werkbank" }).click();
  await page.locator(".cautions summary").first().click();
  const names = (await page.locator(".set-up-name").allInnerTexts()).concat(["as found", "Missed heel"]);
  const kEnglish = /\b(the|of|and|with|is|to|not|than|from|below|above|no|it|for|by|at|this|be|are|as|or|on|shows|lighter|heavier|weight|screw|down|up)\b/i;
  const look = async (where) => {
    const titles = await page.locator("main [title]").evaluateAll((all) => all.map((e) => e.getAttribute("title")));
    const spoken = await page.locator("main [aria-label], main [aria-valuetext]").evaluateAll((all) => all.flatMap((e) => [e.getAttribute("aria-label"), e.getAttribute("aria-valuetext")]).filter((x) => x));
    const title = await page.locator("h1").innerText();
    const all = [await page.locator("main").innerText(), await page.locator("nav").innerText(), ...titles, ...spoken].join("\n").replaceAll(title, "");
    const lines = all.split(/\n|(?<=[.;]) /).map((line) => names.reduce((l, n) => l.replaceAll(n, ""), line).replace(/"[^"]*"/g, "").replace(/\bmy trial\b/g, ""));
    const left = lines.filter((line) => kEnglish.test(line));
    expect(lines.length > 10 && left.length === 0, `German, ${where}: no English is left (${left.slice(0, 5).join(" | ")})`);
    if (pictures) await page.screenshot({ path: join(pictures, `german_${where.replace(" ", "_")}.png`), fullPage: true });
  };
  await look("workshop");
  await page.locator("label.check", { hasText: "Alle Zahlen" }).click();
  await look("all numbers");
  for (const tool of ["Streifen", "Sattel", "Rolle", "Blei", "Federn", "Schrauben"]) {
    await page.locator(".hold label", { hasText: tool }).click();
    await look(tool);
  }
  await page.locator(".faces label", { hasText: "Kunde" }).click();
  await look("customer");
  await page.locator(".faces label", { hasText: "Unterricht" }).click();
  for (const question of ["first question", "second question"]) {
    await page.getByRole("button", { name: "Nächste Frage" }).click();
    await page.waitForSelector("section p.big");
    await look(question);
  }
  await page.locator(".faces label", { hasText: "Werkstatt" }).click();
  await page.locator("input[type=file]").setInputFiles({ name: "broken.toml", mimeType: "text/plain", buffer: Buffer.from(readFileSync(caseFile, "utf8").replace("\nspread =", "\nspred =").replace('"9.6 gf', '"9.6 mm')) });
  await page.waitForSelector("main > [role=alert] code");
  await page.locator("main > [role=alert] code").evaluateAll((all) => all.forEach((e) => e.remove())); // lines of the file
  await look("refusal");
  await context.close();
}
