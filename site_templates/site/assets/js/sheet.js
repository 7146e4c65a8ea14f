/* ---- A procedure: what it takes to go through it step by step is loaded when that is wanted, or was under way. ---- */
/* Some browsers bring ticks back with a reload, and a tick of an earlier time must not pass for one of now. */
all(".step input").forEach(function (box) {
  box.checked = false;
  box.setAttribute("aria-label", $(".sheet").dataset.done.replace("#", box.nextSibling.textContent));
});
var quiet = function () { all(".mark, .step input + b").forEach(function (one) { one.setAttribute("aria-hidden", "true"); }); };
quiet();
var start = $("#walk-start"), circuit = $("#circuit");
var load = function (name, place, value, then, button) {
  var element = document.createElement(name);
  element[place] = value;
  if (name === "link") { element.rel = "stylesheet"; }
  element.onload = then;
  element.onerror = function () { button.textContent = start.dataset.failed; button.disabled = true; };
  document.head.appendChild(element);
};
/* Answers, drawings and what changes in the circuit, each to its place. */
var later = function (then, button) {
  if (window.stepwellLater) { then(); return; }
  load("script", "src", start.dataset.later, function () {
    var pieces = window.stepwellLater.pieces;
    Object.keys(pieces).forEach(function (id) {
      var stop = document.getElementById(id);
      ($(".question", stop) || stop).insertAdjacentHTML("beforeend", pieces[id]);
    });
    $(".items").insertAdjacentHTML("beforebegin", window.stepwellLater.start);
    quiet();
    then();
  }, button);
};
if (start) {
  var walk = function () {
    if (window.stepwellWalk) { window.stepwellWalk(); return; }
    load("link", "href", start.dataset.src + ".css", function () {
      later(function () { load("script", "src", start.dataset.src + ".js", walk, start); }, start);
    }, start);
  };
  start.addEventListener("click", walk);
  /* From a stick it may be refused. */
  try { if (sessionStorage.getItem(start.dataset.drawer)) { walk(); } } catch (refused) {}
}
if (circuit) {
  circuit.addEventListener("click", function () {
    later(function () { circuit.setAttribute("aria-pressed", String(root.classList.toggle("circuit"))); }, circuit);
  });
}
all("[data-print]").forEach(function (button) { button.addEventListener("click", function () { window.print(); }); });
