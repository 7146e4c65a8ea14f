var root = document.documentElement;
var $ = function (selector, within) { return (within || document).querySelector(selector); };
var all = function (selector, within) { return Array.prototype.slice.call((within || document).querySelectorAll(selector)); };
