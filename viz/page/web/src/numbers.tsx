// Numbers beside the action, where its friction is, and its screws.
import { useState } from "preact/hooks";
import type { JSX } from "preact";
import { Figure } from "./figure";
import {
  base, behind, catalogue, doc, hand, handProblems, judged, judging, moving, opened, other, regulateAgain, screwsByHand,
  turnScrew,
} from "./state";
import { said as inWords, t, trade, typed } from "./texts";
import { fixed, shown, shownUnit } from "./units";
import type { JudgedMeasure } from "./messages";

const kFirst = ["down_weight", "up_weight", "balance_weight", "friction", "dip", "blow", "let_off", "drop", "aftertouch",
  "capstan_friction", "distance_ratio", "weight_ratio"];

function judgedMeasure(key: string): JudgedMeasure | undefined {
  const name = doc.value.setUps[doc.value.active]?.name;
  return judged.value?.set_ups.find((s) => s.name === name)?.measures.find((m) => m.key === key);
}

export function Numbers(): JSX.Element | null {
  const [all, setAll] = useState(false);
  const known = catalogue.value, now = hand.value;
  if (!known || !now) return null;
  const against = other.value ?? base.value;
  const differs = against !== null && doc.value.over !== doc.value.active;
  const rows = known.quantities
    .map((q, index) => ({ q, index }))
    .filter(({ q }) => (all ? q.group !== "screw" : kFirst.includes(q.key)))
    .sort((a, b) => (all ? 0 : kFirst.indexOf(a.q.key) - kFirst.indexOf(b.q.key)));
  const found = new Map((opened.value?.found ?? []).map((f) => [f.name, f]));
  return (
    <Figure title={t("numbers")} name="numbers">
      <div class="scroll" tabIndex={0} role="group" aria-label={t("numbers")}>
        <table class={`${moving.value ? "is-moving" : ""} ${behind.value ? "is-behind" : ""}`} aria-busy={behind.value}>
          <thead>
            <tr>
              <th scope="col">{t("quantity")}</th>
              {differs && <th scope="col">{t("change")}</th>}
              {differs && (
                <th scope="col" title={t("band_means")}>
                  {t("band")}
                </th>
              )}
              {differs && <th scope="col">{t("felt")}</th>}
              {found.size > 0 && <th scope="col">{t("measured")}</th>}
              {differs && <th scope="col" class="roomy">{doc.value.setUps[doc.value.over]?.name}</th>}
              <th scope="col">{doc.value.setUps[doc.value.active]?.name}</th>
            </tr>
          </thead>
          <tbody aria-live="off">
            {rows.map(({ q, index }) => {
              const value = now.numbers[index], before = against?.numbers[index];
              const change = typeof value === "number" && typeof before === "number" ? value - before : null;
              const said = judgedMeasure(q.key);
              const measured = found.get(q.name);
              return (
                <tr key={q.key} data-key={q.key}>
                  <th scope="row" title={inWords(q.how_read)}>
                    {trade(q.name)} <span class="unit">{shownUnit(q.unit)}</span>
                  </th>
                  {differs && <td class="change-of">{shown(change, q.unit, q.decimals, true)}</td>}
                  {differs && (
                    <td class="band-of">{said?.sigma_change && doc.value.over === 0 ? shown(said.sigma_change, q.unit, q.decimals) : ""}</td>
                  )}
                  {differs && (
                    <td class="felt-of">
                      {said?.noticeable && change !== null
                        ? t(Math.abs(change) >= said.noticeable ? "noticed" : "not_noticed")
                        : ""}
                    </td>
                  )}
                  {found.size > 0 && <td>{measured ? shown(measured.measured, q.unit, q.decimals) : ""}</td>}
                  {differs && <td class="roomy">{shown(before, q.unit, q.decimals)}</td>}
                  <td class="now" title={inWords(now.absent[q.key] ?? "")}>
                    {shown(value, q.unit, q.decimals)}
                  </td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      <p class="row no-print">
        <label class="check">
          <input type="checkbox" checked={all} onChange={(e) => setAll(e.currentTarget.checked)} /> {t("all_numbers")}
        </label>
        {judging.value && (
          <span class="quiet-text" role="status">
            {t("working")} <progress value={judging.value.share} max={1} aria-label={t("working")} />
          </span>
        )}
      </p>
    </Figure>
  );
}

export function Standing(): JSX.Element | null {
  const now = hand.value;
  if (handProblems.value.length > 0)
    return (
      <div class="card warn" role="alert">
        {handProblems.value.map((p, k) => (
          <p key={k}>
            {inWords(p.what)} {p.expected && `(${t("expected")}: ${typed(p.expected)})`} {inWords(p.advice)}
          </p>
        ))}
      </div>
    );
  if (!now) return null;
  return (
    <>
      {(!now.ok || !now.regulated) && (
        <div class="card warn" role="alert">
          <p>
            <strong>{now.ok ? t("not_regulated") : t("no_answer")}.</strong> {inWords(now.why)}
          </p>
          {now.failures.map((f, k) => (
            <p key={k}>
              {trade(f.requirement)}: {inWords(f.advice)}
            </p>
          ))}
        </div>
      )}
      {now.warnings.length > 0 && (
        <ul class="warnings">
          {now.warnings.map((w, k) => (
            <li key={k}>{inWords(w)}</li>
          ))}
        </ul>
      )}
    </>
  );
}

export function Ledger(): JSX.Element | null {
  const rows = hand.value?.ledger;
  if (!rows) return null;
  const against = new Map((other.value?.ledger ?? []).map((r) => [`${r.name}/${r.kind}`, r.amount]));
  const differs = doc.value.over !== doc.value.active;
  const sorted = rows
    .filter((r) => Math.abs(r.amount ?? 0) >= 0.005)
    .sort((a, b) => Math.abs(b.amount ?? 0) - Math.abs(a.amount ?? 0));
  const most = Math.max(1e-9, ...sorted.map((r) => Math.abs(r.amount ?? 0)));
  return (
    <Figure title={t("ledger")} name="ledger">
      <div class="scroll" tabIndex={0} role="group" aria-label={t("ledger")}>
        <table class="bars">
          <tbody>
            {sorted.map((r) => (
              <tr key={`${r.name}/${r.kind}`}>
                <th scope="row">
                  {trade(r.name)} <span class="unit">{t(r.kind)}</span>
                </th>
                <td class="bar" aria-hidden="true">
                  <span style={{ width: `${(100 * Math.abs(r.amount ?? 0)) / most}%` }} />
                </td>
                <td>{fixed(r.amount, 2)} gf</td>
                {differs && <td>{fixed((r.amount ?? 0) - (against.get(`${r.name}/${r.kind}`) ?? 0), 2, true)}</td>}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p class="hint">{t("ledger_text")}</p>
    </Figure>
  );
}

export function Screws(): JSX.Element | null {
  const known = catalogue.value, now = hand.value, from = base.value;
  if (!known || !now) return null;
  const turn = (k: number, turns: number) => {
    const setting = (screwsByHand.value ?? now.screws.map((s) => s.setting))[k] ?? 0;
    turnScrew(k, setting + turns * (now.screws[k]?.pitch || 1e-3));
  };
  return (
    <Figure title={t("screws")} name="screws">
      <div class="scroll" tabIndex={0} role="group" aria-label={t("screws")}>
        <table>
          <thead>
            <tr>
              <td />
              <th scope="col">{t("turns")}</th>
              <th scope="col">
                {t("left")} {shownUnit("mm")}
              </th>
              <td class="no-print" />
            </tr>
          </thead>
          <tbody>
            {known.screws.map((screw, k) => {
              const s = now.screws[k];
              if (!s) return null;
              const moved = s.setting - (from?.screws[k]?.setting ?? s.setting);
              const turns = s.pitch ? moved / s.pitch : 0;
              const left = moved >= 0 ? (s.up ?? 0) - s.setting : (s.down ?? 0) + s.setting;
              return (
                <tr key={screw.name}>
                  <th scope="row">{trade(screw.name)}</th>
                  <td>
                    {Math.abs(turns) < 0.005 ? "0" : fixed(turns, 2, true)}
                    {Math.abs(turns) >= 0.005 && <div class="unit">{trade(turns > 0 ? screw.more : screw.less)}</div>}
                  </td>
                  <td>{screw.spring ? "" : shown(left * 1e3, "mm", 1)}</td>
                  <td class="no-print turners">
                    <button type="button" aria-label={`${trade(screw.name)}: ${trade(screw.less)}`} title={trade(screw.less)} onClick={() => turn(k, -0.25)}>
                      −¼
                    </button>
                    <button type="button" aria-label={`${trade(screw.name)}: ${trade(screw.more)}`} title={trade(screw.more)} onClick={() => turn(k, 0.25)}>
                      +¼
                    </button>
                  </td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      <p class="hint">{screwsByHand.value ? t("as_turned") : t("screws_text")}</p>
      {screwsByHand.value && (
        <button type="button" class="no-print" onClick={regulateAgain}>
          {t("regulate_again")}
        </button>
      )}
    </Figure>
  );
}
