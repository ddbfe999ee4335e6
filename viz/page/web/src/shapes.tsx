// The scene's plain shapes as SVG: the same list as every picture of the program. Widths, words and marks are in
// millimetres on paper; `unit` says how many millimetres of the action one of them is at the present size.
import type { JSX } from "preact";
import type { Catalogue, Pen, PlacedWord, Shape, View } from "./messages";
import { trade } from "./texts";

type Paint = Record<string, string | number | undefined>;

export const kPixelsPerPaper = 4; // a millimetre on paper, on the screen

function n(x: number): string {
  return String(Math.round(x * 1000) / 1000);
}

export function line(points: number[], closed = false): string {
  let d = "";
  for (let k = 0; k + 1 < points.length; k += 2) d += `${k === 0 ? "M" : "L"}${n(points[k]!)} ${n(-points[k + 1]!)}`;
  return closed ? `${d}Z` : d;
}

function stroked(pen: Pen | undefined): Paint {
  if (!pen) return { stroke: "none" };
  const width = pen.width * kPixelsPerPaper;
  return {
    stroke: `var(--role-${pen.role})`,
    "stroke-width": width,
    "vector-effect": "non-scaling-stroke",
    "stroke-dasharray": pen.dashes ? pen.dashes.map((d) => n(d * width)).join(" ") : undefined,
    "stroke-linejoin": "round",
    "stroke-linecap": "round",
  };
}

function filled(role: string | undefined, opacity: number | undefined): Paint {
  return role ? { fill: `var(--role-${role})`, "fill-opacity": opacity ?? 1 } : { fill: "none" };
}

function MarkShape({ s, unit }: { s: Extract<Shape, { shape: "mark" }>; unit: number }): JSX.Element {
  const [x, y] = [s.at[0], -s.at[1]];
  const r = (s.size / 2) * unit;
  const colour = `var(--role-${s.role})`;
  const thin = { stroke: colour, "stroke-width": 1.2, "vector-effect": "non-scaling-stroke" } as const;
  switch (s.kind) {
    case "ring":
      return <circle cx={x} cy={y} r={r} fill="none" {...thin} />;
    case "cross":
      return <path d={`M${n(x - r)} ${n(y)}H${n(x + r)}M${n(x)} ${n(y - r)}V${n(y + r)}`} {...thin} />;
    case "diamond":
      return <path d={`M${n(x - r)} ${n(y)}L${n(x)} ${n(y - r)}L${n(x + r)} ${n(y)}L${n(x)} ${n(y + r)}Z`} fill={colour} />;
    case "pivot":
      return (
        <g>
          <circle cx={x} cy={y} r={r} fill="var(--role-paper)" {...thin} />
          <circle cx={x} cy={y} r={r * 0.35} fill={colour} />
        </g>
      );
    default:
      return <circle cx={x} cy={y} r={r} fill={colour} />;
  }
}

function OneShape({ s, unit }: { s: Shape; unit: number }): JSX.Element | null {
  switch (s.shape) {
    case "path":
      return <path d={line(s.points, s.closed)} {...filled(s.fill, s.opacity)} {...stroked(s.pen)} />;
    case "circle":
      return <circle cx={s.at[0]} cy={-s.at[1]} r={s.radius} {...filled(s.fill, s.opacity)} {...stroked(s.pen)} />;
    case "arc": {
      const at = (angle: number) => `${n(s.at[0] + s.radius * Math.cos(angle))} ${n(-s.at[1] - s.radius * Math.sin(angle))}`;
      const wide = Math.abs(s.to - s.from) > Math.PI ? 1 : 0;
      return <path d={`M${at(s.from)}A${n(s.radius)} ${n(s.radius)} 0 ${wide} 0 ${at(s.to)}`} fill="none" {...stroked(s.pen)} />;
    }
    case "mark":
      return <MarkShape s={s} unit={unit} />;
    case "arrow": {
      const [x0, y0, x1, y1] = [s.tail[0], -s.tail[1], s.tip[0], -s.tip[1]];
      const length = Math.hypot(x1 - x0, y1 - y0);
      if (!(length > 0)) return null;
      const head = Math.min(s.head * unit, length);
      const [ux, uy] = [(x1 - x0) / length, (y1 - y0) / length];
      const [bx, by] = [x1 - head * ux, y1 - head * uy];
      const half = head * 0.36;
      return (
        <g>
          <path d={`M${n(x0)} ${n(y0)}L${n(bx)} ${n(by)}`} {...stroked(s.pen)} />
          <path
            d={`M${n(x1)} ${n(y1)}L${n(bx - half * uy)} ${n(by + half * ux)}L${n(bx + half * uy)} ${n(by - half * ux)}Z`}
            fill={`var(--role-${s.pen.role})`}
          />
        </g>
      );
    }
    case "trace": {
      const pieces: JSX.Element[] = [];
      for (let k = 0; 2 * k + 3 < s.points.length; ++k) {
        const share = s.high > s.low ? ((s.values[k] ?? 0) - s.low) / (s.high - s.low) : 1;
        pieces.push(
          <path
            key={k}
            d={line(s.points.slice(2 * k, 2 * k + 4))}
            stroke="var(--role-contact)"
            stroke-opacity={n(0.25 + 0.75 * Math.min(1, Math.max(0, share)))}
            stroke-width={s.width * kPixelsPerPaper}
            vector-effect="non-scaling-stroke"
            stroke-linecap="round"
            fill="none"
          />,
        );
      }
      return <g>{pieces}</g>;
    }
    case "label":
      return null; // placed where there is room (Words)
  }
}

export function Shapes({ shapes, unit }: { shapes: Shape[]; unit: number }): JSX.Element {
  return (
    <g>
      {shapes.map((s, k) => (
        <OneShape key={k} s={s} unit={unit} />
      ))}
    </g>
  );
}

export function Words({ words, unit }: { words: PlacedWord[]; unit: number }): JSX.Element {
  return (
    <g class="words">
      {words.map((w) => {
        const size = w.size * unit;
        const middle = w.at[1] + size * 0.35;
        return (
          <g key={w.text}>
            {Math.abs(w.names[1] - middle) > size && (
              <path
                d={`M${n(w.names[0])} ${n(-w.names[1])}L${n(w.at[0] + (w.anchor === "start" ? w.text.length * size * 0.25 : 0))} ${n(-(w.names[1] > middle ? w.at[1] + size * 0.8 : w.at[1] - size * 0.25))}`}
                stroke="var(--role-faint_ink)" stroke-width="1" vector-effect="non-scaling-stroke" fill="none"
              />
            )}
            <text x={w.at[0]} y={-w.at[1]} font-size={size} text-anchor={w.anchor}>
              {trade(w.text)}
            </text>
          </g>
        );
      })}
    </g>
  );
}

export function viewBox(v: View): string {
  return `${n(v[0])} ${n(-v[3])} ${n(v[2] - v[0])} ${n(v[3] - v[1])}`;
}

// The palette's colours for light; for dark the inks turn over and the fills are dimmed.
export function putColours(catalogue: Catalogue): void {
  const inks = new Set(["ink", "line", "string", "contact", "force", "friction", "faint_ink"]);
  const rule = (dark: boolean) =>
    Object.entries(catalogue.roles)
      .map(([role, [L, C, h]]) => {
        let l = L;
        if (dark) {
          if (role === "paper") l = 0.25;
          else if (inks.has(role) || role.startsWith("set_up")) l = Math.max(0.72, 1.12 - 0.75 * L);
          else l = 0.36 + 0.35 * (L - 0.7);
        }
        return `--role-${role}:oklch(${l.toFixed(3)} ${C} ${h});`;
      })
      .join("");
  const style = document.createElement("style");
  style.textContent =
    `:root{${rule(false)}}@media(prefers-color-scheme:dark){:root:not([data-look=light]){${rule(true)}}}` +
    `:root[data-look=dark]{${rule(true)}}@media print{:root:root:root{${rule(false)}}}`;
  document.head.append(style);
}
