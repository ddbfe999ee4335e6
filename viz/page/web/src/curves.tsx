// Curves: force against dip, and what happens in a stroke. uPlot draws; colours are the page's.
import { useEffect, useRef } from "preact/hooks";
import type { JSX } from "preact";
import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import { Figure } from "./figure";
import type { Weighed } from "./messages";
import { doc, hand, other, otherStroke, picture, playTime, shownDip, stroke } from "./state";
import { language, t } from "./texts";
import { look } from "./look";
import { colourOf, type DrawnChart, type DrawnLine as Line } from "./svg";
import { fixed, lengths, shownUnit } from "./units";

interface ChartProps {
  x: number[];
  lines: Line[];
  xLabel: string;
  yLabel: string;
  height: number;
  cursorAt?: number | null;
  onChoose?: (x: number) => void;
  described: string;
}

function Chart(props: ChartProps): JSX.Element {
  const place = useRef<HTMLDivElement>(null);
  const plot = useRef<uPlot | null>(null);
  const shape = props.lines.map((l) => `${l.label}${l.colour}${l.dash ?? ""}`).join("|") + props.xLabel + language.value + look.value;
  useEffect(() => {
    if (!place.current) return undefined;
    const ink = colourOf("--ink-soft"), grid = colourOf("--rule");
    const axis = { stroke: ink, grid: { stroke: grid, width: 1 }, ticks: { stroke: grid, width: 1 }, font: "12px system-ui" };
    const made = new uPlot(
      {
        width: place.current.clientWidth || 400,
        height: props.height,
        scales: { x: { time: false } },
        legend: { live: false },
        cursor: { drag: { x: false, y: false } },
        axes: [
          { ...axis, label: props.xLabel, labelSize: 20, labelFont: "12px system-ui" },
          { ...axis, label: props.yLabel, labelSize: 20, size: 46, labelFont: "12px system-ui" },
        ],
        series: [
          {},
          ...props.lines.map((l) => ({ label: l.label, stroke: colourOf(l.colour), width: 1.6, dash: l.dash, points: { show: false } })),
        ],
        hooks: {
          draw: [
            (u: uPlot) => {
              const at = cursor.current;
              if (at === null || at === undefined) return;
              const x = u.valToPos(at, "x", true);
              u.ctx.save();
              u.ctx.strokeStyle = ink;
              u.ctx.beginPath();
              u.ctx.moveTo(x, u.bbox.top);
              u.ctx.lineTo(x, u.bbox.top + u.bbox.height);
              u.ctx.stroke();
              u.ctx.restore();
            },
          ],
        },
      },
      [props.x, ...props.lines.map((l) => l.values)] as uPlot.AlignedData,
      place.current,
    );
    plot.current = made;
    made.over.addEventListener("click", () => {
      const left = made.cursor.left;
      if (left !== undefined && left >= 0) choose.current?.(made.posToVal(left, "x"));
    });
    const watch = new ResizeObserver((entries) => {
      const width = entries[0]?.contentRect.width;
      if (width && width > 50) made.setSize({ width, height: props.height });
    });
    watch.observe(place.current);
    return () => {
      watch.disconnect();
      made.destroy();
      plot.current = null;
    };
  }, [shape]);
  const cursor = useRef(props.cursorAt);
  const choose = useRef(props.onChoose);
  cursor.current = props.cursorAt;
  choose.current = props.onChoose;
  useEffect(() => {
    plot.current?.setData([props.x, ...props.lines.map((l) => l.values)] as uPlot.AlignedData);
  }, [props.x, ...props.lines.map((l) => l.values)]);
  useEffect(() => {
    plot.current?.redraw(false, true);
  }, [props.cursorAt]);
  return <div class="chart" ref={place} role="img" aria-label={props.described} />;
}

// Onto one list of dips, by straight lines.
function along(x: number[], from: { dip: number[]; force: (number | null)[] }): (number | null)[] {
  let k = 0;
  return x.map((at) => {
    while (k + 1 < from.dip.length && (from.dip[k + 1] ?? 0) < at) ++k;
    const a = from.dip[k], b = from.dip[k + 1], fa = from.force[k], fb = from.force[k + 1];
    if (a === undefined || fa === null || fa === undefined || at < a) return null;
    if (b === undefined || fb === null || fb === undefined) return null;
    return fa + ((fb - fa) * (at - a)) / (b - a);
  });
}

function sides(w: Weighed | null, x: number[], name: string, role: string, dash?: number[]): Line[] {
  if (!w?.down || !w.up) return [];
  const within = (values: (number | null)[]) => values.map((v) => (v === null || Math.abs(v) > 200 ? null : v));
  return [
    { label: `${name}, ${t("going_down")}`, values: within(along(x, w.down)), colour: `--role-${role}`, dash },
    { label: `${name}, ${t("coming_up")}`, values: within(along(x, w.up)), colour: `--role-${role}`, dash: dash ?? [7, 4] },
  ];
}

// The action as it stands at this dip: of the stroke while one is shown, else on the slow path.
function showDip(dip: number): void {
  const s = stroke.value;
  if (playTime.value === null || !s) {
    shownDip.value = Math.max(0, dip);
    return;
  }
  const at = s.dip.findIndex((d) => d >= dip);
  if (at >= 0) playTime.value = s.time[at] ?? 0;
}

export function ForceDip(): JSX.Element | null {
  const now = hand.value;
  if (!now?.down) return null;
  const scale = lengths.value === "in" ? 1 / 25.4 : 1;
  const dip = now.down.dip, x = dip.map((d) => d * scale);
  const differs = doc.value.over !== doc.value.active;
  const lines = [
    ...sides(now, dip, doc.value.setUps[doc.value.active]?.name ?? "", "set_up_a"),
    ...(differs ? sides(other.value, dip, doc.value.setUps[doc.value.over]?.name ?? "", "set_up_b") : []),
  ];
  const xLabel = `${t("dip")} [${shownUnit("mm")}]`;
  return (
    <Figure title={t("force_dip")} name="force_dip" chart={() => ({ title: t("force_dip"), x, lines, xLabel, yLabel: "gf", number: plain })}>
      <Chart
        x={x} lines={lines} xLabel={xLabel} yLabel="gf" height={250} described={t("force_dip")}
        cursorAt={picture.value ? picture.value.dip * scale : null} onChoose={(at) => showDip(at / scale)}
      />
      <p class="hint">{t("click_curve")}</p>
    </Figure>
  );
}

// A tick's number, with as many digits as it needs.
const plain = (value: number) => fixed(value, Math.min(6, (String(Math.abs(value)).split(".")[1] ?? "").length));

export function strokeChart(): DrawnChart | null {
  const s = stroke.value;
  if (!s) return null;
  const lines: Line[] = [
    { label: `${t("key_dip")} [mm]`, values: s.dip, colour: "--role-set_up_b" },
    { label: `${t("hammer_distance")} [mm]`, values: s.gap, colour: "--role-set_up_c" },
    { label: `${t("finger_force")} [N]`, values: s.force, colour: "--role-set_up_e", dash: [7, 4] },
  ];
  const second = otherStroke.value;
  if (second) {
    const name = doc.value.setUps[doc.value.over]?.name ?? "";
    const at = (values: number[]) => along(s.time, { dip: second.time, force: values });
    lines.push(
      { label: `${t("key_dip")}, ${name}`, values: at(second.dip), colour: "--role-set_up_b", dash: [2, 4] },
      { label: `${t("hammer_distance")}, ${name}`, values: at(second.gap), colour: "--role-set_up_c", dash: [2, 4] },
    );
  }
  return { title: t("stroke"), x: s.time.map((at) => at * 1e3), lines, xLabel: `${t("time")} [ms]`, yLabel: "", number: plain };
}

export function StrokeCurves(): JSX.Element | null {
  const c = strokeChart();
  if (!c) return null;
  return (
    <Chart
      x={c.x} lines={c.lines} xLabel={c.xLabel} yLabel="" height={220} described={t("stroke")}
      cursorAt={playTime.value === null ? null : playTime.value * 1e3}
      onChoose={(at) => (playTime.value = Math.max(0, at / 1e3))}
    />
  );
}
