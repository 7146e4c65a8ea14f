// The form of whatever is chosen in the list: a step, a hold, a group, or the procedure itself.

import { choice, labelled, text, ticks, typed, wording } from "./fields.js";
import { h } from "./parts.js";
import { actions, expectations, listOf } from "./rows.js";
import { saidOf } from "./steps.js";

const LABELS = {
  who: "Who", say: "Read aloud", do: "Done", expect: "Must be so", "if-not": "If it is not so", confirm: "Confirmed by", why: "Why",
  warn: "Warning", takes: "Takes", missed: "If the time is missed", optional: "May be left out", after: "After these steps", "at-once": "Done at once",
};
const QUIET = ["expect", "if-not", "confirm", "why", "warn", "takes", "missed", "optional", "after"];
const ASK = { expect: "what must be so", "if-not": "what if not", confirm: "a second person", why: "the reason", warn: "a warning", takes: "how long", missed: "if the time is missed", optional: "may be left out", after: "an order" };

// `state.put(row, key, value)` saves; `state.act(name, row)` does what the buttons say.
export function drawForm(place, state, row) {
  const fields = row === null ? aboutFields(state) : row.word === "step" ? stepFields(state, row) : otherFields(state, row);
  place.replaceChildren(h("datalist", { id: "figures" }, state.words.numbers.map((one) => h("option", { value: one.id }, `${one.value} ${one.note}`))), ...fields.filter(Boolean));
}

function roles(state) {
  const people = listOf(state.view.head.people);
  const known = [...state.words.roles].sort((a, b) => people.includes(b.id) - people.includes(a.id));
  return known.map((role) => [role.id, role.label]);
}

function tools(state, row, what) {
  const made = (name, label, title) => h("button", { type: "button", class: "tool", "data-act": name, title, onclick: () => state.act(name, row) }, label);
  const to = state.places(row);
  const moved = to.length ? h("select", { class: "tool", "aria-label": `Move ${what} to`, onchange: (event) => { if (event.target.value) state.act("to", row, event.target.value); } },
    h("option", { value: "" }, "Move to ..."), to.map(([pointer, title]) => h("option", { value: pointer }, title))) : null;
  const movable = !["lane", "outcome"].includes(row.word);
  return h("div", { class: "acts", role: "group", "aria-label": `Change the place of ${what}` },
    made("up", "Up", "Alt and arrow up"), made("down", "Down", "Alt and arrow down"), movable ? moved : null,
    movable ? made("after", "New step", "A new step below this one") : null, row.word === "stage" || row.word === "step" ? made("stage", "New stage", "A new stage below this one") : null, made("delete", "Delete", "With its comments; Undo brings it back"));
}

function stepFields(state, row) {
  const { values } = row;
  const put = (key) => (value) => state.put(row, key, value);
  const shown = (key) => key in values || state.added.has(`${row.id} ${key}`);
  const missing = QUIET.filter((key) => !shown(key));
  const add = (key) => { state.added.add(`${row.id} ${key}`); state.redraw(`[data-key="${key}"] :is(input,select,textarea)`); };
  const field = (key, made) => (shown(key) ? h("div", { "data-key": key }, made()) : null);
  const said = wording(values.say, state.words, put("say"));
  const proposal = state.view.proposals[row.path];
  return [
    h("header", { class: "head" }, h("h1", {}, row.mark ? `Step ${row.mark}` : "Step"), h("p", { class: "quiet" }, state.within(row))),
    tools(state, row, "this step"),
    proposal ? h("div", { class: "proposal" }, h("p", {}, "The words seem to mean: ", h("b", {}, listOf(proposal.do).map((one) => meaning(one, state.words)).join(", then "))),
      h("button", { type: "button", class: "main", onclick: () => state.act("accept", row) }, "Yes, that is done"), h("p", { class: "hint" }, "Or choose below what is done. Nothing is taken over unasked.")) : null,
    h("div", { "data-key": "who" }, labelled(LABELS.who, choice(values.who, roles(state), put("who")))),
    h("div", { "data-key": "say" }, labelled(LABELS.say, said.made, null, said.beside)),
    "at-once" in values ? raw(state, row, "at-once") : h("div", { "data-key": "do" }, actions(values.do, state.words, put("do"), (yaml) => state.put(row, "do", yaml, true))),
    field("expect", () => expectations(values.expect, state.words, put("expect"), (yaml) => state.put(row, "expect", yaml, true))),
    field("if-not", () => otherwise(state, values["if-not"], put("if-not"))),
    field("confirm", () => labelled(LABELS.confirm, choice(values.confirm, roles(state).filter(([id]) => id !== values.who), put("confirm"), "nobody"))),
    field("why", () => labelled(LABELS.why, text(values.why, put("why"), { rows: 2 }))),
    field("warn", () => warning(state, row, put("warn"))),
    field("takes", () => labelled(LABELS.takes, text(values.takes, put("takes"), { example: "30 s .. 2 min" }), "A time, or the shortest and the longest with two dots between: 30 s .. 2 min")),
    field("missed", () => labelled(LABELS.missed, text(values.missed, put("missed"), { rows: 2 }))),
    field("optional", () => flag(LABELS.optional, values.optional, put("optional"))),
    field("after", () => raw(state, row, "after")),
    missing.length ? h("div", { class: "adds", role: "group", "aria-label": "Add to this step" }, h("span", { class: "quiet" }, "Add:"), missing.map((key) => h("button", { type: "button", class: "light", onclick: () => add(key) }, ASK[key]))) : null,
    h("p", { class: "hint" }, `Id ${row.id}, line ${row.line} of ${state.view.file}.`),
  ];
}

// An action in words: "gas off: sweep gas".
function meaning(one, words) {
  const label = (id) => words.parts.find((part) => part.id === id)?.label ?? id;
  const [verb, parts] = Object.entries(one)[0];
  const options = Object.entries(one).slice(1).map(([key, value]) => `, ${key} ${value}`);
  return `${verb.replaceAll("-", " ")}: ${listOf(parts).map((part) => label(String(part))).join(", ")}${options.join("")}`;
}

function flag(label, value, set) {
  const box = h("input", { type: "checkbox", checked: value === true, onchange: () => set(box.checked ? true : undefined) });
  return h("p", { class: "field" }, h("label", { class: "tick" }, box, h("span", {}, label)));
}

function raw(state, row, key) {
  const at = row ?? { path: "", values: state.view.head };
  return labelled(LABELS[key] ?? key, typed(at.values[key], (yaml) => state.put(at, key, yaml, true)), "As the file has it.");
}

function otherwise(state, value, set) {
  const to = value && typeof value === "object";
  const sort = to ? ("card" in value ? "card" : "step") : "words";
  const draw = (now) => {
    const field = now === "words" ? text(to ? "" : value, set, { rows: 2 })
      : now === "card" ? choice(to ? value.card : "", state.words.cards.map((one) => [one.id, one.title]), (card) => card && set({ card }), "Choose a card")
      : choice(to ? value.step : "", state.steps().map((one) => [one.id, `${one.mark} ${one.title}`]), (step) => step && set({ step }), "Choose a step");
    field.setAttribute("aria-label", "If it is not so");
    return field;
  };
  const place = h("span", { class: "grow" }, draw(sort));
  const pick = choice(sort, [["words", "do this:"], ["step", "go to step"], ["card", "take card"]], (now) => { place.replaceChildren(draw(now)); });
  pick.setAttribute("aria-label", "If it is not so: what sort of way out");
  return h("fieldset", { class: "rows-of" }, h("legend", {}, LABELS["if-not"]), h("div", { class: "one" }, h("span", { class: "what" }, pick, place)));
}

function warning(state, row, set) {
  const held = listOf(row.values.warn);
  if (held.length > 1) return raw(state, row, "warn");
  const now = { severity: "serious", ...(held[0] ?? {}) };
  const given = held[0] ?? {};
  const tell = (key) => (value) => {
    now[key] = value;
    if (now.hazard && now.consequence && now.avoidance) set(Object.fromEntries(["hazard", "consequence", "avoidance", "severity"].filter((one) => now[one] && (one !== "severity" || one in given || key === "severity")).map((one) => [one, now[one]])));
  };
  return h("fieldset", { class: "rows-of" }, h("legend", {}, LABELS.warn),
    labelled("The hazard", text(now.hazard, tell("hazard"))), labelled("What it leads to", text(now.consequence, tell("consequence"))), labelled("How it is avoided", text(now.avoidance, tell("avoidance"))),
    labelled("How bad", choice(now.severity, [["fatal", "fatal"], ["serious", "serious"], ["minor", "minor"]], tell("severity"))),
    h("p", { class: "hint" }, "Saved once all three are there."),
    held.length ? h("button", { type: "button", class: "light", onclick: () => set(undefined) }, "Take the warning away") : null);
}

function otherFields(state, row) {
  const { values } = row;
  const put = (key) => (value) => state.put(row, key, value);
  const title = { stage: "Title", "any-order": "Title", lanes: "Title", repeat: "Title", hold: "Held until", choose: "Question", meet: "Name", outcome: "Answer" }[row.word];
  const key = row.word === "outcome" ? "label" : row.word;
  const done = ["id", key, "who"];
  const made = [
    h("header", { class: "head" }, h("h1", {}, saidOf(row)), h("p", { class: "quiet" }, state.within(row))), tools(state, row, "this part"),
    title ? labelled(title, text(row.title, put(key), { rows: 1, empty: false })) : row.word === "lane" ? labelled("Whose lane", choice(row.title, roles(state), put("lane"))) : null,
    "who" in values || row.word === "choose" ? labelled(LABELS.who, choice(values.who, roles(state), put("who"))) : null,
  ];
  if (row.word === "hold") {
    done.push("until", "agree", "abort");
    made.push(expectations(values.until, state.words, put("until"), (yaml) => state.put(row, "until", yaml, true), { legend: "Must be so" }),
      ticks(listOf(values.agree), roles(state), put("agree"), "Who agrees"), labelled("If it can't be", text(values.abort, put("abort"), { rows: 2, empty: false })));
  }
  const rest = Object.keys(values).filter((one) => !done.includes(one));
  return [...made, ...rest.map((one) => raw(state, row, one))];
}

function aboutFields(state) {
  const { head } = state.view;
  const row = { path: "", id: "", values: head };
  const put = (key) => (value) => state.put(row, key, value);
  const starts = head.starts ?? {};
  const from = typeof starts.from === "object" && starts.from ? `after ${starts.from.procedure}` : starts.from ?? "";
  const begin = (value) => state.put(row, "starts", { ...starts, from: value.startsWith("after ") ? { procedure: value.slice(6) } : value });
  const others = state.words.cards.filter((one) => one.id !== head.procedure);
  return [
    h("header", { class: "head" }, h("h1", {}, "The procedure as a whole"), h("p", { class: "quiet" }, state.words.rig ? `Written for: ${state.words.rig}` : "")),
    labelled("Title", text(head.title, put("title"), { empty: false })),
    labelled("Taken when", text(head["use-when"], put("use-when"), { rows: 2 })),
    labelled("Not taken when", text(head["do-not-use-when"], put("do-not-use-when"), { rows: 2 })),
    ticks(listOf(head.people), state.words.roles.map((role) => [role.id, role.label]), put("people"), "People"),
    labelled("Starts from", h("select", { onchange: (event) => event.target.value && begin(event.target.value) }, h("option", { value: "" }, "not said yet"),
      h("optgroup", { label: "A state of the set" }, state.words.baselines.map((one) => h("option", { value: one, selected: one === from }, one.replaceAll("-", " ")))),
      h("optgroup", { label: "The end of another procedure" }, others.map((one) => h("option", { value: `after ${one.id}`, selected: `after ${one.id}` === from }, one.title)))),
      "The order can be checked once this is said, and steps say what is done."),
    Object.keys(starts).some((key) => key !== "from") ? raw(state, null, "starts") : null,
    expectations(head.ends, state.words, (value) => state.put(row, "ends", value === undefined ? undefined : listOf(value)), (yaml) => state.put(row, "ends", yaml, true), { legend: "Must be so at the end", only: true }),
    labelled("Said when done", text(head["done-call"], put("done-call"))),
    h("p", { class: "hint" }, `${state.view.file}, version ${head.version ?? "?"}.`),
  ];
}
