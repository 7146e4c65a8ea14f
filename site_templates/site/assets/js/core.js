var box = $("#find");
root.classList.add("js");

/* How old is this copy? The age is told beside its date; past the limit the page says so. */
var copy = $("[data-copy]"), limit = Number(copy.dataset.limit);
var age = Math.floor((Date.now() - Date.parse(copy.dataset.copy + "T00:00:00Z")) / 864e5);
var stale = !(age >= -1 && age <= limit);
$("[data-age]").textContent = age < -1 ? " (" + tr("this device’s clock is wrong") + ")"
  : age < 1 ? "" : age === 1 ? " (" + tr("1 day old") + ")" : " (" + age + " " + tr("days old") + ")";
if (stale) { root.classList.add("stale"); }

/* What is kept for when there is no network; from a stick there is no such thing. */
if (navigator.serviceWorker && /^http/.test(location.protocol)) {
  var worker = new URL("../sw.js", document.currentScript.src);
  window.addEventListener("load", function () { navigator.serviceWorker.register(worker).then(null, function () {}); });
}

document.addEventListener("keydown", function (event) {
  if (event.key !== "/" || /^(INPUT|TEXTAREA|SELECT)$/.test(event.target.tagName) || root.classList.contains("walking")) { return; }
  event.preventDefault();
  if (box) { box.focus(); } else { location.href = $("#to-find").href; }
});
