// What stands round every page: where you can go, units, light, the way of a job to the
// workshop file, and what to do when somebody else saved.

import { useEffect, useRef } from "preact/hooks";
import { Differences } from "./differences";
import {
  canRedo, canUndo, conflict, documentUnit, draft, flush, notice, saving, settle, state, step, trouble,
} from "./job";
import { guest } from "./share";
import { PlacesNav } from "./places";
import { placeAddress, route } from "./route";
import { themeChoice, unitChoice, type ThemeChoice } from "./settings";

const THEMES: readonly (readonly [ThemeChoice, string])[] = [["auto", "Light: auto"], ["light", "Light"], ["dark", "Dark"]];

function Saved() {
  const version = state.value?.version ?? 0;
  const texts = {
    saved: `Saved, version ${version}`, changed: "Not saved yet", saving: "Saving…",
    failed: "Not saved", conflict: "Not saved: somebody else saved",
  } as const;
  return <span class={`saved ${saving.value}`} role="status">{texts[saving.value]}</span>;
}

export function Header() {
  const open = state.value !== null;
  const here = route.value;
  return (
    <header class="top">
      <a class="skip" href="#main" onClick={(event) => {
        event.preventDefault();
        document.getElementById("main")?.focus();
      }}>To the page</a>
      <nav aria-label="Pages">
        <ul>
          <li><a href="#/" aria-current={here.page === "bench" ? "page" : undefined}>All jobs</a></li>
          {open && here.page === "place" &&
            <li><a href={placeAddress(here.job, "history")} aria-current={here.place === "history" ? "page" : undefined}>History</a></li>}
          {here.page !== "place" && !guest.value &&
            <li><a href="#/share" aria-current={here.page === "share" ? "page" : undefined}>Share</a></li>}
        </ul>
      </nav>
      {open && here.page === "place" && (
        <div class="steps">
          <button type="button" disabled={!canUndo.value && saving.value === "saved"} onClick={() => void step("undo")}><span class="word">Undo</span><span class="sign" aria-hidden="true">↶</span></button>
          <button type="button" disabled={!canRedo.value} onClick={() => void step("redo")}><span class="word">Redo</span><span class="sign" aria-hidden="true">↷</span></button>
          <Saved />
        </div>
      )}
      <div class="choices">
        <label>
          <span class="unseen">Units</span>
          <select value={unitChoice.value} onChange={(event) => { unitChoice.value = event.currentTarget.value as typeof unitChoice.value; }}>
            <option value="job">{open ? `Job: ${documentUnit.value}` : "Units: job"}</option>
            <option value="in">Inches</option>
            <option value="mm">Millimetres</option>
          </select>
        </label>
        <label>
          <span class="unseen">Light</span>
          <select value={themeChoice.value} onChange={(event) => { themeChoice.value = event.currentTarget.value as ThemeChoice; }}>
            {THEMES.map(([value, text]) => <option key={value} value={value}>{text}</option>)}
          </select>
        </label>
      </div>
      {here.page === "place" && <PlacesNav job={here.job} here={here.place} />}
    </header>
  );
}

/** Lines that stay until they are read: what failed, and what happened. */
export function Notices() {
  return (
    <div class="notices" role="alert">
      {saving.value === "failed" && (
        <p class="notice bad">
          <span>Not saved: {trouble.value}. What you typed is kept in this browser, and saving is tried again every 5 seconds.</span>
          <button type="button" onClick={() => void flush()}>Try now</button>
        </p>
      )}
      {notice.value && (
        <p class="notice">
          <span>{notice.value}</span>
          <button type="button" onClick={() => { notice.value = null; }}>Understood</button>
        </p>
      )}
    </div>
  );
}

export function ConflictDialog() {
  const dialog = useRef<HTMLDialogElement>(null);
  const met = conflict.value;
  useEffect(() => {
    if (met && !dialog.current?.open) dialog.current?.showModal();
    else if (!met && dialog.current?.open) dialog.current.close();
  }, [met]);
  return (
    <dialog ref={dialog} aria-labelledby="conflict" onCancel={(event) => event.preventDefault()}
      onClose={() => { if (conflict.value) dialog.current?.showModal(); /* a browser closes it at a second Escape */ }}>
      {met && (
        <>
          <h2 id="conflict">Somebody else saved this job meanwhile</h2>
          <p>Theirs is version {met.version}. Nothing is lost until you choose.</p>
          <Differences mine={draft.value} theirs={met.theirs} mineIs="yours" theirsIs="theirs" />
          <div class="actions">
            <button type="button" class="strong" onClick={() => void settle("beside")}>Keep mine beside, go on with theirs</button>
            <button type="button" onClick={() => void settle("mine")}>Go on with mine, theirs stays in the history</button>
            <button type="button" class="quiet" onClick={() => void settle("theirs")}>Take theirs, drop mine</button>
          </div>
        </>
      )}
    </dialog>
  );
}

// Ctrl+Z outside a field is a step of the job; in a field it is the browser's own.
addEventListener("keydown", (event) => {
  const inField = event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement ||
    event.target instanceof HTMLSelectElement;
  if (!state.value || inField || conflict.value || !(event.ctrlKey || event.metaKey)) return;
  const key = event.key.toLowerCase();
  if (key !== "z" && key !== "y") return;
  event.preventDefault();
  void step(key === "y" || event.shiftKey ? "redo" : "undo");
});

