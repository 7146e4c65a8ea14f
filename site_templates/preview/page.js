// The page as a whole: what is shown, how it keeps up with the files, and what the buttons do.

import { drawBeside } from "./beside.js";
import { drawForm } from "./form.js";
import { coded, count, get, h } from "./parts.js";
import { save } from "./saves.js";
import { drawList, everyRow, ofStep, saidOf, steps, titleOf } from "./steps.js";

const ABOUT = "about";
const byId = (id) => document.getElementById(id);
const state = {
  name: "", at: "", id: "", view: null, words: null, opened: new Set(), added: new Set(), formOf: "", base: "",
  asked: 0, drawn: 0, saves: 0,
  choose, put, act, places, within, redraw, kept, forget,
  steps: () => steps(state.view.rows),
  say: (words) => { byId("kept").textContent = words; },
  trouble, unsaved: null,
};

// What could not be saved is said, and stays in its field until it is saved or given up.
function trouble(words, body = null, retry = null) {
  state.unsaved = words && body?.typed ? words : null;
  if (words) state.say("Not saved");
  byId("trouble").replaceChildren(...(words ? [h("p", {}, words,
    retry ? h("button", { type: "button", onclick: retry }, "Try again") : null,
    state.unsaved ? h("button", { type: "button", onclick: forget }, "Give it up") : null)] : []));
}

function rowNow() {
  if (state.at === ABOUT) return null;
  const rows = everyRow(state.view.rows);
  return rows.find((row) => state.id && row.id === state.id) ?? rows.find((row) => row.path === state.at) ?? null;
}

function choose(path, focus = "") {
  // A field whose words are not in the file yet is not left in silence.
  if (state.unsaved && path !== state.at) return byId("trouble").querySelector("button")?.focus();
  const row = everyRow(state.view.rows).find((one) => one.path === path);
  Object.assign(state, { at: path, id: row?.id ?? "" });
  history.replaceState(null, "", `#${state.name}${path === ABOUT ? `/${ABOUT}` : state.id ? `/${state.id}` : ""}`);
  draw();
  if (focus) document.querySelector(focus)?.focus();
  return null;
}

function chooseStep(id) {
  const row = steps(state.view.rows).find((one) => one.id === id);
  if (row) choose(row.path, "#list [aria-current]");
}

// Where a row stands, in words: the titles of what it stands in.
function within(row) {
  const outer = everyRow(state.view.rows).filter((one) => row.path.startsWith(`${one.path}/`));
  return outer.map((one) => `${saidOf(one)}: ${titleOf(one, state.words)}`).join(", ");
}

function draw() {
  const row = rowNow();
  if (row) state.at = row.path;
  drawVerdict();
  drawTools();
  drawList(byId("list"), state);
  drawMiddle(row);
  drawBeside(byId("beside"), state, row);
  document.title = `${state.view.head.title ?? state.name} - preview`;
}

// The form is left alone while it shows what the file holds: whoever types in it must not lose a letter.
function drawMiddle(row, force = false) {
  const form = byId("form");
  if (!state.view.readable) {
    state.formOf = "";
    return form.replaceChildren(broken());
  }
  const shown = JSON.stringify([state.name, row?.id ?? "", row ? row.word : ABOUT, sorted(row ? row.values : state.view.head), row?.title, row ? state.view.proposals[row.path] ?? 0 : 0, row?.id ? "" : row?.path]);
  if (!force && shown === state.formOf) {
    if (!state.unsaved) state.base = state.view.digest;
    return place(form, row);
  }
  const typing = state.unsaved || form.querySelector(".dirty");
  if (typing && !force && sameItem(shown)) return null;
  const held = form.contains(document.activeElement) ? [...form.querySelectorAll(FIELDS)].indexOf(document.activeElement) : -1;
  const open = sameItem(shown);
  Object.assign(state, { formOf: shown, base: state.view.digest });
  drawForm(form, state, row);
  if (held >= 0 && open) [...form.querySelectorAll(FIELDS)][held]?.focus();
  return null;
}

const FIELDS = "input, select, textarea, button";

function sameItem(shown) {
  return state.formOf && JSON.stringify(JSON.parse(state.formOf).slice(0, 3)) === JSON.stringify(JSON.parse(shown).slice(0, 3));
}

function place(form, row) {
  const head = form.querySelector("h1");
  if (row?.word === "step" && head) head.textContent = row.mark ? `Step ${row.mark}` : "Step";
}

function sorted(value) {
  if (Array.isArray(value)) return value.map(sorted);
  if (value && typeof value === "object") return Object.fromEntries(Object.keys(value).sort().map((key) => [key, sorted(value[key])]));
  return value;
}

function redraw(focus) {
  drawMiddle(rowNow(), true);
  if (focus) byId("form").querySelector(focus)?.focus();
}

function broken() {
  const one = state.view.findings[0];
  const first = Math.max(0, one.line - 4);
  return h("div", { class: "broken" }, h("h1", {}, "The file can't be read"),
    h("p", { class: "big" }, coded(one.message)), one.mend ? h("p", {}, h("b", {}, "To mend: "), coded(one.mend)) : null, h("p", {}, `${state.view.file}, line ${one.line}, column ${one.column}:`),
    h("pre", { tabindex: "0", "aria-label": "The lines around it" }, state.view.lines.slice(first, one.line + 2).map((text, at) => h("span", { class: first + at + 1 === one.line ? "here" : "" }, `${String(first + at + 1).padStart(4)}  ${text}\n`))),
    h("p", { class: "quiet" }, "The steps at the left and the verdict above are from the last version that could be read. Mend the line in your text editor; this page follows."));
}

function drawVerdict() {
  const { view } = state;
  const fine = view.fresh && !view.checking && !view.partial;
  const shown = view.verdicts.map((one) => h("div", { class: `told ${fine ? one.state : "old"}` },
    one.set ? h("p", { class: "quiet" }, one.set) : null, h("p", { class: "headline" }, one.headline), h("p", { class: "limits" }, one.limits),
    one.reasons.length ? h("ul", { class: "reasons" }, one.reasons.map((reason) => h("li", {}, `Not decided: ${reason.text}. `, reason.steps.map((id) => h("button", { type: "button", class: "light", onclick: () => chooseStep(id) }, `Go to step ${steps(view.rows).find((row) => row.id === id)?.mark ?? ""}`))))) : null,
    one.rules.length ? h("details", { open: state.opened.has("rules"), ontoggle: (event) => state.opened[event.target.open ? "add" : "delete"]("rules") },
      h("summary", {}, `${count(one.rules.length, "rule")} looked at; ${one.silent} more do not apply`), h("ul", {}, one.rules.map((rule) => h("li", {}, h("b", {}, rule.title), ` ${rule.words}`)))) : null));
  const now = view.trouble ? `The check itself failed (${view.trouble}). Nothing is decided.`
    : view.checking ? "The orders are being searched ..."
    : view.fresh && view.partial ? "Some of the unit's files could not be read, so this is not a full check. What is wrong with them stands at “The procedure as a whole”."
    : view.fresh ? ""
    : view.verdicts.length ? "Not checked as it stands; mend what is found. The verdict below is on the last version that could be checked." : "Not checked: mend what is found first.";
  byId("verdict").replaceChildren(h("p", { class: "now", role: "status" }, now), ...shown);
  if (!state.unsaved) state.say(fine ? `Checked in ${Math.max(view.seconds, 0.01).toFixed(2)} s` : view.checking ? "Checking ..." : "Not checked");
}

function drawTools() {
  const held = document.activeElement?.dataset?.tool;
  const { undo, redo } = state.view;
  const one = (name, label, what) => h("button", { type: "button", "data-tool": name, disabled: what === null || !state.view.readable, title: what ? `${label}: ${what}` : label, onclick: () => back(name) }, label);
  byId("tools").replaceChildren(one("undo", "Undo", undo), one("redo", "Redo", redo));
  if (held) byId("tools").querySelector(`[data-tool="${held}"]`)?.focus();
}

function back(verb) {
  return save(state, `${verb}/${state.name}`, { base: () => state.view.digest }, () => back(verb)).then((answer) => (answer ? load() : null));
}

// One key of one item. `raw`: the value is a text as the file has it.
function put(row, key, value, raw = false) {
  const at = (rows) => (row.id ? rows.find((one) => one.id === row.id)?.path : undefined) ?? row.path;
  const name = row.word === "step" ? `step ${row.mark || row.id}` : row.word ? saidOf(row).toLowerCase() : "the procedure";
  const send = (base) => save(state, `edit/${state.name}`, {
    base: () => base ?? state.base,
    get edit() {
      const here = at(everyRow(state.view.rows));
      return value === undefined || value === "" ? { sort: "take", at: here, key } : raw ? { sort: "put", at: here, key, yaml: value } : { sort: "put", at: here, key, value };
    },
    what: `${key} of ${name}`,
    typed: true,
    done: () => { if (!raw) remember(row, key, value); },
  }, async (digest) => { await load(); send(digest); });
  return send();
}

// What was just saved is what the form shows: it need not be drawn anew when the news comes back.
function remember(row, key, value) {
  if (!state.formOf) return;
  const shown = JSON.parse(state.formOf);
  if (shown[1] !== (row.id ?? "")) return;
  if (value === undefined || value === "") delete shown[3][key];
  else if (key === row.word || (row.word === "outcome" && key === "label")) shown[4] = value;
  else shown[3][key] = value;
  if (key === "say") shown[4] = value;
  shown[3] = sorted(shown[3]);
  state.formOf = JSON.stringify(shown);
}

function kept(answer, body) {
  state.saves += 1;
  state.view.digest = answer.digest;
  state.base = answer.digest;
  body.done?.(answer);
  state.trouble("");
  state.say(answer.what ? "Saved. Checking ..." : "Nothing to save.");
}

// The change is given up: the form shows the file again.
async function forget() {
  state.trouble("");
  state.formOf = "";
  await load();
}

function parent(path) {
  const cut = path.lastIndexOf("/");
  return [path.slice(0, cut), Number(path.slice(cut + 1))];
}

// Lists that a row could be moved to, with what they are called.
function places(row) {
  const [own] = parent(row.path);
  const rows = everyRow(state.view.rows);
  const lists = [["/body", "the top level"], ...rows.filter((one) => !`${one.path}/`.startsWith(`${row.path}/`)).flatMap((one) => one.lists.map((pointer) => [pointer, `${saidOf(one)}: ${titleOf(one, state.words)}`]))];
  return lists.filter(([pointer]) => pointer !== own);
}

function size(list) {
  return everyRow(state.view.rows).filter((one) => parent(one.path)[0] === list).length;
}

let acting = Promise.resolve();

// One after another: whoever presses a key twice means the place where the first press has led.
function act(name, row, to = "") {
  acting = acting.then(() => acted(name, freshest(row), to)).catch(() => state.trouble("The preview does not answer."));
  return acting;
}

// The row as the file has it now: the form may have been drawn before its place changed.
function freshest(row) {
  return (row.id && everyRow(state.view.rows).find((one) => one.id === row.id)) || row;
}

async function acted(name, row, to) {
  const [list, index] = parent(row.path);
  const who = row.values.who ?? (Array.isArray(state.view.head.people) ? state.view.head.people[0] : "");
  const step = { id: "+", who, say: "Say what is to be done." };
  const label = row.word === "step" ? `step ${row.mark || row.id}` : saidOf(row).toLowerCase();
  const edits = {
    up: { sort: "move", at: row.path, to: list, index: index - 1 },
    down: { sort: "move", at: row.path, to: list, index: index + 1 },
    to: { sort: "move", at: row.path, to, index: to ? size(to) : 0 },
    after: row.lists.length && row.word !== "step" ? { sort: "add", to: row.lists[0], index: size(row.lists[0]), item: step } : { sort: "add", to: list, index: index + 1, item: step },
    stage: stageBelow(row, step),
    delete: { sort: "delete", at: row.path },
    accept: { sort: "accept", at: row.path },
  };
  if ((name === "up" && index === 0) || (name === "down" && index + 1 >= size(list))) return state.say(name === "up" ? "It is the first already." : "It is the last already.");
  const words = { up: "moved", down: "moved", to: "moved", after: "a new step after", stage: "a new stage after", delete: "deleted", accept: "the proposed action of" };
  const answer = await save(state, `edit/${state.name}`, { base: () => state.view.digest, edit: edits[name], what: `${words[name]} ${label}` }, async () => { await load(); });
  if (!answer) return null;
  const minted = answer.minted?.at(-1);
  if (minted) state.id = minted;
  else if (name === "delete") Object.assign(state, { id: "", at: index ? `${list}/${index - 1}` : list.split("/").slice(0, -1).join("/") });
  else if (!row.id) state.at = edits[name].to ? `${edits[name].to}/${edits[name].index}` : row.path;
  await load();
  if (minted) byId("form").querySelector('[data-key="say"] textarea')?.select();
  else if (name === "delete") byId("list").querySelector("[aria-current]")?.focus();
  else byId("form").querySelector(`[data-act="${name}"]`)?.focus();
  return null;
}

// A new stage goes below the one that the row stands in.
function stageBelow(row, step) {
  const outer = row.word === "stage" ? row : everyRow(state.view.rows).filter((one) => one.word === "stage" && row.path.startsWith(`${one.path}/`)).at(-1);
  const [list, index] = parent((outer ?? row).path);
  return { sort: "add", to: list, index: index + 1, item: { stage: "New stage", steps: [step] } };
}

async function load() {
  const { name, saves } = state;
  const number = (state.asked += 1);
  const [found, words] = await Promise.all([get(`view/${name}`), get(`words/${name}`)]);
  if (name !== state.name || number < state.drawn) return null;
  // It may be of the time before a save that has gone through since; shown, it would make the next save a conflict.
  if (saves !== state.saves) return load();
  state.drawn = number;
  // A text that can't be read keeps the last lines that could.
  const kept = !found.readable && state.view?.name === name;
  if (kept) Object.assign(found, { rows: state.view.rows, head: state.view.head });
  Object.assign(state, { view: found, words: kept ? state.words : words });
  if (!state.at && !state.id) state.at = steps(found.rows)[0]?.path ?? ABOUT;
  if (state.id === ABOUT) Object.assign(state, { id: "", at: ABOUT });
  draw();
  return null;
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
    Object.assign(state, { name: which.value, at: "", id: "", view: null, formOf: "" });
    history.replaceState(null, "", `#${state.name}`);
    load();
  });
  if (state.name) await load();
  listen(all.news);
}

function listen(since) {
  let news = since;
  let stream = null;
  const away = (is) => document.body.classList.toggle("away", is);
  const open = () => {
    stream = new EventSource(`news?since=${news}`);
    stream.onmessage = (event) => { news = Number(event.data); away(false); load(); };
    stream.onerror = () => away(true);
    stream.onopen = () => away(false);
  };
  // A browser keeps few connections to one place: a page that nobody sees gives its own back.
  document.addEventListener("visibilitychange", () => {
    if (document.hidden) stream.close();
    else { open(); load(); }
  });
  open();
}

document.addEventListener("keydown", (event) => {
  const writing = event.target.matches?.("input[type=text], textarea");
  if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z" && !writing) {
    event.preventDefault();
    back(event.shiftKey ? "redo" : "undo");
  } else if (event.altKey && ["ArrowUp", "ArrowDown"].includes(event.key) && !event.target.matches?.("select") && rowNow()) {
    event.preventDefault();
    act(event.key === "ArrowUp" ? "up" : "down", rowNow());
  } else if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "s") {
    event.preventDefault();
    document.activeElement?.dispatchEvent(new Event("change"));
  } else ofStep(event, state);
});
window.addEventListener("beforeunload", (event) => { if (state.unsaved || document.querySelector(".dirty, .open.hint")) event.preventDefault(); });

begin();
