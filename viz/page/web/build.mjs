// Puts the page together: node build.mjs CORE_FOLDER DEMO.toml OUT.html
// CORE_FOLDER holds core.js and core.wasm as the preset "page" builds them; OUT.html holds everything and no case.
import { build } from "esbuild";
import { readFileSync, writeFileSync } from "node:fs";
import { gzipSync } from "node:zlib";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const [core, demo, out] = process.argv.slice(2);
if (!out) {
  console.error("usage: node build.mjs CORE_FOLDER DEMO.toml OUT.html");
  process.exit(2);
}

async function bundle(file, format) {
  const made = await build({
    absWorkingDir: here,
    entryPoints: [join(here, "src", file)],
    bundle: true,
    minify: true,
    write: false,
    format,
    target: "es2022",
    jsx: "automatic",
    jsxImportSource: "preact",
    legalComments: "none",
    outdir: here,
  });
  return Object.fromEntries(made.outputFiles.map((f) => [f.path.split(".").pop(), f.text]));
}

const page = await bundle("main.tsx", "iife");
const worker = await bundle("worker.ts", "iife");
const inScript = (text) => text.replaceAll("</script", "<\\/script").replaceAll("<!--", "<\\!--");
const licences = ["preact", "@preact/signals", "@preact/signals-core", "uplot"].map((name) => {
  const folder = join(here, "node_modules", name);
  const said = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
  return `${name} ${said.version} (${said.license})\n${readFileSync(join(folder, "LICENSE"), "utf8")}`;
});
const loader = readFileSync(join(core, "core.js"), "utf8");
const wasm = gzipSync(readFileSync(join(core, "core.wasm")), { level: 9 }).toString("base64");
const parts = {
  DEMO: JSON.stringify({ name: "case.toml", text: readFileSync(demo, "utf8") }).replaceAll("<", "\\u003c"),
  STYLE: page.css ?? "",
  LICENCES: licences.join("\n\n").replaceAll("<", "&lt;"),
  CORE_SCRIPT: inScript(loader + "\n" + worker.js),
  CORE_WASM: wasm,
  PAGE_SCRIPT: inScript(page.js),
};
const text = readFileSync(join(here, "page.html"), "utf8").replace(/@([A-Z_]+)@/g, (whole, name) => parts[name] ?? whole);
writeFileSync(out, text);
console.log(`${out}: ${(text.length / 1e6).toFixed(2)} MB`);
