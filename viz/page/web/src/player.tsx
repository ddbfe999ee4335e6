// One stroke: played by the core, then looked at as slowly as wanted.
import { useEffect, useRef, useState } from "preact/hooks";
import type { JSX } from "preact";
import { StrokeCurves, strokeChart } from "./curves";
import { Figure } from "./figure";
import { face, hand, opened, otherStroke, play, playTime, stroke, type Played } from "./state";
import type { Stroke } from "./messages";
import { said, t, trade, type TextKey } from "./texts";
import { Typed } from "./typed";
import { fixed, shown, shownUnit } from "./units";

const kSlow = [1, 5, 20, 50, 100, 500];
const kRepeated = { "repeated full": "full", "repeated partial": "partial" } as const;

// Of repeated strokes: the hammer's speed where it comes to the string.
function blows(s: Stroke): string {
  const at = s.gap.flatMap((gap, k) => (k > 0 && gap <= 0 && (s.gap[k - 1] ?? 0) > 0 ? [s.hammer_speed[k - 1] ?? 0] : []));
  return at.length > 0 ? at.map((v) => fixed(v, 2)).join(", ") : t("silent");
}

const kMeasures: [string, TextKey, string, number][] = [
  ["hammer_speed", "hammer_speed", "m/s", 2], ["travel_time", "travel_time", "ms", 1], ["key_bottom_after_string", "key_bottom_after", "ms", 1],
  ["string_time", "string_time", "ms", 2], ["peak_force", "peak_force", "N", 2], ["check_distance", "check_distance", "mm", 1],
];

function Measures({ s, beside }: { s: Stroke; beside: Stroke | null }): JSX.Element {
  return (
    <div class="scroll" tabIndex={0} role="group" aria-label={t("stroke")}>
      <table class="measures">
        <tbody>
          {kMeasures.map(([key, words, unit, digits]) => (
            <tr key={key} data-measure={key}>
              <th scope="row">
                {t(words)} <span class="unit">{shownUnit(unit)}</span>
              </th>
              <td class="now">{shown(s.measures[key], unit, digits)}</td>
              {beside && <td>({shown(beside.measures[key], unit, digits)})</td>}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

export function Player(): JSX.Element | null {
  const [touch, setTouch] = useState("mf");
  const [rate, setRate] = useState(8);
  const [slow, setSlow] = useState(50);
  const [running, setRunning] = useState(false);
  const played = useRef("");
  const s = stroke.value;
  useEffect(() => {
    if (!running || !s) return undefined;
    let last = performance.now();
    let frame = requestAnimationFrame(function next(now) {
      if (playTime.value === null) return; // sent back to the bench before this frame came
      const end = s.time[s.time.length - 1] ?? 0;
      const at = playTime.value + (now - last) / 1e3 / slow;
      last = now;
      playTime.value = Math.min(at, end);
      if (at >= end) setRunning(false);
      else frame = requestAnimationFrame(next);
    });
    return () => cancelAnimationFrame(frame);
  }, [running, slow, s]);
  if (!hand.value?.ok) return null;
  const end = s?.time[s.time.length - 1] ?? 0;
  const repeat = (kRepeated as Record<string, "full" | "partial">)[touch];
  const asked: Played = repeat ? { repeat, rate } : { touch };
  const begin = async () => {
    if (running) {
      setRunning(false);
      return;
    }
    if (!s || played.current !== JSON.stringify(asked)) {
      playTime.value = null;
      await play(asked);
      played.current = JSON.stringify(asked);
    }
    if (playTime.value === null || playTime.value >= (stroke.value?.time.at(-1) ?? 0))
      playTime.value = Math.max(0, (stroke.value?.events[0]?.time ?? 0) - 0.003);
    setRunning(!matchMedia("(prefers-reduced-motion: reduce)").matches);
  };
  const jump = (way: number) => {
    const at = playTime.value ?? 0;
    const times = s?.events.map((e) => e.time) ?? [];
    const to = way > 0 ? times.find((x) => x > at + 1e-6) : times.filter((x) => x < at - 1e-6).pop();
    setRunning(false);
    if (to !== undefined) playTime.value = to;
  };
  const event = s?.events.filter((e) => e.time <= (playTime.value ?? -1) + 1e-9).pop();
  return (
    <Figure title={t("stroke")} name="stroke" chart={s && face.value !== "customer" ? strokeChart : undefined}>
      <div class="row tools no-print">
        <label>
          {t("touch")}{" "}
          <select
            value={touch}
            onChange={(e) => {
              setRunning(false);
              setTouch(e.currentTarget.value);
            }}
          >
            {opened.value?.touches.map((x) => (
              <option key={x.name} value={x.name}>
                {x.name}, {fixed(x.speed, 1)} m/s
              </option>
            ))}
            {Object.keys(kRepeated).map((name) => (
              <option key={name} value={name}>
                {t(name === "repeated full" ? "repeated_full" : "repeated_partial")}
              </option>
            ))}
          </select>
        </label>
        {repeat && (
          <label>
            {t("rate")}{" "}
            <Typed
              type="number" min={2} max={20} step={0.5} value={rate} class="short"
              put={(text) => setRate(Math.min(20, Math.max(2, Number(text) || 8)))}
            />{" "}
            <span class="unit">/s</span>
          </label>
        )}
        <label>
          {t("slower")}{" "}
          <select value={slow} onChange={(e) => setSlow(Number(e.currentTarget.value))}>
            {kSlow.map((k) => (
              <option key={k} value={k}>{`1/${k}`}</option>
            ))}
          </select>
        </label>
        <button type="button" class="main" onClick={() => void begin()}>
          {t(running ? "pause" : "play")}
        </button>
      </div>
      {s && (
        <>
          <div class="row tools no-print">
            <button type="button" aria-label={t("last_event")} title={t("last_event")} onClick={() => jump(-1)}>
              ◂
            </button>
            <input
              class="scrub" type="range" min={0} max={end} step={0.0005} value={playTime.value ?? 0}
              aria-label={t("time")}
              onInput={(e) => {
                setRunning(false);
                playTime.value = Number(e.currentTarget.value);
              }}
            />
            <button type="button" aria-label={t("next_event")} title={t("next_event")} onClick={() => jump(1)}>
              ▸
            </button>
            {playTime.value !== null && (
              <button
                type="button"
                onClick={() => {
                  setRunning(false);
                  playTime.value = null;
                }}
              >
                {t("back_to_bench")}
              </button>
            )}
          </div>
          <p class="hint">
            {playTime.value !== null && `${fixed(playTime.value * 1e3, 1)} ms`} {event ? `· ${trade(event.name)}` : ""}
          </p>
          {face.value !== "customer" && <StrokeCurves />}
          {!s.name.startsWith("repeated") && face.value !== "customer" && <Measures s={s} beside={otherStroke.value} />}
          {s.name.startsWith("repeated") && (
            <p class="hint">
              {t("blows")}: {blows(s)} m/s{otherStroke.value && ` (${blows(otherStroke.value)})`}
            </p>
          )}
          {!s.found && <p class="warn">{said(s.advice)}</p>}
          {s.explained.map((x, k) => (
            <p key={k} class="warn">
              {said(x)}
            </p>
          ))}
        </>
      )}
    </Figure>
  );
}
