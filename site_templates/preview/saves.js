// Saves, one after another; and what is shown when the file was changed elsewhere in the meantime.

import { h, post } from "./parts.js";

let queue = Promise.resolve();

// Sends one edit for the version it was made on. `again` makes the same edit for a newer version.
export function save(state, path, body, again) {
  const run = async () => {
    state.say("Saving ...");
    let answer;
    try {
      answer = await post(path, { base: body.base(), edit: body.edit, what: body.what });
    } catch {
      state.trouble("Not saved: the preview does not answer. What you typed is still in the field.", body, () => save(state, path, body, again));
      return null;
    }
    if (answer.status === 200) {
      state.kept(answer, body);
      return answer;
    }
    if (answer.status === 409) return conflict(state, answer, again);
    state.trouble(`Not saved. ${answer.why} ${answer.mend ?? ""}`, body);
    return null;
  };
  queue = queue.then(run, run);
  return queue;
}

function conflict(state, answer, again) {
  return new Promise((settle) => {
    const end = (value) => { dialog.close(); dialog.remove(); settle(value); };
    const dialog = h("dialog", { class: "conflict", "aria-labelledby": "conflict-title", oncancel: (event) => { event.preventDefault(); leave(); } },
      h("h1", { id: "conflict-title" }, "The file was changed elsewhere"),
      h("p", {}, "Somebody, or another tab, saved this file after this page showed it. Nothing was overwritten; your change is not saved yet."),
      h("div", { class: "sides" }, side("With your change", answer.mine, answer.theirs), side("As the file is now", answer.theirs, answer.mine)),
      h("div", { class: "acts" },
        h("button", { type: "button", class: "main", onclick: () => { end(null); again(answer.digest); } }, "Make my change in the file as it is now"),
        h("button", { type: "button", onclick: () => leave() }, "Leave the file as it is")));
    const leave = () => { end(null); state.forget(); };
    document.body.append(dialog);
    dialog.showModal();
  });
}

// The lines of one side that the other lacks, with two lines around them.
function side(title, text, other) {
  const lines = text.split("\n");
  const kept = common(lines, other.split("\n"));
  const near = lines.map((_, at) => [-2, -1, 0, 1, 2].some((step) => at + step >= 0 && at + step < lines.length && !kept.has(at + step)));
  const shown = lines.map((line, at) => (near[at] ? h("span", { class: kept.has(at) ? "" : "here" }, `${String(at + 1).padStart(4)}  ${line}\n`) : near[at - 1] ? h("span", {}, "      ...\n") : null));
  return h("section", {}, h("h2", {}, title), text ? h("pre", { tabindex: "0", "aria-label": title }, shown) : h("p", { class: "quiet" }, "The version that your change was made on is not known any more; the change itself is."));
}

// The numbers of the lines of `one` that stand in `other` too, in the same order.
function common(one, other) {
  const table = Array.from({ length: one.length + 1 }, () => new Uint32Array(other.length + 1));
  for (let a = one.length - 1; a >= 0; a -= 1) for (let b = other.length - 1; b >= 0; b -= 1) table[a][b] = one[a] === other[b] ? table[a + 1][b + 1] + 1 : Math.max(table[a + 1][b], table[a][b + 1]);
  const kept = new Set();
  for (let a = 0, b = 0; a < one.length && b < other.length;) {
    if (one[a] === other[b]) { kept.add(a); a += 1; b += 1; } else if (table[a + 1][b] >= table[a][b + 1]) a += 1;
    else b += 1;
  }
  return kept;
}
