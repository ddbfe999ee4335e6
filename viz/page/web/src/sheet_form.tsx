// The bench sheet as a form, for who begins without a case: the lines of the printed sheet in their order, what is
// implausible said at once, an empty field where nothing was measured; in the end a case like any other.
import { useEffect, useRef, useState } from "preact/hooks";
import type { JSX } from "preact";
import { download } from "./figure";
import { prefer, preference } from "./keep";
import { isRefused, type SheetAnswer, type SheetCase, type SheetLine } from "./messages";
import { askBench, askLast, openCase, openDemo, problems } from "./state";
import { saidOfFile, t, trade } from "./texts";
import { Typed } from "./typed";

interface Filled {
  title: string;
  note: string;
  cells: Record<string, string>;
}

function begun(): Filled {
  try {
    const found = JSON.parse(preference("sheet", "null")) as Filled | null;
    if (found && typeof found.cells === "object") return found;
  } catch {
    // begun anew
  }
  return { title: "", note: "C4", cells: {} };
}

type Part = "first" | "sheet" | "all";

export function SheetForm(): JSX.Element {
  const [lines, setLines] = useState<SheetLine[]>([]);
  const [filled, setFilled] = useState<Filled>(begun);
  const [replies, setReplies] = useState<SheetAnswer["replies"]>({});
  const [given, setGiven] = useState(0);
  const [part, setPart] = useState<Part>("first");
  const latest = useRef(filled);
  useEffect(() => {
    void askBench<{ lines: SheetLine[] }>({ ask: "sheet_lines" }).then((a) => {
      if (!isRefused(a)) setLines(a.lines);
    });
    void tell(filled);
  }, []);
  const tell = async (now: Filled) => {
    latest.current = now;
    prefer("sheet", JSON.stringify(now));
    const answer = await askLast<SheetAnswer>("sheet", { ask: "sheet", note: now.note, cells: now.cells });
    if (answer === null) return;
    if (isRefused(answer)) {
      problems.value = answer.problems;
      return;
    }
    setReplies((before) => {
      const { note: _, ...lines } = before;
      return { ...lines, ...answer.replies };
    });
    setGiven(answer.given);
  };
  const put = (edit: Partial<Filled>) => {
    const next = { ...latest.current, ...edit };
    setFilled(next);
    void tell(next);
  };
  const cell = (number: number, text: string) => {
    const cells = { ...latest.current.cells };
    if (text.trim() === "") delete cells[number];
    else cells[number] = text;
    put({ cells });
  };
  const make = async () => {
    const now = latest.current;
    const answer = await askBench<SheetCase>({ ask: "sheet_case", title: now.title });
    if (isRefused(answer)) {
      problems.value = answer.problems;
      window.scrollTo({ top: 0 });
      return;
    }
    const name = `${now.title.trim().replace(/[^\p{L}\p{N}]+/gu, "_") || "my_piano"}.toml`;
    await openCase(answer.text, name);
  };
  const keepSheet = async () => {
    const answer = await askBench<SheetCase>({ ask: "sheet_case", title: latest.current.title });
    if (isRefused(answer)) problems.value = answer.problems;
    else download("my_piano.sheet.csv", answer.sheet, "text/csv");
  };
  const shownLines = lines.filter((l) => (part === "first" ? l.first : part === "sheet" ? !l.supplement : true));
  const sections = [...new Set(shownLines.map((l) => l.section))];
  const noteSaid = replies["note"];
  return (
    <>
      <div class="card">
        <p>{t("sheet_text")}</p>
        <div class="row tools">
          <label for="sheet-title">
            {t("sheet_title")}{" "}
            <Typed id="sheet-title" type="text" class="wide" value={filled.title} put={(title) => put({ title })} />
          </label>
          <label for="sheet-note">
            {t("sheet_note")}{" "}
            <Typed
              id="sheet-note" type="text" class="short" value={filled.note} aria-invalid={noteSaid && !noteSaid.taken}
              put={(note) => put({ note: note.trim() })}
            />
          </label>
          <button type="button" onClick={openDemo}>
            {t("begin_invented")}
          </button>
        </div>
        {noteSaid?.says.map((w, k) => (
          <p key={k} class="warn" role="alert">
            {saidOfFile(w)}
          </p>
        ))}
        <fieldset class="pick">
          <legend>{t("sheet_part")}</legend>
          {(["first", "sheet", "all"] as Part[]).map((p) => (
            <label key={p}>
              <input type="radio" name="sheet-part" checked={part === p} onChange={() => setPart(p)} /> {t(`sheet_${p}`)}
            </label>
          ))}
        </fieldset>
      </div>
      {sections.map((section) => (
        <section class="card sheet" key={section} aria-label={saidOfFile(section)}>
          <h2>{saidOfFile(section)}</h2>
          {shownLines
            .filter((l) => l.section === section)
            .map((l) => (
              <Line key={l.number} l={l} value={filled.cells[l.number] ?? ""} reply={replies[l.number]} put={(text) => cell(l.number, text)} />
            ))}
        </section>
      ))}
      <div class="card row sheet-end">
        <button type="button" class="main" disabled={given === 0} onClick={() => void make()}>
          {t("sheet_make")}
        </button>
        <button type="button" disabled={given === 0} onClick={() => void keepSheet()}>
          {t("sheet_keep")}
        </button>
        <span class="hint" role="status">
          {given} {t("sheet_given")}
        </span>
      </div>
    </>
  );
}

function Line(props: { l: SheetLine; value: string; reply?: { taken: boolean; says: string[] }; put: (text: string) => void }): JSX.Element {
  const { l, value, reply } = props;
  const id = `line-${l.number}`, hint = `hint-${l.number}`;
  return (
    <div class="sheet-line">
      <label for={id}>
        <span class="number">{l.number}</span> {trade(l.name)}
      </label>
      <span class="sheet-value">
        {l.words ? (
          <select id={id} value={value} aria-describedby={hint} onChange={(e) => props.put(e.currentTarget.value)}>
            <option value="">{t("do_not_know")}</option>
            {l.words.map((w) => (
              <option key={w} value={w}>
                {trade(w)}
              </option>
            ))}
          </select>
        ) : (
          <Typed
            id={id} type="text" value={value} placeholder={t("do_not_know")} aria-describedby={hint}
            aria-invalid={reply && !reply.taken} put={props.put}
          />
        )}{" "}
        <span class="unit">{l.unit}</span>
      </span>
      <span class="hint" id={hint}>
        {[saidOfFile(l.where), saidOfFile(l.tool), l.usual ? `${saidOfFile(l.usual)} ${t("is_usual")}` : "", l.uncertainty ? `± ${l.uncertainty}` : ""].filter(Boolean).join(" · ")}
      </span>
      {value !== "" && reply && reply.says.length > 0 && (
        <p class={reply.taken ? "odd" : "warn"} role="alert">
          {!reply.taken && <strong>{t("not_taken")} </strong>}
          {reply.says.map(saidOfFile).join(". ")}
        </p>
      )}
    </div>
  );
}
