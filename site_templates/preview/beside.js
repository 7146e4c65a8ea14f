// What stands at the right: the findings at this step with their mends, and the circuit as it is then.

import { coded, count, h } from "./parts.js";

export function drawBeside(place, state, row) {
  const { view } = state;
  const here = view.findings.filter((finding) => finding.at === (row ? row.path : ""));
  const apart = view.findings.length - here.length;
  place.replaceChildren(...[
    h("section", { class: "found", "aria-live": "polite" },
      h("h2", {}, !row ? "About the whole procedure" : row.word === "step" ? "Found at this step" : "Found at this part"),
      here.length ? here.map((one) => finding(one, state)) : h("p", { class: "quiet" }, nothing(view)),
      apart ? h("p", { class: "quiet" }, `${count(apart, "finding")} elsewhere; the list shows where.`) : null),
    circuit(state, row)].filter(Boolean));
}

function nothing(view) {
  if (view.checking) return "Nothing yet; the orders are being searched.";
  if (!view.fresh) return "Nothing in the text. The order could not be checked as it stands.";
  return "Nothing found here.";
}

function finding(one, state) {
  return h("article", { class: `finding ${one.severity}${one.old ? " old" : ""}` },
    h("p", { class: "signal" }, h("b", {}, one.signal), one.set ? h("span", {}, one.set) : null, h("span", {}, one.old ? "in the last version that was checked" : one.line ? (one.file === state.view.file ? `line ${one.line}` : `${one.file.split("/").at(-1)}, line ${one.line}`) : "")),
    h("p", { class: "message" }, coded(one.message)),
    one.mend ? h("p", { class: "mend" }, h("b", {}, "To mend: "), coded(one.mend)) : null,
    one.waived ? h("p", {}, `Waived by ${one.waived}`) : null,
    one.related.map((text) => h("p", { class: "quiet" }, coded(text))),
    one.trace ? trace(one, state) : null);
}

function trace(one, state) {
  const signs = { trap: "TRAP", spring: "SPRING", "trap and spring": "SPRING" };
  const lines = one.trace.lines.map((line) =>
    h("li", { class: line.sign.split(" ").at(-1) },
      h("p", {}, signs[line.sign] ? h("b", { class: "tag" }, signs[line.sign]) : null,
        line.mark ? `Step ${line.mark}: ` : "", `${line.who} ${line.does}`),
      line.changes.map((change) => h("p", { class: "quiet" }, change))));
  const picture = one.moment ? h("img", { class: "drawn", src: `drawn/${state.name}/${state.view.shown}/${one.moment}`, alt: `The circuit at that moment. ${one.trace.circuit.join(". ")}` }) : null;
  return h("details", { open: state.opened.has(one.message), ontoggle: (event) => state.opened[event.target.open ? "add" : "delete"](one.message) },
    h("summary", {}, one.trace.lines.length ? "The order that leads there" : "How it comes"),
    h("p", {}, one.trace.heading), h("ol", { class: "trace" }, lines),
    one.trace.circuit.length ? [h("p", {}, "The circuit at that moment:"), h("ul", { class: "moment" }, one.trace.circuit.map((text) => h("li", {}, text)))] : null,
    picture);
}

function circuit(state, row) {
  const { view } = state;
  if (!row || row.word !== "step") return null;
  const drawn = row.drawn;
  const old = view.shown && !view.fresh ? h("p", { class: "quiet" }, view.checking ? "Being worked out anew." : "As it was in the last version that could be checked.") : null;
  return h("section", { class: "circuit" }, h("h2", {}, "The circuit after this step"), old,
    drawn ? [row.changes.length ? h("ul", { class: "changes" }, row.changes.map((text) => h("li", {}, text))) : h("p", { class: "quiet" }, "Nothing changes in the circuit."),
      h("img", { class: "drawn", src: `drawn/${state.name}/${view.shown}/${drawn}`, alt: `The circuit after this step. ${row.changes.join(". ") || "Unchanged."}` })]
      : h("p", { class: "quiet" }, "It is drawn once the order can be checked: when steps say what is done, and the procedure from which state it starts."));
}
