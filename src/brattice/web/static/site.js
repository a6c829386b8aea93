"use strict";
(function () {
  var trouble = document.getElementById("trouble");
  function say(text) {
    if (trouble) { trouble.textContent = text; trouble.hidden = !text; }
  }
  document.addEventListener("htmx:sendError", function () {
    say("The program does not answer. It may have been closed: start it again and open the link that it prints.");
  });
  document.addEventListener("htmx:responseError", function (event) {
    say(event.detail.xhr.status === 403
      ? "This page is of an earlier start of the program: open the link that it printed last."
      : "The program could not do this. Load the page anew and try again.");
  });
  document.addEventListener("htmx:afterRequest", function (event) {
    if (event.detail.successful) { say(""); }
  });
})();
