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
  list.replaceChildren(rowsOf(state.view.rows, state));
  list.scrollTop = top;
  const now = list.querySelector("[aria-current]");
  if (now && state.shownAt !== state.at) now.scrollIntoView({ block: "nearest" });
  state.shownAt = state.at;
  if (held) list.querySelector(`[data-path="${CSS.escape(held)}"]`)?.focus({ preventScroll: true });
}

function rowsOf(rows, state) {
  return h("ol", { class: "rows" }, rows.map((row) => h("li", { class: `row ${row.word}` }, one(row, state), row.rows.length ? rowsOf(row.rows, state) : null)));
}

function one(row, state) {
  const found = state.view.findings.filter((finding) => finding.at === row.path);
  const bad = found.length ? h("span", { class: "sign", title: count(found.length, "finding") }, h("span", { class: "unseen" }, `${count(found.length, "finding")}: `), String(found.length)) : null;
  const chosen = state.at === row.path;
  const choose = { type: "button", "data-path": row.path, "aria-current": chosen ? "true" : false, onclick: () => state.choose(row.path) };
  if (row.word === "step") {
    const who = state.words.roles.find((role) => role.id === row.values.who);
    const body = h("span", { class: "say" }, row.title ? spoken(row.title, state.words) : h("i", {}, "No words yet"));
    const does = ["do", "at-once", "expect"].some((key) => key in row.values) ? null : h("span", { class: "wording" }, "wording only");
    return h("button", choose, h("span", { class: "mark" }, row.mark || "·"), body, h("span", { class: "who" }, who ? who.label : row.values.who ?? "", does), bad);
  }
  return h("button", { ...choose, class: "group" }, h("span", { class: "kind" }, saidOf(row)), h("span", { class: "say" }, spoken(titleOf(row, state.words), state.words)), bad);
}
