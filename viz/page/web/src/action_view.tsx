// The action to scale, with the capstan to take hold of; beside it capstan and heel enlarged.
import { useEffect, useRef, useState } from "preact/hooks";
import type { JSX } from "preact";
import type { View } from "./messages";
import { capstanShift, moveCapstan, kStep } from "./handles";
import { Shapes, Words, kPixelsPerPaper, viewBox } from "./shapes";
import {
  activeSetUp, doc, endStep, face, moment, moving, paperWidth, picture, playTime, restPicture, showForces,
} from "./state";
import { t } from "./texts";
import { shown, shownUnit } from "./units";
import { Figure } from "./figure";

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

function Handle({ at, unit }: { at: [number, number]; unit: number }): JSX.Element {
  const grab = useRef<{ x: number; from: number } | null>(null);
  const toMillimetres = (event: PointerEvent): number => {
    const svg = (event.currentTarget as SVGElement).ownerSVGElement;
    const matrix = svg?.getScreenCTM();
    return matrix ? (event.clientX - matrix.e) / matrix.a : 0;
  };
  const shift = capstanShift(activeSetUp.value);
  const end = (event: PointerEvent) => {
    if (!grab.current) return;
    grab.current = null;
    (event.currentTarget as SVGElement).releasePointerCapture(event.pointerId);
    moving.value = false;
    endStep();
  };
  const place = `${shown(Math.abs(shift), "mm", 1)} ${shownUnit("mm")} ${shift > 0 ? t("toward_strings") : shift < 0 ? t("toward_balance") : ""}`;
  return (
    <g
      class="handle"
      role="slider"
      tabindex={0}
      aria-label={t("capstan_place")}
      aria-valuenow={shift}
      aria-valuemin={-10}
      aria-valuemax={10}
      aria-valuetext={place}
      onPointerDown={(event) => {
        event.preventDefault();
        (event.currentTarget as SVGElement).focus();
        event.currentTarget.setPointerCapture(event.pointerId);
        grab.current = { x: toMillimetres(event), from: shift };
        moving.value = true;
      }}
      onPointerMove={(event) => {
        if (!grab.current) return;
        const moved = grab.current.from + toMillimetres(event) - grab.current.x;
        moveCapstan(Math.round(moved / kStep) * kStep, true);
      }}
      onPointerUp={end}
      onPointerCancel={end}
      onKeyDown={(event) => {
        const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
        if (by === undefined && event.key !== "Home") return;
        event.preventDefault();
        const to = by === undefined ? 0 : capstanShift(activeSetUp.value) + by * (event.shiftKey ? 1 : kStep);
        moveCapstan(Math.round(to / kStep) * kStep, false);
      }}
    >
      <circle cx={at[0]} cy={-at[1]} r={Math.max(5.5 * unit, 4)} class="grip" />
      <path
        class="grip-arrow"
        d={`M${at[0] - 9 * unit} ${-at[1]}l${2.4 * unit} ${-1.8 * unit}v${3.6 * unit}zM${at[0] + 9 * unit} ${-at[1]}l${-2.4 * unit} ${-1.8 * unit}v${3.6 * unit}z`}
      />
    </g>
  );
}

// What is shown: the whole action, or nearer to the train between capstan and knuckle.
function cut(view: View, near: boolean, capstan: [number, number]): View {
  if (!near) return view;
  return [capstan[0] - 40, Math.max(view[1], capstan[1] - 32), capstan[0] + 105, Math.min(view[3], capstan[1] + 118)];
}

export function ActionView(): JSX.Element | null {
  const [place, width] = useWidth();
  const [near, setNear] = useState(window.innerWidth < 560);
  const now = picture.value;
  const rest = restPicture.value ?? now;
  useEffect(() => {
    paperWidth.value = Math.round(width / kPixelsPerPaper);
  }, [width]);
  const held = useRef<View | null>(null); // while a hand is on it the drawing stays where it is
  if (!now || !rest) return <div class="action" ref={place} />;
  const view = (moving.value && held.current) || cut(rest.whole.view, near, rest.capstan);
  held.current = view;
  const unit = (kPixelsPerPaper * (view[2] - view[0])) / width;
  const playing = playTime.value !== null;
  return (
    <Figure title={t("the_action")} name="action" class="action-figure">
      <div class="row tools">
        {!playing && (
          <label>
            {t("moment")}{" "}
            <select value={moment.value} onChange={(e) => (moment.value = e.currentTarget.value as "rest")}>
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
      </div>
      <div class="action" ref={place}>
        <svg viewBox={viewBox(view)} role="group" aria-label={t("the_action")} class={moving.value ? "is-moving" : ""}>
          {now.over && (
            <g class="ghost">
              <Shapes shapes={now.over.shapes} unit={unit} />
            </g>
          )}
          <Shapes shapes={now.whole.shapes} unit={unit} />
          {now.words && !near && width > 560 && <Words words={now.words} unit={unit} />}
          {!playing && <Handle at={now.capstan} unit={unit} />}
        </svg>
      </div>
      {!playing && <p class="hint">{t("drag_hint")}</p>}
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
