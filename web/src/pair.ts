// The door: a device in the workshop's network asks to be let in. The code may stand behind the
// `#` of the address, as the picture at the workshop's machine has it.

import { ask, Refused, Unreached } from "./api";
import { problemWords } from "./words";

const field = (id: string): HTMLInputElement | null => document.querySelector<HTMLInputElement>(`#${id}`);

function guessedName(): string {
  const agent = navigator.userAgent;
  return /iPad|Tablet/.test(agent) ? "tablet" : /Mobi|Android|iPhone/.test(agent) ? "phone" : "computer";
}

// Null: it is let in.
async function pair(code: string, name: string): Promise<string | null> {
  try {
    await ask("/api/pair", { method: "POST", body: JSON.stringify({ code, name }) });
    return null;
  } catch (error) {
    if (error instanceof Unreached) return `The workshop did not answer: ${error.message}.`;
    const first = error instanceof Refused ? error.problems[0] : undefined;
    return first ? `${first.where}: ${problemWords(first)}` : String(error);
  }
}

const form = document.querySelector<HTMLFormElement>("#pair");
const told = document.querySelector<HTMLElement>("#told");
const [code, name] = [field("code"), field("name")];
if (form && told && code && name) {
  code.value = location.hash.slice(1);
  name.value = guessedName();
  // The code is used once; it need not stay in the browser's history.
  if (location.hash !== "") history.replaceState(null, "", location.pathname);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    told.textContent = "";
    void pair(code.value, name.value.trim()).then((why) => {
      if (why === null) {
        location.replace("/");
        return;
      }
      told.textContent = why;
      code.focus();
    });
  });
}
