// Single fields: a text, a choice, a few roles, and a value typed as the file has it. Each tells what it holds by `set`.

import { h, spoken } from "./parts.js";

const IDLE = 2500;
let last = 0;

export function freshId() {
  last += 1;
  return `f${last}`;
}

// A label, the field, and a hint below it that the field is described by.
export function labelled(label, made, hint = null, beside = null) {
  const id = freshId();
  made.id = id;
  const told = hint ? h("p", { class: "hint", id: `${id}-hint` }, hint) : null;
  if (told) made.setAttribute("aria-describedby", `${id}-hint`);
  return h("div", { class: "field" }, h("label", { for: id }, label), made, told, beside);
}

// Saved when it is left, at Enter, or once nobody has typed for a while.
export function text(value, set, { rows = 1, example = "", list = "", empty = true } = {}) {
  let held = value ?? "";
  let timer = 0;
  const give = () => {
    clearTimeout(timer);
    const now = made.value.replace(/\s+/g, " ").trim();
    made.classList.remove("dirty");
    if (now === held) return;
    if (!now && !empty) { made.value = held; return; }
    held = now;
    set(now || undefined);
  };
  const made = h(rows > 1 ? "textarea" : "input", {
    ...(rows > 1 ? { rows } : { type: "text" }), value: held, placeholder: example, list: list || null, autocomplete: "off", spellcheck: "true",
    onchange: give,
    oninput: () => { made.classList.add("dirty"); clearTimeout(timer); timer = setTimeout(give, IDLE); },
    onkeydown: (event) => { if (event.key === "Enter" && !event.shiftKey) { event.preventDefault(); give(); } },
  });
  return made;
}

export function choice(value, options, set, none = null) {
  const known = options.some(([name]) => name === value);
  const made = h("select", { onchange: () => set(made.value || undefined) },
    none === null ? null : h("option", { value: "" }, none),
    known || !value ? null : h("option", { value }, `${value} (not known)`),
    options.map(([name, label]) => h("option", { value: name }, label)));
  made.value = value ?? "";
  return made;
}

// Parts of some kinds, by kind; the label first, as people call it.
export function partChoice(words, kinds, value, set, none) {
  const fit = words.parts.filter((part) => !kinds.length || kinds.includes(part.kind));
  const groups = [...new Set(fit.map((part) => part.kind))];
  const made = h("select", { onchange: () => set(made.value || undefined) }, h("option", { value: "" }, none),
    value && !fit.some((part) => part.id === value) ? h("option", { value }, `${value} (does not fit)`) : null,
    groups.map((kind) => h("optgroup", { label: kind }, fit.filter((part) => part.kind === kind).map((part) => h("option", { value: part.id }, part.label)))));
  made.value = value ?? "";
  return made;
}

// Several parts: one to a line of buttons, each to be taken away, and a choice that adds another.
export function partList(words, kinds, values, set, name) {
  const label = (id) => words.parts.find((part) => part.id === id)?.label ?? id;
  const add = partChoice(words, kinds, "", (id) => { if (id) set([...values, id]); }, values.length ? "and ..." : "Choose a part");
  add.setAttribute("aria-label", values.length ? `${name}: another part` : `${name}: part`);
  return h("span", { class: "chips" }, values.map((id) =>
    h("button", { type: "button", class: "chip", "aria-label": `Take ${label(id)} away`, onclick: () => set(values.filter((one) => one !== id)) }, label(id), h("span", { "aria-hidden": "true" }, " ×"))), add);
}

export function ticks(values, options, set, legend) {
  return h("fieldset", { class: "ticks" }, h("legend", {}, legend), options.map(([name, label]) => {
    const box = h("input", { type: "checkbox", checked: values.includes(name), onchange: () => set(options.map(([one]) => one).filter((one) => (one === name ? box.checked : values.includes(one)))) });
    return h("label", { class: "tick" }, box, h("span", {}, label));
  }));
}

// As the file has it: for what the form has no fields for.
export function typed(value, set) {
  const shown = value === undefined ? "" : flow(value);
  const made = h("textarea", { rows: Math.min(6, 1 + Math.ceil(shown.length / 70)), value: shown, class: "typed", spellcheck: "false",
    oninput: () => made.classList.add("dirty"),
    onchange: () => { made.classList.remove("dirty"); if (made.value.trim() !== shown) set(made.value.trim()); } });
  return made;
}

export function flow(value) {
  if (Array.isArray(value)) return `[${value.map(flow).join(", ")}]`;
  if (value && typeof value === "object") return `{${Object.entries(value).map(([key, one]) => `${key}: ${flow(one)}`).join(", ")}}`;
  return typeof value === "string" && !/^[A-Za-z][\w -]*(\.[\w -]+)*$/.test(value) ? JSON.stringify(value) : String(value);
}

// The words of a step, with the parts of the set to be put in, and what is read aloud below.
export function wording(value, words, set) {
  const heard = h("p", { class: "heard" });
  const made = text(value, set, { rows: 2, empty: false });
  const hear = () => heard.replaceChildren(h("span", { class: "unseen" }, "Read aloud: "), ...spoken(made.value, words));
  made.addEventListener("input", hear);
  hear();
  const put = partChoice(words, [], "", (id) => {
    if (!id) return;
    const at = made.selectionStart ?? made.value.length;
    made.setRangeText(`{${id}}`, at, made.selectionEnd ?? at, "end");
    put.value = "";
    made.focus();
    made.dispatchEvent(new Event("input"));
  }, "Put in a part ...");
  put.setAttribute("aria-label", "Put a part into the words");
  put.classList.add("put-in");
  return { made, beside: h("div", { class: "below" }, heard, put) };
}
