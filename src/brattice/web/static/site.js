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
(function () {
  // A form that takes files takes them also where they are dropped on it.
  Array.prototype.forEach.call(document.querySelectorAll("form.drop"), function (form) {
    var input = form.querySelector("input[type=file]");
    if (!input) { return; }
    function over(event) {
      if (event.dataTransfer && Array.prototype.indexOf.call(event.dataTransfer.types, "Files") >= 0) {
        event.preventDefault();
        form.classList.add("over");
      }
    }
    form.addEventListener("dragenter", over);
    form.addEventListener("dragover", over);
    form.addEventListener("dragleave", function (event) {
      if (!form.contains(event.relatedTarget)) { form.classList.remove("over"); }
    });
    form.addEventListener("drop", function (event) {
      form.classList.remove("over");
      if (!event.dataTransfer || !event.dataTransfer.files.length) { return; }
      event.preventDefault();
      input.files = event.dataTransfer.files;
      input.dispatchEvent(new Event("change", { bubbles: true }));
      input.focus();
    });
  });
})();
