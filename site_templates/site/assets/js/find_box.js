/* ---- Search: loaded when it is first wanted, by a script element. ---- */
if (box) {
  var list = $("#hits"), count = $("#count"), base = box.dataset.base, state = 0;
  var load = function () {
    if (state) { return; }
    state = 1;
    var script = document.createElement("script");
    script.src = box.dataset.src;
    script.onload = function () { state = 2; show(); };
    script.onerror = function () { state = 0; count.textContent = tr("Search could not be loaded. Use the lists below."); };
    document.head.appendChild(script);
  };
  var show = function () {
    if (state !== 2) { return; }
    var hits = window.stepwellFind(box.value);
    list.textContent = "";
    document.body.classList.toggle("finding", hits !== null);
    if (hits === null) { count.textContent = box.value ? tr("Type one more letter.") : ""; return; }
    hits.forEach(function (hit) {
      var link = document.createElement("a"), kind = document.createElement("span"), name = document.createElement("b"), use = document.createElement("small");
      link.href = base + hit.href;
      kind.className = "kind";
      kind.textContent = tr(hit.kind);
      name.textContent = hit.title;
      use.textContent = hit.use || "";
      link.append(kind, name, use);
      var row = document.createElement("li");
      row.className = "hit " + (hit.kind === "Emergency" ? "urgent" : "");
      row.appendChild(link);
      list.appendChild(row);
    });
    count.textContent = !hits.length ? tr("Nothing found. Try another word, or the lists below.")
      : hits.length + " " + tr("found");
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
