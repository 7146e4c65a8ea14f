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
    var put = function (english, slot, value) { return tr(english).replace("{" + slot + "}", value); };
    var is = tr("Yes."), not = tr("No."), unsure = tr("Cannot tell."), word, why;
    var force = put("Version {version} is in force by this copy, dated {day}.", "version", now.released).replace("{day}", ask.dataset.day);
    var other = put("In force is version {version}.", "version", now.released);
    var gone = function (card) {
      return put("That card is {state}.", "state", tr(card.state)) + " " + (now.released ? other + " " : "") + tr("Take it down.");
    };
    if (!typed) { word = unsure; why = tr("Type the version or the code that is printed on the card."); }
    else if (stale) { word = unsure; why = tr("This copy of the site is too old, or this device’s clock is wrong. Look at a newer copy."); }
    else if (ask.dataset.trouble) { word = unsure; why = tr("The list of releases is not whole. Ask those who release the cards."); }
    else if (now.released && bare && now.code.split(" ").indexOf(bare) >= 0) { word = is; why = force; }
    else if (met) { word = not; why = gone(met); }
    else if (like && typed === now.released) { word = unsure; why = tr("More than one card bears that version. Type the code."); }
    else if (now.released && typed === now.released) { word = is; why = force; }
    else if (like) { word = not; why = gone(like); }
    else if (!now.released) { word = not; why = tr("No card of this procedure is in force by this copy. A card without a release is not for use."); }
    else { word = unsure; why = tr("This copy knows no card of this procedure with that version or code.") + " " + other + " " + tr("Look again, letter by letter."); }
    say.textContent = "";
    var strong = document.createElement("strong");
    strong.textContent = word;
    say.append(strong, " " + why);
  });
}
