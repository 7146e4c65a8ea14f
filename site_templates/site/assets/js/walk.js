/* ---- One step at a time. What it says stands in the page, on the bar; nothing is kept once the tab is closed. ---- */
var start = $("#walk-start"), later = window.stepwellLater;
$("#main").insertAdjacentHTML("beforeend", later.bar);
Object.keys(later.stops).forEach(function (id) {
  Object.assign(document.getElementById(id).dataset, { stop: "" }, later.stops[id]);
});
var stops = all("[data-stop]"), bar = $("#walk"), says = bar.dataset;
var back = $("#walk-back"), next = $("#walk-next"), place = $("#walk-place");
var clock = $("#walk-clock"), face = $("#walk-face"), about = $("#walk-about"), run = $("#walk-run");
var now = null, lock = null, beat = null, shown = "";
/* trail: the stops that were left; came and began: when a step came up, and when its wait began; rounds: of a repeat. */
var fresh = function () { return { at: "", trail: [], came: {}, began: {}, agreed: [], rounds: {} }; };
var kept = fresh(), drawer = start.dataset.drawer;
var put = function () {
  try { sessionStorage.setItem(drawer, JSON.stringify(kept)); } catch (refused) { /* from a stick it may be refused */ }
};
var take = function () {
  try { return JSON.parse(sessionStorage.getItem(drawer)); } catch (refused) { return null; }
};
var clear = function () {
  try { sessionStorage.removeItem(drawer); } catch (refused) { /* nothing was put there */ }
};
var byId = function (id) { return stops.filter(function (stop) { return stop.id === id; })[0]; };
var told = function (sentence, words) {
  return sentence.replace(/\{(\w+)\}/g, function (slot, name) { return String(words[name]); });
};
var spell = function (seconds) {
  var whole = Math.abs(seconds), rest = whole % 60;
  return Math.floor(whole / 60) + ":" + (rest < 10 ? "0" : "") + rest;
};

/* The stairs: one tread for each stop. */
var stair = $("#walk-stair"), count = Number(stair.dataset.stops);
for (var n = 0; n < count; n += 1) {
  var tread = document.createElementNS("http://www.w3.org/2000/svg", "path");
  tread.setAttribute("d", "M" + n * 10 + " " + n * 24 / count + "h8V30h-8z");
  stair.appendChild(tread);
}

/* ---- The clock of a step: down for a wait, which a person starts, else up from when the step came. ---- */
var since = function (moment) { return Math.max(0, Math.floor((Date.now() - moment) / 1000)); };
var tell = function () {
  var most = Number(now.dataset.most || 0), wait = Number(now.dataset.wait || 0), began = kept.began[now.id];
  var spent = since(kept.came[now.id]), late = most > 0 && spent > most, left = wait - (began ? since(began) : 0);
  clock.hidden = !(most || wait);
  if (clock.hidden) { return; }
  face.textContent = wait ? (left < 0 ? "+" : "") + spell(left) : spell(spent);
  var words = { wait: spell(wait), most: spell(most) };
  var said = wait && !began ? told(says.sayWait, words)
    : wait && left > 0 ? told(says.sayWaiting, words)
    : wait ? told(says.sayOver, words) : told(says.sayTakes, words);
  if (late) { said = told(says.sayLate, words); }
  clock.className = late ? "late" : wait && began && left <= 0 ? "over" : "";
  run.hidden = !wait;
  run.textContent = told(began ? says.sayAgain : says.sayStart, words);
  /* Said once when it changes, so that it is read aloud once. */
  if (said !== shown) { shown = said; about.textContent = said; }
};
run.addEventListener("click", function () { kept.began[now.id] = Date.now(); put(); tell(); });

/* ---- A hold stops until everybody who must agree has been tapped. ---- */
var agreeing = function (stop) { return all("[data-agree]", stop); };
var free = function () {
  var asked = agreeing(now), met = asked.filter(function (one, n) { return kept.agreed.indexOf(n) >= 0; });
  asked.forEach(function (one, n) { one.setAttribute("aria-pressed", String(kept.agreed.indexOf(n) >= 0)); });
  next.disabled = met.length < asked.length;
  next.textContent = next.disabled ? says.sayStop : now.dataset.next ? says.sayNext : says.sayFinish;
};

var stand = function (stop) {
  now = stop;
  kept.at = stop.id;
  all(".now").forEach(function (element) { element.classList.remove("now"); });
  all(".holds-now").forEach(function (element) { element.classList.remove("holds-now"); });
  stop.classList.add("now");
  for (var up = stop.parentElement; up; up = up.parentElement) { up.classList.add("holds-now"); }
  var at = stops.indexOf(stop);
  place.textContent = told(says.sayPlace, { at: at + 1, all: stops.length });
  all("#walk-stair path").forEach(function (tread, n) { tread.setAttribute("class", n < at ? "past" : n === at ? "here" : "ahead"); });
  back.disabled = !kept.trail.length;
  next.hidden = stop.hasAttribute("data-asks");
  var rounds = Number(stop.dataset.rounds || 0), round = kept.rounds[stop.id] || 1;
  if (rounds) {
    $(".round", stop).textContent = told(says.sayRound, { round: round, rounds: rounds });
    $("[data-again]", stop).disabled = round >= rounds;
  }
  shown = "";
  free();
  tell();
  put();
  stop.setAttribute("tabindex", "-1");
  stop.focus({ preventScroll: true });
  window.scrollTo(0, 0);
};
/* A step that comes up anew has its time anew; a wait that still runs runs on. */
var arrive = function (stop) {
  var began = kept.began[stop.id];
  kept.agreed = [];
  kept.came[stop.id] = Date.now();
  if (began && since(began) >= Number(stop.dataset.wait || 0)) { delete kept.began[stop.id]; }
  stand(stop);
};
var go = function (id) {
  var stop = byId(id);
  if (!stop) { leave(); return; }
  kept.trail.push(now.id);
  arrive(stop);
};
var hold = function () {
  if (navigator.wakeLock) { navigator.wakeLock.request("screen").then(function (held) { lock = held; }, function () {}); }
};
var enter = function (begin) {
  root.classList.add("walking");
  bar.hidden = false;
  begin();
  beat = setInterval(tell, 250);
  hold();
};
var leave = function () {
  var last = now;
  root.classList.remove("walking");
  bar.hidden = true;
  clearInterval(beat);
  clear();
  all(".now, .holds-now").forEach(function (element) { element.classList.remove("now", "holds-now"); });
  if (lock) { lock.release(); lock = null; }
  if (last) { last.scrollIntoView({ block: "center" }); }
  start.focus({ preventScroll: true });
};
var forward = function () { if (!next.hidden && !next.disabled) { if (now.dataset.next) { go(now.dataset.next); } else { leave(); } } };
var backward = function () { if (kept.trail.length) { kept.agreed = []; stand(byId(kept.trail.pop())); } };
/* Where a reload left off, else from the step in the address, else from the first. */
window.stepwellWalk = function () {
  var before = take(), left = before && byId(before.at);
  enter(function () {
    kept = left ? before : fresh();
    if (left) { stand(left); } else { arrive((location.hash && byId(location.hash.slice(1))) || stops[0]); }
  });
};
next.addEventListener("click", forward);
back.addEventListener("click", backward);
$("#walk-leave").addEventListener("click", leave);
all("[data-go]").forEach(function (button) {
  button.addEventListener("click", function () {
    var again = button.hasAttribute("data-again");
    if (now.dataset.rounds) { kept.rounds[now.id] = again ? (kept.rounds[now.id] || 1) + 1 : 1; }
    if (button.dataset.go) { go(button.dataset.go); } else { leave(); }
  });
});
stops.forEach(function (stop) {
  agreeing(stop).forEach(function (button, n) {
    button.addEventListener("click", function () {
      var at = kept.agreed.indexOf(n);
      if (at < 0) { kept.agreed.push(n); } else { kept.agreed.splice(at, 1); }
      put();
      free();
    });
  });
});
document.addEventListener("keydown", function (event) {
  if (!root.classList.contains("walking") || event.altKey || event.ctrlKey || event.metaKey) { return; }
  var control = /^(BUTTON|A|SUMMARY|INPUT)$/.test(event.target.tagName);
  if (event.key === "ArrowRight" || event.key === "PageDown" || (!control && (event.key === " " || event.key === "Enter"))) { event.preventDefault(); forward(); }
  else if (event.key === "ArrowLeft" || event.key === "PageUp") { event.preventDefault(); backward(); }
  else if (event.key === "Escape") { event.preventDefault(); leave(); }
});
document.addEventListener("visibilitychange", function () {
  if (root.classList.contains("walking") && document.visibilityState === "visible") { hold(); }
});
