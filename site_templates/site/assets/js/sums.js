/* ---- Sums about equipment. The table of expressions stands above; here are the fields, the limits and the words. ---- */
/* The x up to high at which a growing function reaches what is wanted, found by halving. */
function balance(f, wanted, high) {
  var low = 0;
  for (var n = 0; n < 200; n += 1) {
    var middle = (low + high) / 2;
    if (f(middle) < wanted) { low = middle; } else { high = middle; }
  }
  return high;
}
/* A number as files may write it: no comma, no bare point; a fraction for inches only. Where the page's language has a
   decimal comma, that is read too, and "1.500" is refused, since it may be meant as a thousand and a half. */
var comma = Boolean($("#sum[data-comma]"));
function read(text, unit) {
  var plain = text.trim().replace(/[\u2212\u2013]/g, "-");
  if (comma && /^-?[1-9]\d{0,2}\.\d{3}$/.test(plain)) { return NaN; }
  if (comma) { plain = plain.replace(",", "."); }
  var part = /^(\d{1,2})\/(2|4|8|16|32)$/.exec(plain);
  if (part && unit === "in") { return Number(part[1]) / Number(part[2]); }
  return /^-?\d+(\.\d+)?$/.test(plain) ? Number(plain) : NaN;
}
function print(value, digits) {
  var text = (Math.abs(value) < 0.5 * Math.pow(10, -digits) ? 0 : value).toFixed(digits), cut = text.split(".");
  cut[0] = cut[0].replace(/\B(?=(\d{3})+$)/g, comma ? "\u00a0" : ",");
  return cut.join(comma ? "," : ".").replace("-", "\u2212");
}
function fill(words, values) {
  return words.replace(/\{(\w+):(\d)\}/g, function (slot, name, digits) { return print(values[name], Number(digits)); });
}
/* What a sum says for numbers in its own units and chosen entries: results by name, or why there are none. */
window.stepwellSum = function (name, numbers, chosen) {
  var sum = sums[name], all = Object.assign({}, numbers);
  sum.picks.forEach(function (pick) { Object.assign(all, pick.values[chosen[pick.name]]); });
  var wrong = sum.fields.filter(function (field) {
    var value = all[field.name];
    return typeof value !== "number" || !(value >= field.least && value <= field.most);
  });
  if (wrong.length) { return { outside: wrong.map(function (field) { return field.name; }) }; }
  var values = sum.work.apply(null, sum.order.map(function (key) { return all[key]; }));
  var said = function (list) {
    return list.filter(function (one) { return one.when(values); }).map(function (one) { return fill(tr(one.words), values); });
  };
  var refused = said(sum.refusals), results = {};
  if (refused.length) { return { refused: refused }; }
  var finite = sum.shown.every(function (show) { return isFinite(values[show.name]); });
  if (!finite) { return { outside: [] }; }
  sum.shown.forEach(function (show) { results[show.name] = said(show.refused)[0] || print(values[show.name], show.digits); });
  return { results: results, notes: said(sum.notes) };
};

var form = $("#sum");
if (form) {
  var sum = sums[form.dataset.sum], says = form.dataset, aside = $("#sum-said");
  var unitOf = function (field) { var select = $("[data-unit='" + field.name + "']"); return select ? select.value : field.unit; };
  var work = function () {
    var numbers = {}, chosen = {}, wrong = false;
    sum.fields.forEach(function (field) {
      var box = $("#in-" + field.name), unit = unitOf(field), number = read(box.value, unit);
      var value = number * (field.factors[unit] || 1), fault = "";
      /* A whole number of the other unit may miss the limit by a rounding error. */
      if (isNaN(number)) { fault = says.sayNumber; }
      else if (value < field.least * (field.least > 0 ? 1 - 1e-9 : 1 + 1e-9) || value > field.most * (1 + 1e-9)) { fault = $("#of-" + field.name).dataset.range; }
      $("#of-" + field.name).textContent = fault;
      box.setAttribute("aria-invalid", String(fault !== ""));
      wrong = wrong || fault !== "";
      numbers[field.name] = Math.min(Math.max(value, field.least), field.most);
    });
    sum.picks.forEach(function (pick) { chosen[pick.name] = Number($("#in-" + pick.name).value); });
    var told = wrong ? {} : window.stepwellSum(form.dataset.sum, numbers, chosen);
    sum.shown.forEach(function (show) {
      var out = $("#out-" + show.name), text = told.results ? told.results[show.name] : "";
      var figure = /^[\u2212\d]/.test(text);
      out.textContent = text || says.sayNone;
      out.className = figure ? "" : "none";
      $("#unit-" + show.name).hidden = !figure;
    });
    aside.textContent = wrong ? says.sayWrong : (told.refused || told.notes || [says.sayOutside]).join(" ");
    aside.classList.toggle("refused", !told.results);
  };
  form.addEventListener("input", work);
  form.addEventListener("submit", function (event) { event.preventDefault(); work(); });
  work();
}
