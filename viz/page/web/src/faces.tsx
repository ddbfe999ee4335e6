// The customer's and the classroom's view of the same bench.
import { useMemo, useState } from "preact/hooks";
import type { JSX } from "preact";
import { Advice } from "./advice";
import { Figure } from "./figure";
import { capstanShift, moveCapstan } from "./handles";
import type { Weighed } from "./messages";
import { activeSetUp, ask, base, catalogue, doc, endStep, hand, moving, opened } from "./state";
import { said, t, trade } from "./texts";
import { fixed, shown, shownUnit } from "./units";

function value(w: Weighed | null, key: string): number | null {
  const index = catalogue.value?.quantities.findIndex((q) => q.key === key) ?? -1;
  return w?.numbers[index] ?? null;
}

export function Customer(): JSX.Element {
  const shift = capstanShift(activeSetUp.value);
  const now = hand.value;
  const big = (key: string, words: string) => {
    const here = value(now, key), before = value(base.value, key);
    return (
      <p class="big">
        {words} <strong>{fixed(here, 0)} gf</strong>
        {here !== null && before !== null && doc.value.active !== 0 && (
          <span class="unit"> ({fixed(here - before, 1, true)})</span>
        )}
      </p>
    );
  };
  return (
    <>
      <Figure title={t("customer_question")} name="customer">
        <label class="slider">
          {t("capstan_place")}: {shown(Math.abs(shift), "mm", 1)} {shownUnit("mm")}{" "}
          {shift > 0 ? t("toward_strings") : shift < 0 ? t("toward_balance") : t("as_it_was")}
          <input
            type="range" min={-5} max={5} step={0.1} value={shift}
            onPointerDown={() => (moving.value = true)}
            onPointerUp={() => {
              moving.value = false;
              endStep();
            }}
            onInput={(e) => moveCapstan(Number(e.currentTarget.value), moving.value)}
          />
        </label>
        {big("down_weight", t("customer_weight"))}
        {big("up_weight", t("customer_back"))}
        {big("friction", t("customer_friction"))}
      </Figure>
      <Advice short />
    </>
  );
}

// Questions made from what the core computes: nothing about an answer is written down.
interface Question {
  text: string;
  facts: string[];
  choices: string[];
  right: number;
}

const kHardly = 0.5; // gf

async function lighter(): Promise<Question | null> {
  const from = base.value;
  const setUps = doc.value.setUps.slice(1);
  const picked = setUps[Math.floor(Math.random() * setUps.length)];
  if (!picked || !from) return null;
  const answer = await ask<Weighed>({ ask: "weigh", slot: "question", set_up: picked });
  if (!answer) return null;
  const change = (value(answer, "down_weight") ?? NaN) - (value(from, "down_weight") ?? NaN);
  if (!Number.isFinite(change)) return null;
  return {
    text: t("lighter_question"),
    facts: answer.hand.map((h) => said(h.words)),
    choices: [t("lighter"), t("heavier"), t("same")],
    right: Math.abs(change) < kHardly ? 2 : change < 0 ? 0 : 1,
  };
}

async function whichScrew(): Promise<Question | null> {
  const from = base.value, known = catalogue.value, setUp = doc.value.setUps[0];
  if (!from || !known || !setUp) return null;
  const turned = [1, 2, 3][Math.floor(Math.random() * 3)]!; // punching, button, drop screw
  const by = (Math.random() < 0.5 ? -1 : 1) * 0.4e-3;
  const screws = from.screws.map((s, k) => s.setting + (k === turned ? by : 0));
  const answer = await ask<Weighed>({ ask: "weigh", slot: "question", set_up: setUp, screws });
  if (!answer) return null;
  return {
    text: t("screw_question"),
    facts: [t("screw_found"), ...["let_off", "drop", "dip", "aftertouch", "blow"].map((key) => {
      const q = known.quantities.find((x) => x.key === key);
      return `${trade(q?.name ?? key)}: ${shown(value(answer, key), "mm", 2)} ${shownUnit("mm")} (${shown(value(from, key), "mm", 2)})`;
    })],
    choices: [1, 2, 3].map((k) => trade(known.screws[k]?.name ?? "")),
    right: turned - 1,
  };
}

export function Classroom(): JSX.Element {
  const [question, setQuestion] = useState<Question | null>(null);
  const [given, setGiven] = useState<number | null>(null);
  const [turn, setTurn] = useState(0);
  const next = async () => {
    setGiven(null);
    const made = (turn % 2 === 0 ? await whichScrew() : await lighter()) ?? (await whichScrew());
    setTurn(turn + 1);
    setQuestion(made);
  };
  const name = useMemo(() => opened.value?.title ?? "", [opened.value]);
  return (
    <Figure title={t("questions")} name="questions">
      <p class="hint">{name}</p>
      {question && (
        <>
          <p class="big">{question.text}</p>
          <ul>
            {question.facts.map((f, k) => (
              <li key={k}>{f}</li>
            ))}
          </ul>
          <div class="row tools">
            {question.choices.map((c, k) => (
              <button key={k} type="button" disabled={given !== null} aria-pressed={given === k} onClick={() => setGiven(k)}>
                {c}
              </button>
            ))}
          </div>
          {given !== null && (
            <p role="status">
              <strong>{t(given === question.right ? "right_answer" : "wrong_answer")}</strong>{" "}
              {question.choices[question.right]}.
            </p>
          )}
        </>
      )}
      <button type="button" class="main" onClick={() => void next()}>
        {t("next_question")}
      </button>
    </Figure>
  );
}
