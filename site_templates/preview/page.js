// The page as a whole: what is shown, and how it keeps up with the files.

import { drawBeside } from "./beside.js";
import { count, get, h, spoken } from "./parts.js";
import { drawList, everyRow, saidOf, steps, titleOf } from "./steps.js";

const byId = (id) => document.getElementById(id);
const state = { name: "", at: "", id: "", view: null, words: null, opened: new Set(), choose };

function rowNow() {
  const rows = everyRow(state.view.rows);
  return rows.find((row) => state.id && row.id === state.id) ?? rows.find((row) => row.path === state.at);
}

function choose(path) {
  const row = everyRow(state.view.rows).find((one) => one.path === path);
  state.at = path;
  state.id = row?.id ?? "";
  history.replaceState(null, "", `#${state.name}${state.id ? `/${state.id}` : ""}`);
  draw();
}

function draw() {
  const row = rowNow();
  state.at = row?.path ?? "";
  drawVerdict();
  drawList(byId("list"), state);
  drawStep(row);
  drawBeside(byId("beside"), state, row);
  document.title = `${state.view.head.title ?? state.name} - preview`;
}

function drawStep(row) {
  const form = byId("form");
  if (!state.view.readable) return form.replaceChildren(broken());
  if (!row) return form.replaceChildren(h("h1", {}, state.view.head.title ?? state.name), h("p", {}, "Choose a step at the left."));
  const name = row.word === "step" ? `Step ${row.mark}` : saidOf(row);
  form.replaceChildren(h("h1", {}, name), h("p", { class: "big" }, spoken(titleOf(row, state.words), state.words)),
    h("dl", {}, Object.entries(row.values).filter(([key]) => !["id", "say", row.word].includes(key)).map(([key, value]) => [h("dt", {}, key), h("dd", {}, typeof value === "string" ? spoken(value, state.words) : JSON.stringify(value))])));
}

function broken() {
  const one = state.view.findings[0];
  const lines = state.view.lines.slice(Math.max(0, one.line - 3), one.line + 2);
  return h("div", { class: "broken", role: "alert" }, h("h1", {}, "The file can't be read"),
    h("p", { class: "big" }, one.message), h("p", {}, h("b", {}, "To mend: "), one.mend), h("p", {}, `${state.view.file}, line ${one.line}, column ${one.column}:`),
    h("pre", {}, lines.map((text, at) => { const number = Math.max(0, one.line - 3) + at + 1; return h("span", { class: number === one.line ? "here" : "" }, `${String(number).padStart(4)}  ${text}\n`); })),
    h("p", { class: "quiet" }, "What stands at the left and above is from the last version that could be read."));
}

function drawVerdict() {
  const place = byId("verdict");
  const { view } = state;
  const fine = view.fresh && !view.checking;
  const shown = view.verdicts.map((one) => h("div", { class: `told ${fine ? one.state : "old"}` },
    one.set ? h("p", { class: "quiet" }, one.set) : null, h("p", { class: "headline" }, one.headline), h("p", { class: "limits" }, one.limits),
    one.rules.length ? h("details", {}, h("summary", {}, `${count(one.rules.length, "rule")} looked at; ${one.silent} more do not apply`), h("ul", {}, one.rules.map((rule) => h("li", {}, h("b", {}, rule.title), ` ${rule.words}`)))) : null));
  const now = view.trouble ? `The check itself failed (${view.trouble}). Nothing is decided.`
    : view.checking ? "The orders are being searched ..."
    : !view.fresh ? (view.verdicts.length ? "Not checked as it stands. Below is the verdict on the last version that could be read." : "Not checked: mend what is found first.")
    : "";
  place.replaceChildren(h("p", { class: "now", role: "status" }, now), ...shown);
  byId("kept").textContent = view.checking || !view.fresh ? "" : `Checked in ${Math.max(view.seconds, 0.01).toFixed(2)} s`;
}

async function load() {
  const name = state.name;
  const [found, words] = await Promise.all([get(`view/${name}`), get(`words/${name}`)]);
  if (name !== state.name) return;
  // A text that can't be read keeps the last lines that could.
  if (!found.readable && state.view?.name === name) found.rows = state.view.rows;
  Object.assign(state, { view: found, words });
  if (!state.at && !state.id) state.at = steps(found.rows)[0]?.path ?? found.rows[0]?.path ?? "";
  draw();
}

async function begin() {
  const all = await get("unit");
  byId("unit").textContent = all.unit || "Preview";
  const which = byId("which");
  const groups = [["emergency", "Emergencies"], ["routine", "Procedures"], ["check", "Checks"], ["", "Not usable yet"]];
  which.replaceChildren(...groups.map(([kind, title]) => [title, all.procedures.filter((one) => one.kind === kind)]).filter(([, some]) => some.length)
    .map(([title, some]) => h("optgroup", { label: title }, some.map((one) => h("option", { value: one.name }, one.title)))));
  const [name, id] = decodeURIComponent(location.hash.slice(1)).split("/");
  state.name = all.procedures.some((one) => one.name === name) ? name : all.procedures[0]?.name ?? "";
  state.id = id ?? "";
  which.value = state.name;
  which.addEventListener("change", () => {
    Object.assign(state, { name: which.value, at: "", id: "", view: null });
    history.replaceState(null, "", `#${state.name}`);
    load();
  });
  if (state.name) await load();
  listen(all.news);
}

function listen(since) {
  let news = since;
  let stream = null;
  const open = () => {
    stream = new EventSource(`news?since=${news}`);
    stream.onmessage = (event) => { news = Number(event.data); document.body.classList.remove("away"); load(); };
    stream.onerror = () => document.body.classList.add("away");
    stream.onopen = () => document.body.classList.remove("away");
  };
  // A browser keeps few connections to one place: a page that nobody sees gives its own back.
  document.addEventListener("visibilitychange", () => {
    if (document.hidden) stream.close();
    else { open(); load(); }
  });
  open();
}

begin();
