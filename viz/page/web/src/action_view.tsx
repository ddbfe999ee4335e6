// The action to scale, with the capstan to take hold of; beside it capstan and heel enlarged.
import { useEffect, useRef, useState } from "preact/hooks";
import type { JSX } from "preact";
import type { View } from "./messages";
import { gripsOf, kTools, putIn, type Grip, type Tool } from "./handles";
import { Policy } from "./set_ups";
import { Shapes, Words, kPixelsPerPaper, viewBox } from "./shapes";
import {
  doc, endStep, face, moment, moving, paperWidth, picture, playTime, regulateAgain, restPicture, screwsByHand, shownDip, showForces,
  sideBySide,
} from "./state";
import { t } from "./texts";
import { signal } from "@preact/signals";
import { Figure } from "./figure";
import { shown, shownUnit } from "./units";

const tool = signal<Tool>("capstan");
const held = signal<string | null>(null); // the grip a hand is or was last on

function useWidth(): [preact.RefObject<HTMLDivElement>, number] {
  const place = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(600);
  useEffect(() => {
    const watch = new ResizeObserver((entries) => {
      const now = entries[0]?.contentRect.width;
      if (now && now > 50) setWidth(now);
    });
    if (place.current) watch.observe(place.current);
    return () => watch.disconnect();
  }, []);
  return [place, width];
}

// One thing to take hold of: dragged along its way, or moved by the arrow keys.
function GripMark({ g, unit, view }: { g: Grip; unit: number; view: View }): JSX.Element {
  const grab = useRef<{ at: number; from: number } | null>(null);
  const along = (event: PointerEvent): number => (g.way === "x" ? event.clientX : -event.clientY);
  const kept = (value: number) => Math.max(g.low, Math.min(g.high, Math.round(value / g.step) * g.step));
  const pixel = unit / kPixelsPerPaper; // mm of the drawing
  const end = (event: PointerEvent) => {
    if (!grab.current) return;
    grab.current = null;
    (event.currentTarget as SVGElement).releasePointerCapture(event.pointerId);
    moving.value = false;
    endStep();
  };
  const x = g.names[0] + g.offset[0] * pixel;
  // Never out of the drawing, where no finger would find it.
  const y = Math.max(-view[3] + 12 * unit, Math.min(-view[1] - 12 * unit, -(g.names[1] + g.offset[1] * pixel)));
  const arrow = (side: number) => {
    const [ax, ay] = g.way === "x" ? [x + side * 9 * unit, y] : [x, y + side * 9 * unit];
    const [dx, dy] = [-side * 2.4 * unit, 1.8 * unit];
    return g.way === "x" ? `M${ax} ${ay}l${dx} ${-dy}v${2 * dy}z` : `M${ax} ${ay}l${-dy} ${dx}h${2 * dy}z`;
  };
  return (
    <g
      class={`handle handle-${g.way}`}
      data-grip={g.id}
      role="slider"
      tabindex={0}
      aria-label={g.label}
      aria-orientation={g.way === "x" ? "horizontal" : "vertical"}
      aria-valuenow={Math.round(g.value * 1000) / 1000}
      aria-valuemin={g.low}
      aria-valuemax={g.high}
      aria-valuetext={g.words(g.value)}
      onFocus={() => (held.value = g.id)}
      onPointerDown={(event) => {
        event.preventDefault();
        (event.currentTarget as SVGElement).focus();
        event.currentTarget.setPointerCapture(event.pointerId);
        grab.current = { at: along(event), from: g.value };
        held.value = g.id;
        moving.value = true;
      }}
      onPointerMove={(event) => {
        if (!grab.current) return;
        const matrix = (event.currentTarget as SVGElement).ownerSVGElement?.getScreenCTM();
        const pixels = along(event) - grab.current.at;
        const by = g.perPixel !== undefined ? pixels * g.perPixel : (pixels / (matrix?.a || 1)) * (g.gain ?? 1);
        g.put(kept(grab.current.from + by), true);
      }}
      onPointerUp={end}
      onPointerCancel={end}
      onKeyDown={(event) => {
        const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key];
        if (by === undefined && !(event.key === "Home" && g.low <= 0 && g.high >= 0)) return;
        event.preventDefault();
        g.put(by === undefined ? 0 : kept(g.value + by * g.step * (event.shiftKey ? 10 : 1)), false);
      }}
    >
      {(g.offset[0] !== 0 || g.offset[1] !== 0) && <path class="leader" d={`M${g.names[0]} ${-g.names[1]}L${x} ${y}`} />}
      <circle cx={x} cy={y} r={Math.max(5.5 * unit, 2)} class="grip" />
      <path class="grip-arrow" d={`${arrow(-1)}${arrow(1)}`} />
      <title>{`${g.label}: ${g.words(g.value)}`}</title>
    </g>
  );
}

// What can be taken hold of: chips where there is room, a list on a phone.
function Tools({ wide }: { wide: boolean }): JSX.Element {
  const more = putIn(tool.value);
  return (
    <div class="row tools no-print">
      {wide ? (
        <fieldset class="faces hold">
          <legend class="hidden">{t("take_hold")}</legend>
          {kTools.map((k) => (
            <label key={k} class={tool.value === k ? "chosen" : ""}>
              <input type="radio" name="tool" checked={tool.value === k} onChange={() => (tool.value = k)} /> {t(`tool_${k}`)}
            </label>
          ))}
        </fieldset>
      ) : (
        <label>
          {t("take_hold")}{" "}
          <select class="hold" value={tool.value} onChange={(e) => (tool.value = e.currentTarget.value as Tool)}>
            {kTools.map((k) => (
              <option key={k} value={k}>
                {t(`tool_${k}`)}
              </option>
            ))}
          </select>
        </label>
      )}
      {more && (
        <button type="button" onClick={more.put}>
          {t(more.words)}
        </button>
      )}
      {wide && !screwsByHand.value && <Policy />}
      {screwsByHand.value && (
        <button type="button" onClick={regulateAgain}>
          {t("regulate_again")}
        </button>
      )}
    </div>
  );
}

// What is shown: the whole action, or nearer to the train between capstan and knuckle.
function cut(view: View, near: boolean, capstan: [number, number]): View {
  if (!near) return view;
  return [capstan[0] - 75, Math.max(view[1], capstan[1] - 46), capstan[0] + 105, Math.min(view[3], capstan[1] + 118)];
}

export function ActionView(): JSX.Element | null {
  const [place, width] = useWidth();
  const [near, setNear] = useState(window.innerWidth < 560);
  const now = picture.value;
  const rest = restPicture.value ?? now;
  useEffect(() => {
    paperWidth.value = Math.round(width / kPixelsPerPaper);
  }, [width]);
  const kept = useRef<View | null>(null); // while a hand is on it the drawing stays where it is
  if (!now || !rest) return <div class="action" ref={place} />;
  const view = (moving.value && kept.current) || cut(rest.whole.view, near, rest.capstan);
  kept.current = view;
  const apart = sideBySide.value && now.over !== undefined;
  const high = window.innerHeight * (window.innerWidth < 1100 ? 0.38 : 0.62); // as in style.css
  const unit = kPixelsPerPaper / Math.min((apart ? width / 2 - 4 : width) / (view[2] - view[0]), high / (view[3] - view[1]));
  const playing = playTime.value !== null;
  // A customer moves one thing; the others are the workshop's.
  const grips = playing ? [] : gripsOf(face.value === "customer" ? "capstan" : tool.value, now)
    .filter((g) => face.value !== "customer" || g.id === "capstan_place");
  const said = grips.find((g) => g.id === held.value);
  const shownHow = (
      <div class="row tools">
        {!playing && (
          <label>
            {t("moment")}{" "}
            <select
              value={shownDip.value === null ? moment.value : "dip"}
              onChange={(e) => {
                if (e.currentTarget.value === "dip") return;
                shownDip.value = null;
                moment.value = e.currentTarget.value as "rest";
              }}
            >
              {shownDip.value !== null && (
                <option value="dip">
                  {t("dip")} {shown(shownDip.value, "mm", 1)} {shownUnit("mm")}
                </option>
              )}
              <option value="rest">{t("at_rest")}</option>
              <option value="half stroke">{t("half_stroke")}</option>
              <option value="let-off">{t("let_off")}</option>
            </select>
          </label>
        )}
        {face.value !== "customer" && (
          <label class="check">
            <input
              type="checkbox" checked={showForces.value}
              onChange={(e) => (showForces.value = e.currentTarget.checked)}
            />{" "}
            {t("forces")}
          </label>
        )}
        <label class="check">
          <input type="checkbox" checked={near} onChange={(e) => setNear(e.currentTarget.checked)} /> {t("nearer")}
        </label>
        {width <= 700 && face.value !== "customer" && <Policy />}
        {now.over && (
          <label class="check">
            <input type="checkbox" checked={sideBySide.value} onChange={(e) => (sideBySide.value = e.currentTarget.checked)} /> {t("side_by_side")}
          </label>
        )}
      </div>
  );
  return (
    <Figure title={t("the_action")} name="action" class="action-figure">
      {width > 480 ? (
        shownHow
      ) : (
        <details class="no-print">
          <summary>{t("shown_how")}</summary>
          {shownHow}
        </details>
      )}
      {!playing && face.value !== "customer" && <Tools wide={width > 700} />}
      <div class={`action ${apart ? "apart" : ""}`} ref={place}>
        <svg viewBox={viewBox(view)} role="group" aria-label={t("the_action")} class={moving.value ? "is-moving" : ""}>
          {now.over && !apart && (
            <g class="ghost">
              <Shapes shapes={now.over.shapes} unit={unit} />
            </g>
          )}
          <Shapes shapes={now.whole.shapes} unit={unit} />
          {now.words && !near && !apart && width > 560 && <Words words={now.words} unit={unit} />}
          {grips.map((g) => (
            <GripMark key={g.id} g={g} unit={unit} view={view} />
          ))}
        </svg>
        {apart && now.over && (
          <svg viewBox={viewBox(view)} role="img" aria-label={doc.value.setUps[doc.value.over]?.name ?? ""}>
            <Shapes shapes={now.over.shapes} unit={unit} />
          </svg>
        )}
      </div>
      {apart && (
        <p class="two hint">
          <span>{doc.value.setUps[doc.value.active]?.name}</span>
          <span>{doc.value.setUps[doc.value.over]?.name}</span>
        </p>
      )}
      {!playing && (
        <p class="hint" aria-live="off">
          {said ? `${said.label}: ${said.words(said.value)}` : t(face.value === "customer" ? "drag_hint" : `hint_${tool.value}`)}
        </p>
      )}
    </Figure>
  );
}

export function HeelView(): JSX.Element | null {
  const [place, width] = useWidth();
  const now = picture.value;
  if (!now || now.heel.view[2] <= now.heel.view[0]) return <div ref={place} />;
  const view = now.heel.view;
  const unit = (kPixelsPerPaper * (view[2] - view[0])) / width;
  const both = doc.value.over !== doc.value.active;
  return (
    <Figure title={t("at_the_heel")} name="heel">
      <div ref={place}>
        <svg viewBox={viewBox(view)} role="img" aria-label={t("at_the_heel")}>
          <Shapes shapes={now.heel.shapes} unit={unit} />
        </svg>
      </div>
      <p class="hint">
        {both && (
          <>
            <span class="key key-a" /> {doc.value.setUps[doc.value.active]?.name} &nbsp;
            <span class="key key-b" /> {doc.value.setUps[doc.value.over]?.name} &nbsp;
          </>
        )}
        {t("worn_path")}
      </p>
    </Figure>
  );
}
