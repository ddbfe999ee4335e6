// How the page shows itself: figures and tables taken along, inches, large type, dark, reduced motion, paper, names for a screen
// reader, steps undone without end, the customer's slider with the cautions, both kinds of questions, bands and what is noticed.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { accessible, bench, expect, fits, open, pictures, says, scratch, settled, shown } from "./driver.mjs";

async function taken(page, section, kind) {
  const download = page.waitForEvent("download");
  await page.locator(`section[aria-labelledby=title-${section}]`).getByRole("button", { name: kind === "svg" ? "Figure as SVG" : "Table as CSV" }).click();
  const path = join(scratch, `${section}.${kind}`), file = await download;
  expect(file.suggestedFilename() === `${section}.${kind}`, `taken along: ${file.suggestedFilename()}`);
  await file.saveAs(path);
  return readFileSync(path, "utf8");
}

export async function tryLooks() {
  const { context, page } = await open("looks", { viewport: { width: 1440, height: 1000 }, reducedMotion: "reduce", colorScheme: "light" });
  await page.waitForSelector("tr[data-key=down_weight] td.now");
  const asFound = await shown(page, "down_weight");

  // Steps without end, by the keyboard, undone by its shortcut.
  const place = page.locator(".handle[data-grip=capstan_place]");
  await place.focus();
  for (let k = 0; k < 60; ++k) await page.keyboard.press(k % 2 ? "ArrowLeft" : "Shift+ArrowRight");
  await settled(page);
  expect(Number(await place.getAttribute("aria-valuenow")) !== 0, `keys moved the capstan (${await place.getAttribute("aria-valuetext")})`);
  for (let k = 0; k < 60; ++k) await page.keyboard.press("Control+z");
  expect(await page.getByRole("button", { name: "Undo" }).isDisabled(), "sixty steps are undone one by one");
  await says(page, { down_weight: asFound }, "sixty steps undone");
  for (let k = 0; k < 60; ++k) await page.keyboard.press("Control+Shift+Z");
  expect(await page.getByRole("button", { name: "Redo" }).isDisabled(), "and done again");
  for (let k = 0; k < 60; ++k) await page.keyboard.press("Control+z");

  // Another set-up as a ghost; its change, band and whether it is noticed.
  await page.locator(".set-up", { hasText: "capstan relocated" }).click();
  await page.waitForFunction(() => document.querySelectorAll(".ghost path").length > 10).catch(() => undefined);
  const ghost = await page.locator(".ghost path").count();
  expect(ghost > 10, `the set-up it is compared with stands behind it as a ghost (${ghost} outlines)`);
  await page.locator(".answer").waitFor({ timeout: 1200000 });
  const row = async (key, cell) => (await page.locator(`tr[data-key=${key}] td.${cell}`).innerText()).replace("−", "-");
  expect(Math.abs(Number(await row("down_weight", "change-of")) - (Number(await shown(page, "down_weight")) - Number(asFound))) < 0.11, "the change is the difference");
  expect(Number(await row("down_weight", "band-of")) > 0, `a band stands beside the change (${await row("down_weight", "band-of")})`);
  expect(/^(yes|no)$/.test(await row("down_weight", "felt-of")), "and whether it is noticed");
  expect((await page.locator(".answer").innerText()).length > 60 && await page.locator(".answer .mark").count() > 0, "the judgement's sentence, marked where there is no way back");
  await page.locator("select", { hasText: "friction only" }).last().selectOption({ label: "friction only" });
  await page.waitForFunction(() => [...document.querySelectorAll("table th")].some((th) => th.textContent === "friction only"));
  expect(true, "any two set-ups are compared");

  // Figures and tables.
  await page.locator("button.main", { hasText: "Play" }).click();
  await page.locator("input.scrub").waitFor();
  const at = await page.locator("input.scrub").inputValue();
  await page.waitForTimeout(250);
  expect((await page.locator("input.scrub").inputValue()) === at && (await page.getByRole("button", { name: "Pause" }).count()) === 0, "with reduced motion a stroke stands until it is stepped");
  for (const section of ["action", "heel", "force_dip", "stroke"]) {
    const svg = await taken(page, section, "svg");
    const said = await page.evaluate((text) => {
      const read = new DOMParser().parseFromString(text, "image/svg+xml");
      return { root: read.documentElement.nodeName, drawn: read.querySelectorAll("path").length, error: read.querySelector("parsererror")?.textContent ?? "" };
    }, svg);
    expect(said.root === "svg" && said.drawn > 4 && said.error === "", `${section}.svg is a drawing (${said.drawn} paths ${said.error})`);
    expect(!/oklch|var\(|non-scaling|data-grip/.test(svg), `${section}.svg says colours and widths plainly, without handles`);
    if (pictures) {
      await page.evaluate((text) => Object.assign(document.body.appendChild(document.createElement("img")), { id: "taken", src: `data:image/svg+xml,${encodeURIComponent(text)}` }).decode(), svg);
      await page.locator("#taken").screenshot({ path: join(pictures, `taken_${section}.png`) });
      await page.locator("#taken").evaluate((e) => e.remove());
    }
  }
  const rows = (await taken(page, "numbers", "csv")).trim().split("\n");
  const there = await shown(page, "down_weight");
  expect(rows.length > 10 && rows.some((r) => r.startsWith("down weight") && r.split(",").includes(there)), `numbers.csv holds the numbers shown (${rows[1]})`);
  const curve = (await taken(page, "force_dip", "csv")).trim().split("\n");
  expect(curve.length > 50 && curve[1].split(",").length === 5 && curve[0].includes('"capstan relocated, down [gf]"') && curve.slice(1).every((r) => Number.isFinite(Number(r.split(",")[0]))), `force_dip.csv: ${curve[0]}`);
  for (const section of ["ledger", "screws", "stroke"]) expect((await taken(page, section, "csv")).split("\n").length > 6, `${section}.csv`);
  await page.getByRole("button", { name: "Back to the bench" }).click();

  // What a screen reader hears: every grip and control has a name, every number its quantity.
  for (const tool of ["Strip", "Heel", "Knuckle", "Leads", "Springs", "Screws", "Capstan"]) {
    await page.locator(".hold label", { hasText: tool }).click();
    const grips = await page.locator("[role=slider]").evaluateAll((all) => all.map((g) => [g.getAttribute("aria-label"), g.getAttribute("aria-valuetext"), g.getAttribute("aria-valuenow")]));
    expect(grips.length > 0 && grips.every((g) => g.every((x) => x && x.length > 0)), `${tool}: every grip says its name and where it stands (${JSON.stringify(grips[0])})`);
  }
  const nameless = await page.locator("button, input:not([hidden]), select, [role=img], [role=group], section, figure").evaluateAll((all) =>
    all.filter((e) => !(e.getAttribute("aria-label") || e.getAttribute("aria-labelledby") || e.textContent.trim() || e.labels?.length)).map((e) => e.outerHTML.slice(0, 90)));
  expect(nameless.length === 0, `everything that can be used has a name (${nameless.join(" | ")})`);

  // Inches, large type, dark.
  await page.getByRole("button", { name: "Settings" }).click();
  await page.getByRole("radio", { name: "inches" }).check();
  await page.getByRole("radio", { name: "large" }).check();
  await page.getByRole("radio", { name: "dark", exact: true }).check();
  await page.getByRole("button", { name: "Close" }).click();
  expect(/^0\.39/.test(await shown(page, "dip")) && (await page.locator("tr[data-key=dip] .unit").innerText()) === "in", `a dip of 10 mm in inches (${await shown(page, "dip")})`);
  expect((await place.getAttribute("aria-valuetext")).includes(" in "), `the capstan's place in inches (${await place.getAttribute("aria-valuetext")})`);
  const sentences = (await page.locator(".answer, .change .hint").allInnerTexts()).join(" ");
  expect(/\d in\b/.test(sentences) && !/\d mm\b/.test(sentences), `sentences in inches too (${sentences.slice(0, 160)})`);
  const look = await page.evaluate(() => ({ paper: getComputedStyle(document.body).backgroundColor, type: Number.parseFloat(getComputedStyle(document.documentElement).fontSize) }));
  expect(Number(/rgb\((\d+)/.exec(look.paper)?.[1]) < 60 && look.type > 18, `dark, in large type (${look.paper}, ${look.type} px)`);
  for (const face of ["Workshop", "Customer", "Classroom"]) {
    await page.locator(".faces label", { hasText: face }).click();
    await accessible(page, `dark, large, ${face}`);
    await fits(page, `dark, large, ${face}`);
    const cut = await page.locator("table button").evaluateAll((all) => all.filter((b) => b.getBoundingClientRect().right > b.closest(".scroll").getBoundingClientRect().right + 1).length);
    expect(cut === 0, `dark, large, ${face}: no button is cut off (${cut})`);
    if (pictures) await page.screenshot({ path: join(pictures, `dark_large_${face.toLowerCase()}.png`), fullPage: true });
  }

  // Questions of both kinds, with their answers.
  const texts = new Set();
  for (let k = 0; k < 2; ++k) {
    const before = await page.locator("section p.big").allInnerTexts();
    await page.getByRole("button", { name: "Next question" }).click();
    await page.waitForFunction((was) => (document.querySelector("section p.big")?.textContent ?? "") !== was, before[0] ?? "");
    texts.add(await page.locator("section p.big").innerText());
    const choices = page.locator("section[aria-labelledby=title-questions] .tools button");
    expect(await choices.count() === 3, "three answers to choose from");
    await choices.first().click();
    expect(/^(Right|Not so)\. /.test(await page.locator("section[aria-labelledby=title-questions] [role=status]").innerText()), "and told which is right");
  }
  expect(texts.size === 2, `two kinds of questions (${[...texts].join(" ")})`);

  // The customer's one slider, the answer and the cautions.
  await page.locator(".faces label", { hasText: "Customer" }).click();
  const slider = page.locator(".slider input");
  const before = await page.locator("section[aria-labelledby=title-customer] p.big").first().innerText();
  await slider.focus();
  for (let k = 0; k < 5; ++k) await page.keyboard.press("ArrowRight");
  await page.waitForFunction((was) => document.querySelector("section[aria-labelledby=title-customer] p.big").innerText !== was, before);
  expect(true, "the customer's slider moves the weight");
  expect(/no substitute for a trial note/.test(await page.locator(".cautions").innerText()), "the customer sees the cautions");
  await page.locator(".faces label", { hasText: "Workshop" }).click();

  // Paper.
  await page.emulateMedia({ media: "print" });
  const onPaper = await page.evaluate(() => ({
    paper: getComputedStyle(document.body).backgroundColor,
    shown: [...document.querySelectorAll("main button")].filter((b) => b.offsetParent !== null && !b.classList.contains("set-up")).length,
    grips: [...document.querySelectorAll(".handle")].filter((g) => getComputedStyle(g).display !== "none").length,
  }));
  expect(onPaper.shown === 0 && onPaper.grips === 0 && /255, 255, 255/.test(onPaper.paper), `a clean sheet of paper (${JSON.stringify(onPaper)})`);
  const sheet = await page.pdf({ format: "A4", printBackground: true, path: pictures ? join(pictures, "paper.pdf") : undefined });
  expect(sheet.length > 20000, `printed, ${Math.round(sheet.length / 1000)} kB`);
  await context.close();
}
