// The page: head, three faces of the bench, settings.
import { useEffect, useRef } from "preact/hooks";
import type { JSX } from "preact";
import { ActionView, HeelView } from "./action_view";
import { Advice, Cautions } from "./advice";
import { ForceDip } from "./curves";
import { Classroom, Customer } from "./faces";
import { download } from "./figure";
import { large, look, setLarge, setLook, type Look } from "./look";
import { Ledger, Numbers, Screws, Standing } from "./numbers";
import { Player } from "./player";
import { Changes, SetUps } from "./set_ups";
import { SheetForm } from "./sheet_form";
import {
  canRedo, canUndo, caseName, face, failure, forgetWork, leaning, newSheet, opened, openCase, problems, redo, saveText, started, undo,
  type Face,
} from "./state";
import { language, saidOfFile, speak, t, typed, type Language } from "./texts";
import { lengths, measureIn, type Lengths } from "./units";

// One case; part and material files chosen with it (they begin with what they are) stand beside it.
async function openFiles(chosen: File[]): Promise<void> {
  const files = await Promise.all(chosen.map(async (f) => ({ name: f.name, text: await f.text() })));
  const isCase = (text: string) => /^\s*\[(note|measured|regulation|parts)\]/m.test(text);
  const found = files.find((f) => isCase(f.text)) ?? files[0];
  if (found) await openCase(found.text, found.name, undefined, files.filter((f) => f !== found));
}

function OpenFile(): JSX.Element {
  const file = useRef<HTMLInputElement>(null);
  return (
    <>
      <button type="button" onClick={() => file.current?.click()}>
        {t("open_case")}
      </button>
      <input
        ref={file} type="file" accept=".toml" multiple hidden aria-label={t("open_case")}
        onChange={(e) => {
          const chosen = [...(e.currentTarget.files ?? [])];
          e.currentTarget.value = "";
          void openFiles(chosen);
        }}
      />
    </>
  );
}

function Pick<T extends string>(props: { label: string; value: T; of: [T, string][]; put: (v: T) => void }): JSX.Element {
  return (
    <fieldset class="pick">
      <legend>{props.label}</legend>
      {props.of.map(([v, words]) => (
        <label key={v}>
          <input type="radio" name={props.label} checked={props.value === v} onChange={() => props.put(v)} /> {words}
        </label>
      ))}
    </fieldset>
  );
}

function Settings(): JSX.Element {
  const dialog = useRef<HTMLDialogElement>(null);
  return (
    <>
      <button type="button" onClick={() => dialog.current?.showModal()}>
        {t("settings")}
      </button>
      <dialog ref={dialog} aria-label={t("settings")}>
        <h2>{t("settings")}</h2>
        <Pick<Language> label={t("language")} value={language.value} of={[["en", "English"], ["de", "Deutsch"]]} put={speak} />
        <Pick<Lengths> label={t("lengths")} value={lengths.value} of={[["mm", t("millimetres")], ["in", t("inches")]]} put={measureIn} />
        <Pick<Look>
          label={t("light_dark")} value={look.value}
          of={[["device", t("as_device")], ["light", t("light")], ["dark", t("dark")]]} put={setLook}
        />
        <Pick<"normal" | "large">
          label={t("type_size")} value={large.value ? "large" : "normal"}
          of={[["normal", t("normal")], ["large", t("large")]]} put={(v) => setLarge(v === "large")}
        />
        <p class="hint">{t("kept_here")}</p>
        <p class="row">
          <button type="button" onClick={() => { newSheet(); dialog.current?.close(); }}>
            {t("new_sheet")}
          </button>
        </p>
        <p class="row">
          <button type="button" onClick={() => { forgetWork(); dialog.current?.close(); }}>
            {t("start_afresh")}
          </button>
        </p>
        <details>
          <summary>{t("licences")}</summary>
          <pre tabIndex={0}>{document.getElementById("licences")?.textContent}</pre>
        </details>
        <button type="button" class="main" onClick={() => dialog.current?.close()}>
          {t("close")}
        </button>
      </dialog>
    </>
  );
}

function Refusal(): JSX.Element | null {
  if (problems.value.length === 0) return null;
  return (
    <div class="card warn" role="alert">
      <h2>{t("problems")}</h2>
      <ul>
        {[...problems.value].sort((a, b) => Number(b.line > 0) - Number(a.line > 0) || a.line - b.line).slice(0, 20).map((p, k) => (
          <li key={k} data-what={p.what} data-line={p.line}>
            {p.line > 0 && `${t("line")} ${p.line}: `}
            {p.line_text && <code>{p.line_text}</code>} {saidOfFile(p.what)}
            {p.expected && ` (${t("expected")}: ${typed(p.expected)})`} {saidOfFile(p.advice)}
          </li>
        ))}
      </ul>
      <button type="button" onClick={() => (problems.value = [])}>
        {t("close")}
      </button>
    </div>
  );
}

function Head(): JSX.Element {
  const save = async () => {
    const text = await saveText();
    if (text !== null) download(caseName.value, text, "application/toml");
  };
  return (
    <header class="head">
      <div class="title">
        <h1>{opened.value?.title ?? t("no_case")}</h1>
        {opened.value && (
          <p>
            {opened.value.invented && <span class="mark-soft">{t("invented")}</span>} {opened.value.question}
          </p>
        )}
      </div>
      <nav class="row tools no-print" aria-label={t("the_action")}>
        {started.value === "open" && (
          <>
            <button type="button" disabled={!canUndo.value} onClick={undo}>
              {t("undo")}
            </button>
            <button type="button" disabled={!canRedo.value} onClick={redo}>
              {t("redo")}
            </button>
            <button type="button" onClick={() => void save()}>
              {t("save_case")}
            </button>
            <button type="button" onClick={() => window.print()}>
              {t("print")}
            </button>
          </>
        )}
        <OpenFile />
        <Settings />
      </nav>
      {started.value === "open" && (
        <fieldset class="faces no-print">
          <legend class="hidden">{t("face")}</legend>
          {(["workshop", "customer", "classroom"] as Face[]).map((f) => (
            <label key={f} class={face.value === f ? "chosen" : ""}>
              <input type="radio" name="face" checked={face.value === f} onChange={() => (face.value = f)} /> {t(f)}
            </label>
          ))}
        </fieldset>
      )}
    </header>
  );
}

// Read from the top on a phone: action, numbers and advice, then what explains them. On a wide screen the numbers stand
// beside.
function Bench(props: { top: JSX.Element; beside: JSX.Element; below: JSX.Element }): JSX.Element {
  return (
    <div class="bench">
      <div class="at-top">{props.top}</div>
      <div class="beside">{props.beside}</div>
      <div class="below">{props.below}</div>
    </div>
  );
}

function Workshop(): JSX.Element {
  return (
    <Bench
      top={<ActionView />}
      beside={
        <>
          <Standing />
          <SetUps />
          <Changes />
          <Numbers />
          <Advice />
        </>
      }
      below={
        <>
          <div class="two">
            <HeelView />
            <ForceDip />
          </div>
          <Player />
          <div class="two">
            <Ledger />
            <Screws />
          </div>
        </>
      }
    />
  );
}

function ForCustomer(): JSX.Element {
  return (
    <Bench
      top={<ActionView />}
      beside={
        <>
          <Standing />
          <Customer />
        </>
      }
      below={<Player />}
    />
  );
}

function ForClassroom(): JSX.Element {
  return (
    <Bench
      top={<ActionView />}
      beside={
        <>
          <Standing />
          <Classroom />
          <SetUps />
          <Numbers />
          <Cautions />
        </>
      }
      below={
        <>
          <Player />
          <div class="two">
            <HeelView />
            <Screws />
          </div>
        </>
      }
    />
  );
}

export function App(): JSX.Element {
  useEffect(() => {
    const keys = (event: KeyboardEvent) => {
      if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
      if (event.target instanceof HTMLInputElement && event.target.type === "text") return;
      event.preventDefault();
      if (event.shiftKey) redo();
      else undo();
    };
    window.addEventListener("keydown", keys);
    return () => window.removeEventListener("keydown", keys);
  }, []);
  const state = started.value;
  return (
    <>
      <Head />
      <main>
        <Refusal />
        {state === "open" && leaning.value && (
          <p class="card" role="status">
            {t("leaning")}
          </p>
        )}
        {state === "loading" && <p class="card" role="status">{t("loading")}</p>}
        {state === "failed" && (
          <div class="card warn" role="alert">
            <h2>{t("failed")}</h2>
            <p>{t("failed_advice")}</p>
            <p>
              <code>{failure.value}</code>
            </p>
          </div>
        )}
        {state === "no case" && <SheetForm />}
        {state === "open" && face.value === "workshop" && <Workshop />}
        {state === "open" && face.value === "customer" && <ForCustomer />}
        {state === "open" && face.value === "classroom" && <ForClassroom />}
      </main>
    </>
  );
}
