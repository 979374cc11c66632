// The door: a device in the workshop's network asks to be let in. The code may stand behind the
// `#` of the address, as the picture at the workshop's machine has it.


export {}; // a module: its names are its own
const field = (id: string): HTMLInputElement | null => document.querySelector<HTMLInputElement>(`#${id}`);

function guessedName(): string {
  const agent = navigator.userAgent;
  return /iPad|Tablet/.test(agent) ? "tablet" : /Mobi|Android|iPhone/.test(agent) ? "phone" : "computer";
}

interface Refusal {
  readonly problems?: readonly { readonly where: string; readonly found: string; readonly allowed: string | null }[];
}

async function pair(code: string, name: string): Promise<string | null> {
  let answer: Response;
  try {
    answer = await fetch("/api/pair", {
      method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ code, name }),
    });
  } catch {
    return "The workshop was not reached.";
  }
  if (answer.ok) return null;
  const refusal = (await answer.json().catch(() => ({}))) as Refusal;
  const first = refusal.problems?.[0];
  return first ? `${first.where}: ${first.found}${first.allowed === null ? "" : `. Allowed: ${first.allowed}`}` : `The workshop answered ${answer.status}.`;
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
