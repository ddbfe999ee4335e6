// A titled part of the page; a drawing or a table in it can be taken along as SVG or CSV.
import { useRef, useState } from "preact/hooks";
import type { ComponentChildren, JSX } from "preact";
import { chartCsv, chartSvg, svgText, type DrawnChart } from "./svg";
import { t } from "./texts";

export function download(name: string, text: string, type: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type }));
  link.download = name;
  link.click();
  window.setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
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
  chart?: () => DrawnChart | null; // what is drawn by the chart library, for who takes it along
}

const kDrawn = ["action", "heel"], kTabled = ["numbers", "ledger", "screws"];

export function Figure(props: FigureProps): JSX.Element {
  const place = useRef<HTMLElement>(null);
  const [said, setSaid] = useState("");
  const take = async (kind: "svg" | "csv") => {
    const svg = place.current?.querySelector("svg"), table = place.current?.querySelector("table");
    const chart = props.chart?.();
    const text =
      kind === "svg" ? (chart ? chartSvg(chart) : svg ? svgText(svg) : "") : chart ? chartCsv(chart) : table ? csvText(table) : "";
    download(`${props.name}.${kind}`, text, kind === "svg" ? "image/svg+xml" : "text/csv");
    try {
      await navigator.clipboard.writeText(text);
    } catch {
      // the file is there all the same
    }
    setSaid(kind);
    window.setTimeout(() => setSaid(""), 2500);
  };
  const id = `title-${props.name}`;
  const kinds = [
    ...(props.chart || kDrawn.includes(props.name) ? (["svg"] as const) : []),
    ...(props.chart || kTabled.includes(props.name) ? (["csv"] as const) : []),
  ];
  return (
    <section class={`card ${props.class ?? ""}`} ref={place} aria-labelledby={id}>
      <header class="card-head">
        <h2 id={id}>{props.title}</h2>
        <span class="no-print">
          {kinds.map((kind) => (
            <button key={kind} type="button" class="quiet" onClick={() => void take(kind)}>
              {said === kind ? t("copied") : t(kind === "svg" ? "copy_svg" : "copy_csv")}
            </button>
          ))}
        </span>
      </header>
      {props.children}
    </section>
  );
}
