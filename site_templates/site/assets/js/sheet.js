/* ---- A procedure: what it takes to go through it step by step is loaded when that is wanted, or was under way. ---- */
/* Some browsers bring ticks back with a reload, and a tick of an earlier time must not pass for one of now. */
all(".tick input").forEach(function (box) { box.checked = false; });
var start = $("#walk-start");
if (start) {
  var walk = function () {
    if (window.stepwellWalk) { window.stepwellWalk(); return; }
    var style = document.createElement("link"), script = document.createElement("script");
    var failed = function () { start.textContent = start.dataset.failed; start.disabled = true; };
    style.rel = "stylesheet";
    style.href = start.dataset.src + ".css";
    script.src = start.dataset.src + ".js";
    style.onload = function () { document.head.appendChild(script); };
    script.onload = walk;
    style.onerror = script.onerror = failed;
    document.head.appendChild(style);
  };
  start.addEventListener("click", walk);
  /* From a stick it may be refused. */
  try { if (sessionStorage.getItem(start.dataset.drawer)) { walk(); } } catch (refused) {}
  var circuit = $("#circuit");
  if (circuit) {
    circuit.addEventListener("click", function () {
      circuit.setAttribute("aria-pressed", String(root.classList.toggle("circuit")));
    });
  }
  all("[data-print]").forEach(function (button) { button.addEventListener("click", function () { window.print(); }); });
}
