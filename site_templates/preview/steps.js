// The list of steps at the left: groups as headings, a step per button, and a sign at each that has findings.

import { count, h, spoken } from "./parts.js";

const SAID = {
  stage: "Stage", "any-order": "In any order", lanes: "Side by side", lane: "Lane", choose: "Question", outcome: "Answer",
  repeat: "Repeat", hold: "Hold", meet: "Meet", "for-each": "For each", "if-rig": "If the set has it",
};

export function everyRow(rows) {
  return rows.flatMap((row) => [row, ...everyRow(row.rows)]);
}

export function steps(rows) {
  return everyRow(rows).filter((row) => row.word === "step");
}

export function titleOf(row, words) {
  if (row.word === "lane") return words.roles.find((one) => one.id === row.title)?.label ?? row.title;
  return row.title;
}

export function saidOf(row) {
  return SAID[row.word] ?? row.word;
}

export function drawList(list, state) {
  const held = document.activeElement?.closest?.("#list [data-path]")?.dataset.path;
  const top = list.scrollTop;
  list.replaceChildren(about(state), rowsOf(state.view.rows, state));
  list.scrollTop = top;
  const now = list.querySelector("[aria-current]");
  if (now && state.shownAt !== state.at) {
    const high = list.clientHeight;
    const y = now.getBoundingClientRect().top - list.getBoundingClientRect().top + list.scrollTop;
    if (y < list.scrollTop || y + now.offsetHeight > list.scrollTop + high) list.scrollTop = y - high / 3;
  }
  state.shownAt = state.at;
  if (held) list.querySelector(`[data-path="${CSS.escape(held)}"]`)?.focus({ preventScroll: true });
}

// The procedure itself stands above its steps.
function about(state) {
  const found = state.view.findings.filter((finding) => !finding.at).length;
  const chosen = state.at === "about";
  return h("button", { type: "button", class: "group about", "data-path": "about", tabindex: chosen ? "0" : "-1", "aria-current": chosen ? "true" : false, onclick: () => state.choose("about") },
    h("span", { class: "kind" }, "Title, people, start and end"), h("span", { class: "say" }, "The procedure as a whole"), sign(found));
}

function sign(found) {
  return found ? h("span", { class: "sign" }, h("span", { "aria-hidden": "true" }, String(found)), h("span", { class: "unseen" }, ` ${count(found, "finding")}`)) : null;
}

// Arrow keys go through the list; only what is chosen is a stop of the Tab key, so that the form is one stop away.
export function ofStep(event, state) {
  const at = event.target.closest?.("#list button");
  if (!at || event.altKey || event.ctrlKey || event.metaKey) return;
  const all = [...document.querySelectorAll("#list button")];
  const to = { ArrowDown: all.indexOf(at) + 1, ArrowUp: all.indexOf(at) - 1, Home: 0, End: all.length - 1 }[event.key];
  if (to === undefined || !all[to]) return;
  event.preventDefault();
  const { path } = all[to].dataset;
  state.choose(path, `#list [data-path="${CSS.escape(path)}"]`);
}

function rowsOf(rows, state) {
  return h("ol", { class: "rows" }, rows.map((row) => h("li", { class: `row ${row.word}` }, one(row, state), row.rows.length ? rowsOf(row.rows, state) : null)));
}

function one(row, state) {
  const bad = sign(state.view.findings.filter((finding) => finding.at === row.path).length);
  const chosen = state.at === row.path;
  const choose = { type: "button", "data-path": row.path, tabindex: chosen ? "0" : "-1", "aria-current": chosen ? "true" : false, onclick: () => state.choose(row.path) };
  if (row.word !== "step") return h("button", { ...choose, class: "group" }, h("span", { class: "kind" }, saidOf(row)), h("span", { class: "say" }, spoken(titleOf(row, state.words), state.words)), bad);
  const who = state.words.roles.find((role) => role.id === row.values.who);
  const body = h("span", { class: "say" }, row.title ? spoken(row.title, state.words) : h("i", {}, "No words yet"));
  const bare = ["do", "at-once", "expect"].some((key) => key in row.values) ? null : h("span", { class: "wording" }, state.view.proposals[row.path] ? "action proposed" : "wording only");
  return h("button", choose, h("span", { class: "mark" }, row.mark || "·"), body, h("span", { class: "who" }, who ? who.label : row.values.who ?? "", bare), bad);
}
