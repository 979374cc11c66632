// The first page: which jobs there are, and a way to begin one from an example.
"use strict";

const asked = new URLSearchParams(location.search).get("job");
const about = document.getElementById("about");

async function ask(address, options) {
  const answer = await fetch(address, options);
  const document = await answer.json();
  if (!answer.ok) {
    throw new Error(document.problems.map((p) => `${p.where}: ${p.found}`).join("; "));
  }
  return document;
}

function row(...parts) {
  const item = document.createElement("li");
  item.append(...parts);
  return item;
}

function element(name, text) {
  const made = document.createElement(name);
  made.textContent = text;
  return made;
}

function jobRow(job) {
  const link = element("a", job.name || "(without a name)");
  link.href = `/api/jobs/${job.id}/document`;
  if (String(job.id) === asked) {
    link.setAttribute("aria-current", "true");
  }
  const saved = new Date(job.saved_ms).toLocaleString();
  return row(link, element("small", `version ${job.version}, saved ${saved}`));
}

function exampleRow(example) {
  const button = element("button", "Begin");
  button.setAttribute("aria-label", `Begin from ${example.name}`);
  button.addEventListener("click", () => told(begin(example.example)));
  return row(element("span", example.name), button);
}

async function list() {
  const [server, jobs, examples] = await Promise.all(
    [ask("/api/about"), ask("/api/jobs"), ask("/api/examples")]);
  about.textContent = `${jobs.jobs.length} in ${server.workshop}`;
  document.getElementById("jobs").replaceChildren(...jobs.jobs.map(jobRow));
  document.getElementById("examples").replaceChildren(...examples.examples.map(exampleRow));
}

async function begin(example) {
  const text = await (await fetch(`/api/examples/${example}`)).text();
  await ask("/api/jobs",
    { method: "POST", headers: { "Content-Type": "application/json" }, body: text });
  await list();
}

function told(work) {
  work.catch((error) => { about.textContent = error.message; });
}

told(list());
