/* For when there is no network, over http(s) alone. The network always comes first; a page that comes from what was kept
   says that there is no connection, and of which day it is. A page that the site no longer has is not kept either. */
"use strict";
var LIST = [], BUILD = ""; /* put in when the site is built */
var PATIENCE = 4000; /* ms without an answer after which what was kept is shown */
var home = new URL("./", self.location.href);
var mine = "stepwell " + home.pathname + " ", kept = mine + BUILD;

self.addEventListener("install", function (event) {
  event.waitUntil(caches.open(kept).then(function (cache) {
    return cache.addAll(LIST.map(function (path) { return new Request(new URL(path, home), { cache: "reload" }); }));
  }).then(function () { return self.skipWaiting(); }));
});

self.addEventListener("activate", function (event) {
  event.waitUntil(caches.keys().then(function (names) {
    return Promise.all(names.filter(function (name) { return name.indexOf(mine) === 0 && name !== kept; })
      .map(function (name) { return caches.delete(name); }));
  }).then(function () { return self.clients.claim(); }));
});

self.addEventListener("fetch", function (event) {
  var request = event.request, url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== home.origin || url.pathname.indexOf(home.pathname) !== 0) { return; }
  var path = url.pathname.slice(home.pathname.length);
  if (/(^|\/)$/.test(path)) { path += "index.html"; }
  /* Cards in one file, old versions and calendars could not say that they come from here. */
  if (/(^|\/)(one-file|v|diff)\//.test(path) || /\.ics$|^sw\.js$/.test(path)) { return; }
  event.respondWith(answer(event, new URL(path, home).href));
});

function answer(event, key) {
  var page = event.request.mode === "navigate";
  return caches.open(kept).then(function (cache) {
    return cache.match(key).then(function (old) {
      var asked = fetch(event.request, { cache: "no-cache" });
      return (old ? soon(asked) : asked).then(function (response) {
        if (response.status === 404 || response.status === 410) {
          event.waitUntil(cache.delete(key));
          return response;
        }
        if (response.status >= 500 && old) { return told(old, page); }
        if (response.ok && response.type === "basic" && !response.redirected) { event.waitUntil(keep(cache, key, response.clone(), page)); }
        return response;
      }, function () {
        if (old) { return told(old, page); }
        if (!page) { return Response.error(); }
        var folder = /^[^\/]+\//.exec(key.slice(home.href.length)), other = folder ? folder[0] + "pages/offline.html" : "";
        return Response.redirect(new URL(LIST.indexOf(other) >= 0 ? other : "offline.html", home), 302);
      });
    });
  });
}

function soon(asked) {
  return new Promise(function (done, failed) {
    setTimeout(failed, PATIENCE);
    asked.then(done, failed);
  });
}

/* Only what bears the day of a copy: a page of the network's own (a log-in, an error) is not one of ours. */
function keep(cache, key, response, page) {
  if (!page) { return cache.put(key, response); }
  return response.clone().text().then(function (text) {
    return text.indexOf("data-copy=") < 0 ? undefined : cache.put(key, response);
  });
}

function told(old, page) {
  if (!page) { return old; }
  return old.text().then(function (text) {
    var headers = new Headers(old.headers);
    headers.delete("content-length");
    headers.delete("content-encoding");
    return new Response(text.replace("<html ", "<html data-offline=\"yes\" "), { status: 200, headers: headers });
  });
}
