// The set-ups of the case: chosen, added, named, compared; and what the active one changes, in trade units.
import type { JSX } from "preact";
import { Figure } from "./figure";
import { kLeadPutIn } from "./handles";
import type { Argument, Change, Remedy } from "./messages";
import {
  activeSetUp, addSetUp, catalogue, choose, chooseOver, copySetUp, doc, editSetUp, hand, isBase, judged, opened, putChangeAt, removeSetUp,
  renameSetUp,
} from "./state";
import { said as inWords, t, trade } from "./texts";
import { Typed } from "./typed";
import { splitAmount, withNumber } from "./units";

export function SetUps(): JSX.Element {
  const { setUps, active, over } = doc.value;
  return (
    <Figure title={t("set_ups")} name="set_ups">
      <ul class="set-ups">
        {setUps.map((s, k) => {
          const said = judged.value?.set_ups.find((j) => j.name === s.name);
          const undone = k === active ? hand.value?.undone : (said?.undone ?? s.undone);
          return (
            <li key={`${s.name}/${s.from}`}>
              <button type="button" class="set-up" aria-pressed={k === active} onClick={() => choose(k)}>
                <span class="set-up-name">{s.name}</span>{" "}
                {k === 0 ? <span class="unit">{t("base")}</span> : undone === 3 ? <strong class="mark">{t("not_reversible")}</strong> : null}
              </button>
            </li>
          );
        })}
      </ul>
      <div class="row tools no-print">
        <button type="button" onClick={() => addSetUp(t("my_trial"))}>
          {t("add_set_up")}
        </button>
        <button type="button" onClick={() => copySetUp(t("my_trial"))}>
          {t("copy_set_up")}
        </button>
        {!isBase.value && (
          <button type="button" onClick={() => removeSetUp(active)}>
            {t("remove_set_up")}
          </button>
        )}
        <label>
          {t("compare_with")}{" "}
          <select value={over} onChange={(e) => chooseOver(Number(e.currentTarget.value))}>
            {setUps.map((s, k) => (
              <option key={k} value={k}>
                {s.name}
              </option>
            ))}
          </select>
        </label>
      </div>
    </Figure>
  );
}

function words(name: string): string {
  return name.replaceAll("_", " ");
}

function Field({ a, value, put }: { a: Argument; value: string | undefined; put: (text: string) => void }): JSX.Element {
  const id = `argument-${a.name}`;
  if (a.unit === undefined && !a.free && a.words && a.words.length > 0)
    return (
      <label for={id}>
        {trade(words(a.name))}{" "}
        <select id={id} value={value ?? ""} onChange={(e) => put(e.currentTarget.value)}>
          {(value === undefined || !a.words.includes(value)) && <option value={value ?? ""}>{value ?? t("choose")}</option>}
          {a.words.map((w) => (
            <option key={w} value={w}>
              {trade(words(w))}
            </option>
          ))}
        </select>
      </label>
    );
  const amount = value === undefined ? null : splitAmount(value);
  if (a.unit !== undefined && (value === undefined || amount))
    return (
      <label for={id} title={inWords(a.description)}>
        {trade(words(a.name))}{" "}
        <Typed
          id={id} type="number" step="any" inputMode="decimal" value={amount?.value ?? ""} placeholder={a.default}
          put={(text) => {
            if (text !== "" && Number.isFinite(Number(text))) put(withNumber(value ?? "", Number(text), a.unit ?? ""));
          }}
        />
        <span class="unit">{amount && amount.rest.trim() !== "" ? amount.rest : ` ${a.unit}`}</span>
      </label>
    );
  return (
    <label for={id} title={inWords(a.description)}>
      {trade(words(a.name))} <Typed id={id} type="text" value={value ?? ""} put={put} />
    </label>
  );
}

function first(remedy: Remedy): Change {
  if (remedy.kind === "lead") return kLeadPutIn;
  const group = remedy.arguments.find((a) => a.group !== " ")?.group;
  const given: Record<string, string> = {};
  for (const a of remedy.arguments) {
    if (!a.required || (a.group !== " " && a.group !== group)) continue;
    if (a.words && a.words[0] !== undefined) given[a.name] = a.words[0];
    else if (a.default) given[a.name] = a.default;
    else if (a.unit !== undefined) {
      const low = a.low ?? 0, high = a.high ?? 1;
      const middle = low <= 0 && high >= 0 ? Math.min(1, high) : low + (high - low) * 0.1;
      given[a.name] = `${Number(middle.toPrecision(2))} ${a.unit}`;
    }
  }
  return { kind: remedy.kind, arguments: given };
}

// What is held while the action is regulated afresh: a value set in this set-up, or the case's own.
const kPolicy = "regulation.policy";
export function Policy(): JSX.Element | null {
  const setUp = activeSetUp.value;
  const words = catalogue.value?.policies ?? [];
  if (!setUp || words.length === 0) return null;
  const isPolicy = (c: Change) => c.kind === "set value" && c.arguments["key"] === kPolicy;
  const at = setUp.changes.findIndex(isPolicy);
  const own = opened.value?.policy ?? "";
  return (
    <label>
      {t("policy")}{" "}
      <select
        class="policy" value={setUp.changes[at]?.arguments["value"] ?? own}
        onChange={(e) => {
          const value = e.currentTarget.value;
          putChangeAt(at, value === own ? null : { kind: "set value", arguments: { key: kPolicy, value } }, t("my_trial"));
        }}
      >
        {words.map((w) => (
          <option key={w} value={w}>
            {trade(w)}
          </option>
        ))}
      </select>
    </label>
  );
}

export function Changes(): JSX.Element | null {
  const setUp = activeSetUp.value, known = catalogue.value;
  if (!setUp || !known) return null;
  const index = doc.value.active;
  const put = (changes: Change[]) => (isBase.value ? addSetUp(t("my_trial"), changes) : editSetUp(index, { changes }));
  return (
    <Figure title={t("what_changes")} name="changes">
      {isBase.value ? (
        <p class="hint">{t("base_is_fixed")}</p>
      ) : (
        <div class="row tools">
          <label for="set-up-name">
            {t("name")}{" "}
            <Typed id="set-up-name" type="text" class="wide" value={setUp.name} put={(text) => renameSetUp(index, text)} />
          </label>
        </div>
      )}
      {setUp.changes.map((change, k) => {
        const remedy = known.remedies.find((r) => r.kind === change.kind);
        const hands = hand.value?.hand.filter((h) => h.kind === change.kind) ?? [];
        const said = hands[setUp.changes.slice(0, k).filter((c) => c.kind === change.kind).length];
        const edit = (name: string, text: string) =>
          put(setUp.changes.map((c, i) => (i === k ? { ...c, arguments: { ...c.arguments, [name]: text } } : c)));
        return (
          <fieldset key={k} class="change">
            <legend>
              {trade(change.kind)}{" "}
              {(said?.undone ?? remedy?.undone) === 3 && <strong class="mark">{t("not_reversible")}</strong>}
            </legend>
            <div class="row tools">
              {remedy?.arguments
                .filter((a) => a.name in change.arguments || (a.required && a.group === " ") )
                .map((a) => (
                  <Field key={a.name} a={a} value={change.arguments[a.name]} put={(text) => edit(a.name, text)} />
                ))}
              <button type="button" class="quiet no-print" onClick={() => put(setUp.changes.filter((_, i) => i !== k))}>
                {t("take_out")}
              </button>
            </div>
            {said && <p class="hint">{inWords(said.words)}</p>}
            {remedy && (
              <p class="hint">
                {t("usual_worry")}: {inWords(remedy.worry)}. {inWords(remedy.labour)}.
              </p>
            )}
          </fieldset>
        );
      })}
      <div class="row tools no-print">
        <label for="add-change">
          {t("add_change")}{" "}
          <select
            id="add-change" value=""
            onChange={(e) => {
              const remedy = known.remedies.find((r) => r.kind === e.currentTarget.value);
              e.currentTarget.value = "";
              if (remedy) put([...(isBase.value ? [] : setUp.changes), first(remedy)]);
            }}
          >
            <option value="">{t("choose")}</option>
            {known.remedies.map((r) => (
              <option key={r.kind} value={r.kind}>
                {trade(r.kind)}
                {r.undone === 3 ? ` (${t("not_reversible")})` : ""}
              </option>
            ))}
          </select>
        </label>
      </div>
    </Figure>
  );
}
