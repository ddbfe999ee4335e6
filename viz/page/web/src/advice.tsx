// What to do, in the judgement's own sentences, and the cautions beside it.
import type { JSX } from "preact";
import { Figure } from "./figure";
import { activeSetUp, catalogue, hand, isBase, judged, judging } from "./state";
import { said as inWords, t } from "./texts";

export function Cautions(): JSX.Element | null {
  const text = judged.value?.cautions ?? hand.value?.cautions ?? "";
  if (!text) return null;
  const full = (catalogue.value?.cautions ?? []).filter((c) => text.includes(`${c.about}: `) || c.about === "what the model cannot see");
  return (
    <div class="cautions">
      <p>
        <strong>{t("cautions")}.</strong> {inWords(text)}.
      </p>
      <details class="no-print">
        <summary>{t("cautions_full")}</summary>
        <ul>
          {full.map((c) => (
            <li key={c.about}>
              <strong>{inWords(c.about)}:</strong> {inWords(c.text)}
            </li>
          ))}
        </ul>
      </details>
    </div>
  );
}

export function Advice({ short }: { short?: boolean }): JSX.Element {
  const said = judged.value;
  const own = said?.set_ups.find((s) => s.name === activeSetUp.value?.name);
  return (
    <Figure title={t("what_to_do")} name="advice">
      {!isBase.value && hand.value?.undone === 3 && (
        <p>
          <strong class="mark">{t("not_reversible")}</strong>
        </p>
      )}
      {judging.value && (
        <p class="quiet-text" role="status">
          {t("working")} <progress value={judging.value.share} max={1} aria-label={t("working")} />
          <br />
          {inWords(judging.value.doing)}
        </p>
      )}
      {said && (
        <dl class="answer">
          {(short ? said.answer.slice(0, 2) : said.answer).map((line) => (
            <div key={line.label}>
              <dt>{inWords(line.label)}</dt>
              <dd>{inWords(line.text)}</dd>
            </div>
          ))}
          {own?.sentence && !isBase.value && (
            <div>
              <dt>{own.name}</dt>
              <dd>
                {own.undone === 3 && <strong class="mark">{t("not_reversible")} </strong>}
                {inWords(own.sentence)}
              </dd>
            </div>
          )}
        </dl>
      )}
      {!short && said && said.warnings.length > 0 && (
        <ul class="warnings">
          {said.warnings.map((w, k) => (
            <li key={k}>{inWords(w)}</li>
          ))}
        </ul>
      )}
      <Cautions />
      <p class="hint">{t("prediction")}</p>
    </Figure>
  );
}
