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
