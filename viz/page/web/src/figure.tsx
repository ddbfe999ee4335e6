// A titled part of the page; a drawing or a table in it can be taken along as SVG or CSV.
import { useRef, useState } from "preact/hooks";
import type { ComponentChildren, JSX } from "preact";
import { t } from "./texts";

export function download(name: string, text: string, type: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type }));
  link.download = name;
  link.click();
  window.setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

const kPainted = [
  "fill", "fill-opacity", "stroke", "stroke-opacity", "stroke-width", "stroke-dasharray", "stroke-linejoin",
  "stroke-linecap", "vector-effect", "font-family", "font-size", "font-weight", "text-anchor", "opacity",
];

// The drawing with its colours written out, so that it stands alone.
export function svgText(svg: SVGSVGElement): string {
  const copy = svg.cloneNode(true) as SVGSVGElement;
  const from = [svg, ...svg.querySelectorAll<SVGElement>("*")];
  const to = [copy, ...copy.querySelectorAll<SVGElement>("*")];
  from.forEach((element, k) => {
    const style = getComputedStyle(element);
    for (const name of kPainted) to[k]!.setAttribute(name, style.getPropertyValue(name));
  });
  copy.querySelectorAll(".handle").forEach((handle) => handle.remove());
  copy.setAttribute("xmlns", "http://www.w3.org/2000/svg");
  const box = svg.getBoundingClientRect();
  copy.setAttribute("width", String(Math.round(box.width)));
  copy.setAttribute("height", String(Math.round(box.height)));
  return new XMLSerializer().serializeToString(copy);
}

function csvText(table: HTMLTableElement): string {
  const cell = (text: string) => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  return [...table.rows]
    .map((row) => [...row.cells].map((c) => cell(c.innerText.trim().replaceAll("−", "-"))).join(","))
    .join("\n") + "\n";
}

interface FigureProps {
  title: string;
  name: string;
  children: ComponentChildren;
  class?: string;
}

export function Figure(props: FigureProps): JSX.Element {
  const place = useRef<HTMLElement>(null);
  const [said, setSaid] = useState("");
  const take = async () => {
    const svg = place.current?.querySelector("svg");
    const table = place.current?.querySelector("table");
    const text = svg ? svgText(svg) : table ? csvText(table) : "";
    download(`${props.name}.${svg ? "svg" : "csv"}`, text, svg ? "image/svg+xml" : "text/csv");
    try {
      await navigator.clipboard.writeText(text);
    } catch {
      // the file is there all the same
    }
    setSaid(t("copied"));
    window.setTimeout(() => setSaid(""), 2500);
  };
  const id = `title-${props.name}`;
  const drawn = ["action", "heel"].includes(props.name);
  const tabled = ["numbers", "ledger", "screws"].includes(props.name);
  return (
    <section class={`card ${props.class ?? ""}`} ref={place} aria-labelledby={id}>
      <header class="card-head">
        <h2 id={id}>{props.title}</h2>
        {(drawn || tabled) && (
          <button type="button" class="quiet no-print" onClick={() => void take()}>
            {said || t(drawn ? "copy_svg" : "copy_csv")}
          </button>
        )}
      </header>
      {props.children}
    </section>
  );
}
