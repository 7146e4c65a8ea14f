// Actions and expectations: rows of a verb or a fact, its parts, and its options, as the vocabulary has them.

import { choice, partChoice, partList, text, typed } from "./fields.js";
import { h } from "./parts.js";

export function listOf(value) {
  return value === undefined || value === null ? [] : Array.isArray(value) ? value : [value];
}

function short(items) {
  return items.length === 0 ? undefined : items.length === 1 ? items[0] : items;
}

// Rows that are told as a whole once each of them is complete. A row is {value, ...}; `draw` gives its fields.
function rowsOf(value, set, { read, fresh, draw, whole, add, legend, typedSet }) {
  const place = h("fieldset", { class: "rows-of" });
  const items = listOf(value).map(read);
  if (items.some((item) => item === null)) {
    const made = typed(value, typedSet);
    made.setAttribute("aria-label", `${legend}, as the file has it`);
    place.append(h("legend", {}, legend), made, h("p", { class: "hint" }, "Written in a way that has no fields here; change it as it stands."));
    return place;
  }
  const tell = () => {
    const open = items.filter((item) => !whole(item));
    place.querySelector(".open")?.remove();
    tidy();
    if (open.length) place.append(h("p", { class: "open hint", role: "status" }, "Not saved yet: choose what is missing."));
    else set(short(items.map((item) => item.value)));
  };
  // A row that nobody has begun needs neither to be taken away nor another one below it.
  const tidy = () => {
    for (const made of place.querySelectorAll(".away")) made.hidden = items.length === 1 && !whole(items[0]);
    place.querySelector(".more").hidden = items.length > 0 && !whole(items.at(-1));
  };
  const reachable = () => [...place.querySelectorAll("select, input, textarea, button")];
  const again = (focus) => {
    const held = reachable().indexOf(document.activeElement);
    place.replaceChildren(...[h("legend", {}, legend), ...items.map((item, at) => h("div", { class: "one" },
      draw(item, (now, still) => { Object.assign(item, now); if (!still) again(); tell(); }, at),
      h("button", { type: "button", class: "light away", "aria-label": `Take ${legend.toLowerCase()} ${at + 1} away`, onclick: () => { items.splice(at, 1); again(".more"); tell(); } }, "Take away"))),
      h("button", { type: "button", class: "light more", onclick: () => { items.push(fresh()); again(".one:last-of-type select"); } }, items.length ? "And ..." : add)].filter(Boolean));
    tidy();
    if (focus) place.querySelector(focus)?.focus();
    else if (held >= 0) reachable()[Math.min(held, reachable().length - 1)]?.focus();
  };
  if (!items.length) items.push(fresh());
  again();
  return place;
}

// What is done.
export function actions(value, words, set, typedSet) {
  return rowsOf(value, set, {
    legend: "Done", add: "An action", typedSet,
    fresh: () => ({ verb: "", parts: [], options: {}, value: null }),
    read: (one) => readAction(one, words),
    whole: (item) => item.value !== null,
    draw: (item, now) => drawAction(item, words, (next, still) => { const made = { ...item, ...next }; now({ ...made, value: writeAction(made, words) }, still); }),
  });
}

function verbOf(name, words) {
  return words.verbs.find((one) => one.name === name);
}

function readAction(one, words) {
  if (!one || typeof one !== "object") return null;
  const verb = words.verbs.find((known) => known.name in one);
  if (!verb) return null;
  const options = Object.fromEntries(Object.entries(one).filter(([key]) => key !== verb.name));
  if (Object.keys(options).some((key) => !verb.options.some((option) => option.name === key))) return null;
  const said = one[verb.name];
  if (verb.arity === "none") return { verb: verb.name, parts: [], options: verb.own ? { ...options, [verb.own]: said } : options, value: one };
  const parts = listOf(said);
  return parts.every((part) => typeof part === "string") ? { verb: verb.name, parts, options, value: one } : null;
}

function writeAction(item, words) {
  const verb = verbOf(item.verb, words);
  if (!verb) return null;
  const options = Object.fromEntries(Object.entries(item.options).filter(([key, one]) => verb.options.some((option) => option.name === key) && one !== undefined && one !== ""));
  if (verb.options.some((option) => option.required && !(option.name in options))) return null;
  if (verb.arity === "none") {
    if (!verb.own) return { [verb.name]: true, ...options };
    const { [verb.own]: own, ...rest } = options;
    return own === undefined ? null : { [verb.name]: own, ...rest };
  }
  const need = verb.arity === "pair" ? 2 : 1;
  const parts = item.parts.filter(Boolean);
  if (parts.length < need) return null;
  return { [verb.name]: parts.length === 1 ? parts[0] : parts, ...options };
}

function drawAction(item, words, now) {
  const verb = verbOf(item.verb, words);
  const pick = choice(item.verb, words.verbs.map((one) => [one.name, one.name.replaceAll("-", " ")]), (name) => {
    const next = verbOf(name, words);
    const fits = (id) => next && next.kinds.some((kinds) => !kinds.length || kinds.includes(words.parts.find((part) => part.id === id)?.kind));
    now({ verb: name ?? "", parts: item.parts.filter(fits) });
  }, "Choose what is done");
  pick.setAttribute("aria-label", "What is done");
  const parts = !verb || verb.arity === "none" ? null
    : verb.arity === "pair" ? [0, 1].map((at) => {
      const made = partChoice(words, verb.kinds[at] ?? [], item.parts[at], (id) => now({ parts: at ? [item.parts[0], id] : [id, item.parts[1]] }), at ? "and ..." : "Choose a part");
      made.setAttribute("aria-label", at ? "Second part" : "First part");
      return made;
    })
    : partList(words, verb.kinds[0] ?? [], item.parts, (next) => now({ parts: next }), verb.name);
  const options = (verb?.options ?? []).map((option) => optionField(option, item.options[option.name], words, (value) => now({ options: { ...item.options, [option.name]: value } }, true)));
  return [h("span", { class: "what" }, pick, parts), verb && options.length ? h("span", { class: "options" }, options) : null, verb ? h("p", { class: "hint" }, verb.summary) : null];
}

function optionField(option, value, words, set) {
  if (option.takes === "flag") {
    const box = h("input", { type: "checkbox", checked: value === true, onchange: () => set(box.checked ? true : undefined) });
    return h("label", { class: "tick", title: option.summary }, box, h("span", {}, option.name.replaceAll("-", " ")));
  }
  const made = option.takes === "word" && option.choices.length
    ? choice(value, option.choices.map((one) => [one, one]), set, option.required ? "Choose" : "–")
    : text(value === undefined ? "" : String(value), set, { example: option.takes === "time" ? "30 s" : option.takes === "speed" ? "2000 rpm" : "", list: "figures" });
  return h("label", { class: "option", title: option.summary }, h("span", {}, option.name.replaceAll("-", " ")), made);
}

// What must be so. `only`: facts alone, as where a procedure ends.
export function expectations(value, words, set, typedSet, { legend = "Must be so", only = false } = {}) {
  return rowsOf(value, set, {
    legend, add: "What must be so", typedSet,
    fresh: () => ({ sort: "", no: false, args: [], value: null }),
    read: (one) => readExpected(one, words),
    whole: (item) => item.value !== null,
    draw: (item, now) => drawExpected(item, words, only, (next, still) => { const made = { ...item, ...next }; now({ ...made, value: writeExpected(made, words) }, still); }),
  });
}

function readExpected(one, words) {
  if (!one || typeof one !== "object") return null;
  const keys = Object.keys(one);
  if (keys.length === 1 && keys[0] === "see") return { sort: "see", no: false, args: [one.see], value: one };
  if (keys.includes("reading") && keys.every((key) => ["reading", "at-least", "at-most"].includes(key))) return { sort: "reading", no: false, args: [one.reading, one["at-least"], one["at-most"]], value: one };
  if (keys.length === 1 && keys[0] === "not") {
    const inner = readExpected(one.not, words);
    return inner && !inner.no && inner.sort !== "see" ? { ...inner, no: true, value: one } : null;
  }
  const fact = keys.length === 1 ? words.facts.find((known) => known.name === keys[0]) : null;
  if (!fact) return null;
  const args = fact.args.length ? listOf(one[fact.name]) : [];
  return args.every((arg) => typeof arg === "string") ? { sort: fact.name, no: false, args, value: one } : null;
}

function writeExpected(item, words) {
  if (item.sort === "see") return item.args[0] ? { see: item.args[0] } : null;
  if (item.sort === "reading") {
    const [part, least, most] = item.args;
    return part && (least || most) ? { reading: part, ...(least ? { "at-least": least } : {}), ...(most ? { "at-most": most } : {}) } : null;
  }
  const fact = words.facts.find((known) => known.name === item.sort);
  const args = item.args.filter(Boolean);
  if (!fact || args.length < fact.args.length) return null;
  const made = { [fact.name]: fact.args.length ? (args.length === 1 ? args[0] : args) : true };
  return item.no ? { not: made } : made;
}

function drawExpected(item, words, only, now) {
  const fact = words.facts.find((known) => known.name === item.sort);
  const own = only ? [] : [["see", "seen, heard or felt:"], ["reading", "a reading:"]];
  const pick = choice(item.sort, [...own, ...words.facts.map((one) => [one.name, one.name.replaceAll("-", " ")])], (name) => now({ sort: name ?? "", args: [], no: false }), "Choose");
  pick.setAttribute("aria-label", "What must be so");
  const set = (at, value) => { const args = [...item.args]; args[at] = value; now({ args }, true); };
  let fields = null;
  if (item.sort === "see") fields = named(text(item.args[0], (value) => set(0, value), { rows: 2 }), "What is seen, heard or felt");
  else if (item.sort === "reading") {
    fields = [named(partChoice(words, [], item.args[0], (id) => set(0, id), "Choose a part"), "Read at"),
      h("label", { class: "option" }, h("span", {}, "at least"), text(item.args[1], (value) => set(1, value), { example: "150 bar", list: "figures" })),
      h("label", { class: "option" }, h("span", {}, "at most"), text(item.args[2], (value) => set(2, value), { list: "figures" }))];
  } else if (fact && fact.args.length === 1 && !fact.args[0].choices.length) fields = partList(words, fact.args[0].kinds, item.args, (args) => now({ args }), fact.name);
  else if (fact) fields = fact.args.map((arg, at) => named(arg.choices.length ? choice(item.args[at], arg.choices.map((one) => [one, one.replaceAll("-", " ")]), (value) => set(at, value), "Choose") : partChoice(words, arg.kinds, item.args[at], (id) => set(at, id), "Choose a part"), arg.name));
  const not = fact ? h("label", { class: "tick" }, (() => { const box = h("input", { type: "checkbox", checked: item.no, onchange: () => now({ no: box.checked }) }); return box; })(), h("span", {}, "must not be so")) : null;
  return [h("span", { class: "what" }, pick, fields), fact ? h("div", { class: "under" }, not, h("p", { class: "hint" }, `${fact.summary} Told by ${fact.observed.join(", ")}.`)) : null];
}

function named(made, label) {
  made.setAttribute("aria-label", label);
  return made;
}
