/* In another language the page brings the words; what it lacks is said in English. */
var said = JSON.parse(document.body.dataset.says || "{}");
var tr = function (english) { return said[english] || english; };
var root = document.documentElement;
var $ = function (selector, within) { return (within || document).querySelector(selector); };
var all = function (selector, within) { return Array.prototype.slice.call((within || document).querySelectorAll(selector)); };
