/* Finds procedures and rules. The data stand above this code in the same file, so that one request brings both and
   nothing is fetched (fetch is refused from file://). */
(function () {
  "use strict";
  var data = window.stepwellIndex, docs = data.docs;

  function fold(text) {
    var plain = text.normalize("NFC").toLowerCase();
    Object.keys(data.spelling).forEach(function (letter) { plain = plain.split(letter).join(data.spelling[letter]); });
    return plain.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase();
  }
  /* Whole ids stay one term (drain-clamp, k7f3) beside their parts. */
  function words(text) {
    var found = [];
    fold(text).split(/[^\p{L}\p{N}-]+/u).forEach(function (run) {
      run = run.replace(/^-+|-+$/g, "");
      if (!run) { return; }
      found.push(run);
      if (run.indexOf("-") > 0) { found.push.apply(found, run.split("-").filter(Boolean)); }
    });
    return found;
  }
  function digits(term) { return /\d/.test(term); }

  var fields = ["title", "id", "also", "use", "steps", "text", "heads"];
  var index = new MiniSearch({
    idField: "n", fields: fields, storeFields: [], tokenize: words,
    processTerm: function (term) { return term; }
  });
  index.addAll(docs.map(function (doc, n) {
    var entry = { n: n };
    fields.forEach(function (field) { entry[field] = doc[field] || ""; });
    return entry;
  }));

  /* Where words are glued together, what is typed may stand inside of one: it is looked for in every word there is. */
  var every = [];
  if (data.parts) {
    var met = {};
    docs.forEach(function (doc) { fields.forEach(function (field) { words(doc[field] || "").forEach(function (word) { met[word] = 1; }); }); });
    every = Object.keys(met);
  }
  function inside(term) {
    return term.length < 4 ? [] : every.filter(function (word) { return word.indexOf(term) > 0; }).slice(0, 40);
  }
  function asked(query, how) {
    if (!data.parts) { return query; }
    return { combineWith: how, queries: kept(query).map(function (term) {
      var more = inside(term);
      return more.length ? { combineWith: "OR", queries: [term, { combineWith: "OR", prefix: false, fuzzy: false, queries: more }] } : term;
    }) };
  }
  function kept(text) {
    var small = data.small;
    var found = fold(text).split(/[^\p{L}\p{N}-]+/u).filter(function (word) {
      return word.replace(/-/g, "") && small.indexOf(word) < 0;
    });
    return found.length ? found : words(text);
  }

  function look(query, how, loose) {
    return index.search(asked(query, how), {
      combineWith: how,
      boost: { title: 8, id: 8, also: 6, use: 2, steps: 4, text: 1, heads: 0.5 },
      prefix: function (term) { return term.length >= 2; },
      fuzzy: function (term) { return digits(term) || term.length < 4 ? false : term.length < (loose ? 5 : 7) ? 1 : 2; },
      weights: { fuzzy: 0.3, prefix: 0.6 },
      boostDocument: function (n) { return docs[n].rank; },
      tokenize: kept
    });
  }

  /* Every word must be met, if need be with two letters wrong; if fewer than three entries have them all, those that have some follow. A step's own id leads to that step. */
  window.stepwellFind = function (query) {
    if (fold(query).replace(/[^\p{L}\p{N}]/gu, "").length < 2) { return null; }
    var hits = look(query, "AND");
    if (!hits.length) { hits = look(query, "AND", true); }
    if (hits.length < 3) {
      var met = hits.map(function (hit) { return hit.id; });
      hits = hits.concat(look(query, "OR", true).filter(function (hit) { return met.indexOf(hit.id) < 0; }));
    }
    var typed = words(query);
    return hits.slice(0, 12).map(function (hit) {
      var doc = docs[hit.id], ids = (doc.steps || "").split(" ");
      var step = typed.filter(function (word) { return digits(word) && ids.indexOf(word) >= 0; })[0];
      return { title: doc.title, kind: doc.kind, use: doc.use, href: doc.href + (step ? "#" + step : "") };
    });
  };
}());
