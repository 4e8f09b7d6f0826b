// The kettle log stays right when the connection drops and after the phone slept: what is
// written down is kept on the phone until the service has it, and what is only typed is too.
// Without this script the page works as plain forms.
"use strict";

const main = document.querySelector("main");
const place = `wortwright-log-${main.dataset.session}`;
const waiting = document.getElementById("waiting");
const GIVE_UP_MS = 20000;
const AGAIN_MS = 10000;

let kept = load();
let sending = false;
let timer = 0;
let trouble = "";

function load() {
  const empty = { queue: [], drafts: {} };
  try {
    return { ...empty, ...JSON.parse(localStorage.getItem(place) ?? "{}") };
  } catch {
    return empty;
  }
}

function save() {
  try {
    localStorage.setItem(place, JSON.stringify(kept));
  } catch {
    // No storage here: the queue lives as long as the page.
  }
}

// --- what is typed -------------------------------------------------------------------------

function forms() {
  return [...document.querySelectorAll("#forms form")];
}

function typedIn(form) {
  const inputs = [...form.querySelectorAll("input[type=text]")];
  return Object.fromEntries(inputs.map((input) => [input.name, input.value]));
}

function fill(form, values) {
  for (const [name, value] of Object.entries(values)) {
    const input = form.elements[name];
    if (!input || !value) continue;
    input.value = value;
    const folded = input.closest("details.other");
    if (folded) folded.open = true;
  }
}

function keepDraft(form) {
  const typed = typedIn(form);
  if (Object.values(typed).some(Boolean)) kept.drafts[form.elements.stage.value] = typed;
  else delete kept.drafts[form.elements.stage.value];
  save();
}

function clear(form) {
  for (const input of form.querySelectorAll("input[type=text]")) {
    input.value = "";
    input.removeAttribute("aria-invalid");
  }
  for (const said of form.querySelectorAll(".wrong")) said.remove();
  keepDraft(form);
}

// --- what is written down --------------------------------------------------------------------

function word() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

function writeDown(form) {
  const typed = typedIn(form);
  if (!Object.values(typed).some(Boolean)) {
    tell("Nothing was typed.");
    return;
  }
  const stage = form.elements.stage.value;
  kept.queue.push({ once: word(), stage, said: form.dataset.stage, typed, refused: "" });
  clear(form);
  tell("");
  void send();
}

async function send() {
  if (sending) return;
  sending = true;
  clearTimeout(timer);
  try {
    let next;
    while ((next = kept.queue.find((one) => !one.refused))) await sendOne(next);
    trouble = "";
  } catch (error) {
    trouble = error.message;
    if (error.cause !== "key") timer = setTimeout(send, AGAIN_MS);
  } finally {
    sending = false;
    tell("");
  }
}

async function sendOne(one) {
  const body = new URLSearchParams({ ...one.typed, stage: one.stage, once: one.once });
  const answer = await ask({ method: "POST", body, headers: { "Idempotency-Key": one.once } });
  if (answer.ok) {
    drop(one);
    show(answer.page);
    lookAhead();
  } else if (answer.status === 401) {
    const said = "This address has run out. Open a new one for this brew on this phone.";
    throw new Error(said, { cause: "key" });
  } else if (answer.status === 429 || answer.status >= 500) {
    throw new Error("The service is busy.");
  } else {
    const refused = refusal(answer.page);
    kept.queue = kept.queue.map((each) => (each.once === one.once ? { ...each, refused } : each));
    save();
  }
}

async function ask(request) {
  const limit = new AbortController();
  const late = setTimeout(() => limit.abort(), GIVE_UP_MS);
  try {
    const answer = await fetch(main.dataset.sendTo, {
      ...request,
      headers: { Accept: "text/html", ...request.headers },
      cache: "no-store",
      credentials: "omit",
      signal: limit.signal,
    });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    return { ok: answer.ok, status: answer.status, page };
  } catch {
    throw new Error("There is no connection.");
  } finally {
    clearTimeout(late);
  }
}

function refusal(page) {
  const said = [...page.querySelectorAll(".wrong")].map((one) => {
    const label = one.closest(".field")?.querySelector("label")?.textContent;
    return label ? `${label}: ${one.textContent}` : one.textContent;
  });
  return said.join(" ") || page.querySelector("main p")?.textContent || "The service refused it.";
}

function drop(one) {
  kept.queue = kept.queue.filter((other) => other.once !== one.once);
  save();
}

// --- what is seen ----------------------------------------------------------------------------

function show(page) {
  for (const id of ["stands", "read"]) {
    const fresh = page.getElementById(id);
    if (fresh) document.getElementById(id).replaceChildren(...fresh.childNodes);
  }
  // Nothing is folded away while something is being typed.
  if (Object.keys(kept.drafts).length) return;
  for (const fresh of page.querySelectorAll("#forms details.stage")) {
    const stage = fresh.querySelector("input[name=stage]").value;
    const folded = formOf(stage).closest("details.stage");
    folded.open = fresh.open;
    // The next stage comes first, the others in the order of the day.
    document.getElementById("forms").append(folded);
  }
}

function formOf(stage) {
  return forms().find((form) => form.elements.stage.value === stage);
}

function lookAhead() {
  if (document.querySelector("#forms input:focus")?.value) return;
  document.getElementById("stands").focus();
}

function tell(note) {
  const refused = kept.queue.filter((one) => one.refused);
  const count = kept.queue.length - refused.length;
  const lines = [];
  if (note) lines.push(element("p", note));
  if (count) {
    const what = count === 1 ? "1 reading is" : `${count} readings are`;
    lines.push(element("p", `${trouble} ${what} kept on this phone and will be sent.`.trim()));
  }
  if (refused.length) {
    const list = document.createElement("ul");
    list.append(...refused.map(refusedItem));
    lines.push(list);
  }
  waiting.replaceChildren(...lines);
}

function refusedItem(one) {
  const item = element("li", `Not taken, ${one.said}. ${one.refused} `);
  item.append(
    button("Put it right", () => {
      drop(one);
      const form = formOf(one.stage);
      fill(form, one.typed);
      keepDraft(form);
      form.closest("details.stage").open = true;
      form.querySelector("input[type=text]").focus();
    }),
    " ",
    button("Throw it away", () => drop(one)),
  );
  return item;
}

function element(name, text) {
  const made = document.createElement(name);
  made.textContent = text;
  return made;
}

function button(text, act) {
  const made = element("button", text);
  made.type = "button";
  made.className = "plain";
  made.addEventListener("click", () => {
    act();
    tell("");
  });
  return made;
}

async function wake() {
  await send();
  if (kept.queue.some((one) => !one.refused)) return;
  try {
    const answer = await ask({ method: "GET" });
    if (answer.ok) show(answer.page);
  } catch {
    // What is on the page stays until there is a connection.
  }
}

for (const form of forms()) {
  const draft = kept.drafts[form.elements.stage.value];
  if (draft && !form.querySelector("[aria-invalid]")) {
    fill(form, draft);
    form.closest("details.stage").open = true;
  }
  form.addEventListener("input", () => keepDraft(form));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    writeDown(form);
  });
}
// The same log in another tab keeps its readings in the same place.
addEventListener("storage", (event) => {
  if (event.key !== place) return;
  kept = load();
  tell("");
});
addEventListener("online", wake);
addEventListener("pageshow", (event) => event.persisted && wake());
document.addEventListener("visibilitychange", () => document.hidden || wake());
tell("");
void send();
