// Figures as SVG that stands alone: plain colours and widths in the drawing's own units, so that a program that knows
// neither the page's style nor strokes of a fixed width shows the same.

const kPainted = [
  "fill", "fill-opacity", "stroke", "stroke-opacity", "stroke-linejoin", "stroke-linecap", "font-family", "font-size", "font-weight",
  "text-anchor", "opacity", "paint-order",
];

const known = new Map<string, string>();
// Any colour of a browser as "#rrggbb".
export function plainColour(colour: string): string {
  if (colour === "none" || colour === "") return colour;
  const before = known.get(colour);
  if (before) return before;
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = 1;
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  if (!pen) return colour;
  pen.fillStyle = colour;
  pen.fillRect(0, 0, 1, 1);
  const rgb = [...pen.getImageData(0, 0, 1, 1).data.slice(0, 3)];
  const plain = `#${rgb.map((v) => v.toString(16).padStart(2, "0")).join("")}`;
  known.set(colour, plain);
  return plain;
}

// The colour a custom property stands for.
export function colourOf(name: string): string {
  const probe = document.createElement("span");
  probe.style.color = `var(${name})`;
  document.body.append(probe);
  const found = getComputedStyle(probe).color;
  probe.remove();
  return plainColour(found);
}

export function svgText(svg: SVGSVGElement): string {
  const copy = svg.cloneNode(true) as SVGSVGElement;
  const from = [svg, ...svg.querySelectorAll<SVGElement>("*")];
  const to = [copy, ...copy.querySelectorAll<SVGElement>("*")];
  const pixel = 1 / (svg.getScreenCTM()?.a || 1);
  const scaled = (list: string) => list.replace(/[\d.]+(px)?/g, (n) => String(Math.round(Number.parseFloat(n) * pixel * 1e4) / 1e4));
  from.forEach((element, k) => {
    const style = getComputedStyle(element), target = to[k]!;
    for (const name of kPainted) {
      const value = style.getPropertyValue(name);
      target.setAttribute(name, name === "fill" || name === "stroke" ? plainColour(value) : value);
    }
    const fixed = style.getPropertyValue("vector-effect") === "non-scaling-stroke";
    for (const name of ["stroke-width", "stroke-dasharray"]) {
      const value = style.getPropertyValue(name);
      if (value !== "none") target.setAttribute(name, fixed ? scaled(value) : value);
    }
    target.removeAttribute("vector-effect");
    target.removeAttribute("class");
    target.removeAttribute("style");
  });
  [...svg.querySelectorAll<SVGElement>("*")].forEach((element, k) => {
    if (element.classList.contains("handle")) to[k + 1]!.remove();
  });
  const [x, y, wide, high] = (svg.getAttribute("viewBox") ?? "0 0 1 1").split(" ").map(Number);
  const paper = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  for (const [name, value] of Object.entries({ x, y, width: wide, height: high, fill: colourOf("--role-paper") }))
    paper.setAttribute(name, String(value));
  copy.prepend(paper);
  copy.setAttribute("xmlns", "http://www.w3.org/2000/svg");
  const box = svg.getBoundingClientRect();
  copy.setAttribute("width", String(Math.round(box.width)));
  copy.setAttribute("height", String(Math.round(box.height)));
  return new XMLSerializer().serializeToString(copy);
}

export interface DrawnLine {
  label: string;
  values: (number | null)[];
  colour: string; // a custom property
  dash?: number[];
}

export interface DrawnChart {
  title: string;
  x: number[];
  lines: DrawnLine[];
  xLabel: string;
  yLabel: string;
  number: (value: number) => string;
}

// Ticks at 1, 2 or 5 times a power of ten.
function ticks(low: number, high: number, count: number): number[] {
  const rough = (high - low) / count, power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= rough) ?? rough;
  const out: number[] = [];
  for (let k = Math.ceil(low / step); k * step <= high + 1e-9 * step; ++k) out.push(Number((k * step).toPrecision(10)));
  return out;
}

const kWidth = 640, kHigh = 360, kLeft = 58, kRight = 16, kTop = 30, kBelow = 46, kLegendRow = 18;

// A chart as SVG: the same lines and colours as on the page.
export function chartSvg(c: DrawnChart): string {
  const all = c.lines.flatMap((l) => l.values.filter((v): v is number => v !== null && Number.isFinite(v)));
  const [x0, x1] = [Math.min(...c.x), Math.max(...c.x)];
  const spare = 0.04 * (Math.max(...all) - Math.min(...all) || 1);
  const [y0, y1] = [Math.min(...all) - spare, Math.max(...all) + spare];
  const high = kHigh + kLegendRow * c.lines.length, bottom = kHigh - kBelow;
  const place = (value: number) => String(Math.round(value * 100) / 100);
  const px = (x: number) => place(kLeft + ((x - x0) / (x1 - x0 || 1)) * (kWidth - kLeft - kRight));
  const py = (y: number) => place(bottom - ((y - y0) / (y1 - y0)) * (bottom - kTop));
  const text = (t: string) => t.replaceAll("&", "&amp;").replaceAll("<", "&lt;");
  const ink = colourOf("--ink"), rule = colourOf("--rule");
  const word = (x: number | string, y: number | string, anchor: string, t: string, more = "") =>
    `<text x="${x}" y="${y}" text-anchor="${anchor}" fill="${ink}"${more}>${text(t)}</text>`;
  const out = [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${kWidth}" height="${high}" viewBox="0 0 ${kWidth} ${high}" font-family="sans-serif" font-size="12">`,
    `<rect width="${kWidth}" height="${high}" fill="${colourOf("--card")}"/>`,
    word(kLeft, 18, "start", c.title, ' font-size="14" font-weight="bold"'),
  ];
  for (const x of ticks(x0, x1, 8))
    out.push(`<path d="M${px(x)} ${kTop}V${bottom}" stroke="${rule}"/>`, word(px(x), bottom + 16, "middle", c.number(x)));
  for (const y of ticks(y0, y1, 6))
    out.push(`<path d="M${kLeft} ${py(y)}H${kWidth - kRight}" stroke="${rule}"/>`, word(kLeft - 6, Number(py(y)) + 4, "end", c.number(y)));
  out.push(
    word((kLeft + kWidth - kRight) / 2, bottom + 36, "middle", c.xLabel),
    c.yLabel ? word(14, (kTop + bottom) / 2, "middle", c.yLabel, ` transform="rotate(-90 14 ${(kTop + bottom) / 2})"`) : "",
  );
  c.lines.forEach((l, row) => {
    const pen = `stroke="${colourOf(l.colour)}" stroke-width="1.6" fill="none"${l.dash ? ` stroke-dasharray="${l.dash.join(" ")}"` : ""}`;
    let d = "", down = false;
    l.values.forEach((v, k) => {
      const there = v !== null && Number.isFinite(v);
      if (there) d += `${down ? "L" : "M"}${px(c.x[k]!)} ${py(v)}`;
      down = there;
    });
    const y = kHigh + kLegendRow * row + 4;
    out.push(`<path d="${d}" ${pen} stroke-linejoin="round"/>`, `<path d="M${kLeft} ${y}h28" ${pen}/>`, word(kLeft + 36, y + 4, "start", l.label));
  });
  return out.filter((piece) => piece !== "").join("\n") + "\n</svg>\n";
}

// The same numbers as CSV: one row a point, one column a line.
export function chartCsv(c: DrawnChart): string {
  const cell = (t: string) => (/[",\n]/.test(t) ? `"${t.replaceAll('"', '""')}"` : t);
  const rows = c.x.map((x, k) => [x, ...c.lines.map((l) => l.values[k] ?? null)].map((v) => (v === null ? "" : String(Number(v.toPrecision(7))))));
  return [[c.xLabel, ...c.lines.map((l) => (c.yLabel ? `${l.label} [${c.yLabel}]` : l.label))].map(cell), ...rows].map((r) => r.join(",")).join("\n") + "\n";
}
