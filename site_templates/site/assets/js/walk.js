/* ---- One step at a time ---- */
var start = $("#walk-start");
if (start) {
  var stops = all("[data-stop]"), bar = $("#walk"), back = $("#walk-back"), next = $("#walk-next"), place = $("#walk-place");
  var trail = [], now = null, lock = null;
  var byId = function (id) { return stops.filter(function (stop) { return stop.id === id; })[0]; };
  var stand = function (stop) {
    now = stop;
    all(".now").forEach(function (element) { element.classList.remove("now"); });
    all(".holds-now").forEach(function (element) { element.classList.remove("holds-now"); });
    stop.classList.add("now");
    for (var up = stop.parentElement; up; up = up.parentElement) { up.classList.add("holds-now"); }
    var at = stops.indexOf(stop);
    place.textContent = (at + 1) + " of " + stops.length;
    all("#walk-stair path").forEach(function (tread, n) { tread.setAttribute("class", n < at ? "past" : n === at ? "here" : "ahead"); });
    back.disabled = !trail.length;
    var answers = stop.hasAttribute("data-asks");
    next.hidden = answers;
    next.textContent = stop.dataset.next ? "Next" : "Finish";
    stop.setAttribute("tabindex", "-1");
    stop.focus({ preventScroll: true });
    window.scrollTo(0, 0);
  };
  var go = function (id) {
    var stop = byId(id);
    if (!stop) { leave(); return; }
    trail.push(now.id);
    stand(stop);
  };
  var enter = function () {
    root.classList.add("walking");
    bar.hidden = false;
    trail = [];
    stand((location.hash && byId(location.hash.slice(1))) || stops[0]);
    if (navigator.wakeLock) { navigator.wakeLock.request("screen").then(function (held) { lock = held; }, function () {}); }
  };
  var leave = function () {
    var last = now;
    root.classList.remove("walking");
    bar.hidden = true;
    all(".now, .holds-now").forEach(function (element) { element.classList.remove("now", "holds-now"); });
    if (lock) { lock.release(); lock = null; }
    if (last) { last.scrollIntoView({ block: "center" }); }
    start.focus({ preventScroll: true });
  };
  var forward = function () { if (!next.hidden) { if (now.dataset.next) { go(now.dataset.next); } else { leave(); } } };
  var backward = function () { if (trail.length) { stand(byId(trail.pop())); } };
  start.addEventListener("click", enter);
  next.addEventListener("click", forward);
  back.addEventListener("click", backward);
  $("#walk-leave").addEventListener("click", leave);
  all("[data-go]").forEach(function (button) {
    button.addEventListener("click", function () { if (button.dataset.go) { go(button.dataset.go); } else { leave(); } });
  });
  document.addEventListener("keydown", function (event) {
    if (!root.classList.contains("walking") || event.altKey || event.ctrlKey || event.metaKey) { return; }
    var control = /^(BUTTON|A|SUMMARY|INPUT)$/.test(event.target.tagName);
    if (event.key === "ArrowRight" || event.key === "PageDown" || (!control && (event.key === " " || event.key === "Enter"))) { event.preventDefault(); forward(); }
    else if (event.key === "ArrowLeft" || event.key === "PageUp") { event.preventDefault(); backward(); }
    else if (event.key === "Escape") { event.preventDefault(); leave(); }
  });
  var circuit = $("#circuit");
  if (circuit) {
    circuit.addEventListener("click", function () {
      circuit.setAttribute("aria-pressed", String(root.classList.toggle("circuit")));
    });
  }
  all("[data-print]").forEach(function (button) { button.addEventListener("click", function () { window.print(); }); });
}
