// The page's script: sends what is typed, puts in what comes, and lets curves and parts be pointed at.
"use strict";

let now = Number(document.body.dataset.now);
let faulty = false;
let latest = 0; // what is told by answers and by events may arrive in another order
const waiting = new Map(); // fields that were typed into and are not sent yet
let visit = "";
let unit = "";
const newest = new Map(); // pieces of the form, which a field that is left takes its words from
const said = document.getElementById("said");

// --- what comes -----------------------------------------------------------------------------------------------------

/** Makes an element like another; focus, what is typed in it, open details and zoom stay as they are. */
function become(old, made) {
  if (old.isEqualNode(made)) return;
  for (const { name } of [...old.attributes])
    if (!made.hasAttribute(name) && !["open", "style"].includes(name)) old.removeAttribute(name);
  for (const { name, value } of made.attributes)
    if (name !== "open" && old.getAttribute(name) !== value) old.setAttribute(name, value);
  if (old.matches("details:not([open])") && made.open && made.querySelector(".fault:not(:empty)")) old.open = true;
  become_children(old, made);
  if (old.matches("[data-key], [data-beside]") && old !== document.activeElement) old.value = made.value;
}

function become_children(old, made) {
  const wanted = [...made.childNodes];
  wanted.forEach((node, n) => {
    const there = old.childNodes[n];
    if (!there) old.append(node);
    else if (there.nodeName !== node.nodeName || (there.id ?? "") !== (node.id ?? "")) there.replaceWith(node);
    else if (node.nodeType === Node.ELEMENT_NODE) become(there, node);
    else if (there.nodeValue !== node.nodeValue) there.nodeValue = node.nodeValue;
  });
  while (old.childNodes.length > wanted.length) old.lastChild.remove();
}

function put(id, html) {
  const made = document.createElement("template");
  made.innerHTML = html;
  become_children(document.getElementById(id), made.content);
}

function take(state) {
  if (state.made >= latest) ({ now, faulty, made: latest } = state);
  for (const [id, html] of Object.entries(state.pieces)) {
    put(id, html);
    const piece = document.getElementById(id);
    if (!form?.contains(piece)) continue;
    newest.set(id, html);
    if (piece.querySelector(".fault:not(:empty)")) piece.open = true;
  }
  for (const [id, view] of Object.entries(state.views ?? {})) {
    put(id, view.html);
    document.getElementById(id).dataset.number = view.number;
    if (id === "schematic") name_parts();
  }
  tell_unit();
  tell_stale();
  light(lit);
  zoom_all();
}

/** The unit beside the field that is typed into is seen while it holds a number alone. */
function tell_unit() {
  const field = document.activeElement;
  const beside = document.getElementById(`${field.id}-unit`);
  if (beside) beside.hidden = !/^[+-]?[0-9.]*$/.test(field.value.trim());
}

function tell_stale() {
  for (const view of document.querySelectorAll("[data-view]")) {
    const old = faulty || (view.dataset.number && Number(view.dataset.number) !== now);
    const section = view.closest("section");
    section.classList.toggle("old", old);
    const words = !old ? "" : faulty ? "of the last good state" : "of an earlier state, being worked out";
    const line = section.querySelector(".stale");
    if (line.textContent !== words) line.textContent = words;
  }
}

const source = new EventSource("/events");
source.onmessage = (event) => {
  const news = JSON.parse(event.data);
  if (news.moved) location.reload();
  else take(news);
  if (said.dataset.lost) say("");
};
source.onerror = () => say("boardgen does not answer: is it still running? What was saved is safe.", true);

// --- what is sent ---------------------------------------------------------------------------------------------------

function say(words, lost = false) {
  said.textContent = words;
  if (lost) said.dataset.lost = "yes";
  else delete said.dataset.lost;
}

async function exchange(what, body) {
  try {
    const answer = await fetch(`/ask/${what}`, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(body),
    });
    const state = await answer.json();
    say(state.refused ?? "");
    if (state.pieces && form) take(state);
  } catch {
    say("boardgen does not answer: is it still running? What was saved is safe.", true);
  }
}

/** Sends what was typed, of each field the newest words; one request at a time. */
async function send() {
  while (waiting.size) {
    const [key, typed] = waiting.entries().next().value;
    waiting.delete(key);
    await exchange("set", { key: JSON.parse(key), ...typed, seen: now });
  }
}

let queue = Promise.resolve();

/** Asks for something once all that was typed before is sent; `seen` is added where it matters. */
function post(what, body, changes = false) {
  queue = queue.then(send).then(() => exchange(what, changes ? { ...body, seen: now } : body));
}

const form = document.getElementById("form");

form?.addEventListener("focusin", ({ target }) => {
  visit = crypto.randomUUID();
  unit = target.dataset.unit ?? "";
  const sentence = target.closest(".field")?.querySelector(".says");
  // in a place of its own: nothing may move under a pointer that is about to press
  if (sentence) document.getElementById("help").textContent = sentence.textContent;
});

form?.addEventListener("focusout", ({ target }) => {
  queue = queue.then(send).then(() => {
    newest.forEach((html, id) => put(id, html));
    const left = target !== document.activeElement && !said.dataset.lost;
    // as the file has it: its unit stands beside it
    if (left && target.matches("input[data-key]")) target.value = target.defaultValue;
  });
});

form?.addEventListener("input", ({ target }) => {
  if (!target.dataset.key) return;
  tell_unit();
  waiting.set(target.dataset.key, { words: target.value, unit, visit });
  queue = queue.then(send);
});

form?.addEventListener("submit", (event) => event.preventDefault());

document.addEventListener("click", ({ target }) => {
  const button = target.closest("button");
  if (button?.dataset.post) post(button.dataset.post, {});
  if (button?.dataset.open) post("open", { name: button.dataset.open });
  if (button?.dataset.remedy) post("remedy", { keys: JSON.parse(button.dataset.remedy) }, true);
  if (button?.dataset.row) {
    const [table, at, to] = JSON.parse(button.dataset.row);
    post("rows", { table, at: at ?? null, to: to ?? null }, true);
  }
  if (button?.dataset.light !== undefined) light(lit === button.dataset.light ? "" : button.dataset.light);
  const part = target.closest("svg [data-part]");
  if (part) light(lit === part.dataset.part ? "" : part.dataset.part);
});

document.getElementById("begin")?.addEventListener("submit", (event) => {
  event.preventDefault();
  const { template, ways, name } = event.target.elements;
  post("begin", { template: template.value, ways: ways.value ? Number(ways.value) : null, name: name.value });
});

document.addEventListener("keydown", (event) => {
  if (form && (event.ctrlKey || event.metaKey) && event.key === "s") {
    event.preventDefault();
    post("save", {});
  }
});

addEventListener("beforeunload", (event) => {
  if (waiting.size) event.preventDefault();
});

// --- what is pointed at ---------------------------------------------------------------------------------------------

let lit = "";

/** Lights up these parts, or a net, wherever they are shown. */
function light(names) {
  lit = names;
  const wanted = new Set(names.split(" ").filter(Boolean));
  for (const shape of document.querySelectorAll("[data-part]"))
    shape.classList.toggle("lit", shape.dataset.part.split(" ").some((part) => wanted.has(part)));
  for (const button of document.querySelectorAll("[data-light]"))
    button.setAttribute("aria-pressed", String(Boolean(names) && button.dataset.light === names));
  const strip = document.getElementById("strip");
  if (strip && strip.value !== names) strip.value = [...strip.options].some(({ value }) => value === names) ? names : "";
  const net = document.getElementById("net")?.value;
  for (const shape of document.querySelectorAll("[data-net]"))
    shape.classList.toggle("lit", Boolean(net) && shape.dataset.net === net);
}

/** The designators of the schematic are those of the board. */
function name_parts() {
  const parts = new Set([...document.querySelectorAll("#board [data-part]")].map((shape) => shape.dataset.part));
  for (const words of document.querySelectorAll("#schematic text"))
    if (parts.has(words.textContent)) words.dataset.part = words.textContent;
}

document.addEventListener("change", ({ target }) => {
  if (target.dataset.beside !== undefined) {
    const at = (key) => document.getElementById(`beside-${key}`).value.trim();
    post("beside", { parts: at("parts"), prices: at("prices"), sweeps: at("sweeps") });
  }
  if (target.id === "net") light(lit);
  if (target.id === "strip") light(target.value);
});

// --- the book ------------------------------------------------------------------------------------------------------

let read_to = 0;

/** A book that is made anew opens where it was being read. */
document.addEventListener(
  "load",
  ({ target }) => {
    if (target.id !== "book-pages") return;
    const pages = target.contentWindow;
    pages.scrollTo(0, read_to);
    pages.addEventListener("scroll", () => { read_to = pages.scrollY; });
  },
  true,
);

// --- zoom and curves ------------------------------------------------------------------------------------------------

function zoom_all() {
  for (const range of document.querySelectorAll(".zoom"))
    for (const sheet of range.closest(".views").querySelectorAll(".sheet")) sheet.style.width = `${range.value * 100}%`;
}
document.addEventListener("input", ({ target }) => {
  if (target.matches(".zoom")) zoom_all();
});

function read_out(figure, nearest) {
  const plot = JSON.parse(figure.dataset.plot);
  const n = Math.max(0, Math.min(plot.x.length - 1, nearest(plot)));
  figure.dataset.at = n;
  const unit = plot.unit.replace("ohm", "Ω");
  const before = plot.saved[n] != null ? `, saved ${plot.saved[n]} ${unit}` : "";
  const measured = plot.measured.filter(([, figures]) => figures[n] != null);
  const traces = measured.map(([title, figures]) => `, measured ${figures[n]} ${unit} (${title})`).join("");
  figure.querySelector("output").textContent = `${plot.mhz[n]} MHz: ${plot.now[n]} ${unit}${before}${traces}`;
  figure.querySelector(".pointer").setAttribute("transform", `translate(${plot.x[n] - 34} 0)`);
  figure.classList.add("read");
}

document.addEventListener("pointermove", (event) => {
  const figure = event.target.closest?.(".plot");
  if (!figure) return;
  const svg = figure.querySelector("svg");
  const at = ((event.clientX - svg.getBoundingClientRect().left) / svg.clientWidth) * svg.viewBox.baseVal.width;
  read_out(figure, ({ x }) => x.reduce((best, here, n) => (Math.abs(here - at) < Math.abs(x[best] - at) ? n : best), 0));
});

document.addEventListener("keydown", (event) => {
  const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
  if (!step || !event.target.matches?.(".plot")) return;
  event.preventDefault();
  read_out(event.target, () => Number(event.target.dataset.at ?? -1) + step);
});
