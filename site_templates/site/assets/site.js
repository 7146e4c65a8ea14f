(function () {
  "use strict";
  var root = document.documentElement;
  var $ = function (selector, within) { return (within || document).querySelector(selector); };
  var all = function (selector, within) { return Array.prototype.slice.call((within || document).querySelectorAll(selector)); };
  root.classList.add("js");

  /* How old is this copy? The age is told beside its date; past the limit the page says so. */
  var copy = $("[data-copy]"), limit = Number(copy.dataset.limit);
  var age = Math.floor((Date.now() - Date.parse(copy.dataset.copy + "T00:00:00Z")) / 864e5);
  var stale = !(age >= -1 && age <= limit);
  $("[data-age]").textContent = age < -1 ? " (this device’s clock is wrong)"
    : age < 1 ? "" : age === 1 ? " (1 day old)" : " (" + age + " days old)";
  if (stale) { root.classList.add("stale"); }

  /* ---- Search: loaded when it is first wanted, by a script element. ---- */
  var box = $("#find");
  if (box) {
    var list = $("#hits"), count = $("#count"), base = box.dataset.base, state = 0;
    var load = function () {
      if (state) { return; }
      state = 1;
      var script = document.createElement("script");
      script.src = box.dataset.src;
      script.onload = function () { state = 2; show(); };
      script.onerror = function () { state = 0; count.textContent = "Search could not be loaded. Use the lists below."; };
      document.head.appendChild(script);
    };
    var show = function () {
      if (state !== 2) { return; }
      var hits = window.stepwellFind(box.value);
      list.textContent = "";
      document.body.classList.toggle("finding", hits !== null);
      if (hits === null) { count.textContent = box.value ? "Type one more letter." : ""; return; }
      hits.forEach(function (hit) {
        var link = document.createElement("a"), kind = document.createElement("span"), name = document.createElement("b"), use = document.createElement("small");
        link.href = base + hit.href;
        kind.className = "kind";
        kind.textContent = hit.kind;
        name.textContent = hit.title;
        use.textContent = hit.use || "";
        link.append(kind, name, use);
        var row = document.createElement("li");
        row.className = "hit " + (hit.kind === "Emergency" ? "urgent" : "");
        row.appendChild(link);
        list.appendChild(row);
      });
      count.textContent = !hits.length ? "Nothing found. Try another word, or the lists below."
        : hits.length === 1 ? "1 found" : hits.length + " found";
    };
    box.addEventListener("focus", load);
    box.addEventListener("input", function () { load(); show(); });
    $("#finder").addEventListener("submit", function (event) {
      event.preventDefault();
      var first = $("a", list);
      if (first) { first.click(); }
    });
    $("#finder").addEventListener("keydown", function (event) { arrows(event); });
    list.addEventListener("keydown", function (event) { arrows(event); });
    var arrows = function (event) {
      var links = all("a", list), at = links.indexOf(document.activeElement);
      if (event.key === "ArrowDown" && links.length) { event.preventDefault(); links[Math.min(at + 1, links.length - 1)].focus(); }
      if (event.key === "ArrowUp" && at >= 0) { event.preventDefault(); (at ? links[at - 1] : box).focus(); }
      if (event.key === "Escape") { box.value = ""; box.focus(); show(); }
    };
    if (location.hash === "#find") { box.focus(); }
    window.addEventListener("hashchange", function () { if (location.hash === "#find") { box.focus(); } });
  }

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

  document.addEventListener("keydown", function (event) {
    if (event.key !== "/" || /^(INPUT|TEXTAREA|SELECT)$/.test(event.target.tagName) || root.classList.contains("walking")) { return; }
    event.preventDefault();
    if (box) { box.focus(); } else { location.href = $("#to-find").href; }
  });

  /* ---- Is my card current? Yes, no, or cannot tell. ---- */
  var ask = $("#current");
  if (ask) {
    var say = $("#answer");
    ask.addEventListener("submit", function (event) {
      event.preventDefault();
      var chosen = $("option:checked", ask), typed = $("#printed").value.trim().toLowerCase();
      var bare = typed.replace(/^stepwell:[^#]*#/, "").replace(/\s/g, ""), now = chosen.dataset;
      var old = (now.old || "").split("|").filter(Boolean).map(function (one) {
        var words = one.split(" ");
        return { version: words[0], code: words[1], state: words.slice(2).join(" ") };
      });
      var met = old.filter(function (one) { return one.code === bare; })[0];
      var like = old.filter(function (one) { return one.version === typed; })[0];
      var word, why;
      if (!typed) { word = "Cannot tell."; why = "Type the version or the code that is printed on the card."; }
      else if (stale) { word = "Cannot tell."; why = "This copy of the site is too old, or this device’s clock is wrong. Look at a newer copy."; }
      else if (ask.dataset.trouble) { word = "Cannot tell."; why = "The list of releases is not whole. Ask those who release the cards."; }
      else if (now.released && bare === now.code) { word = "Yes."; why = "Version " + now.released + " is in force by this copy, dated " + copy.dataset.copy + "."; }
      else if (met) { word = "No."; why = "That card is " + met.state + "." + (now.released ? " In force is version " + now.released + "." : "") + " Take it down."; }
      else if (like && typed === now.released) { word = "Cannot tell."; why = "More than one card bears that version. Type the code."; }
      else if (now.released && typed === now.released) { word = "Yes."; why = "Version " + now.released + " is in force by this copy, dated " + copy.dataset.copy + "."; }
      else if (like) { word = "No."; why = "That card is " + like.state + "." + (now.released ? " In force is version " + now.released + "." : "") + " Take it down."; }
      else if (!now.released) { word = "No."; why = "No card of this procedure is in force by this copy. A card without a release is not for use."; }
      else { word = "Cannot tell."; why = "This copy knows no card of this procedure with that version or code. In force is version " + now.released + ". Look again, letter by letter."; }
      say.textContent = "";
      var strong = document.createElement("strong");
      strong.textContent = word;
      say.append(strong, " " + why);
    });
  }
}());
