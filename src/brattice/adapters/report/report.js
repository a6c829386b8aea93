"use strict";
(function () {
  var tools = document.getElementById("tools");
  var find = document.getElementById("find");
  var shown = document.getElementById("shown");
  var boxes = Array.prototype.slice.call(tools.querySelectorAll("input[type=checkbox]"));
  var rows = Array.prototype.slice.call(document.querySelectorAll("#rows tbody tr"));
  var parts = rows.map(function (row) { return document.getElementById(row.dataset.for); });
  function update() {
    var words = find.value.toLowerCase().split(/\s+/).filter(Boolean);
    var marks = boxes.filter(function (box) { return box.checked; }).map(function (box) { return box.value; });
    var count = 0;
    rows.forEach(function (row, number) {
      var part = parts[number];
      var text = part.dataset.find;
      var fits = marks.indexOf(part.dataset.state) >= 0 && words.every(function (word) { return text.indexOf(word) >= 0; });
      row.hidden = !fits;
      part.hidden = !fits;
      count += fits ? 1 : 0;
    });
    shown.textContent = count === rows.length ? "All " + count + " are shown." : count + " of " + rows.length + " are shown, here and one by one.";
  }
  find.addEventListener("input", update);
  boxes.forEach(function (box) { box.addEventListener("change", update); });
  tools.hidden = false;
  update();
  document.addEventListener("click", function (event) {
    var link = event.target.closest && event.target.closest("a[href^='#']");
    var part = link && document.getElementById(decodeURIComponent(link.getAttribute("href").slice(1)));
    if (part && part.hidden) { find.value = ""; boxes.forEach(function (box) { box.checked = true; }); update(); }
  });
  Array.prototype.forEach.call(document.querySelectorAll(".sheet"), function (sheet) {
    var drawing = sheet.querySelector("svg");
    var width = parseFloat(drawing.getAttribute("width"));
    var height = parseFloat(drawing.getAttribute("height"));
    var factor = 1;
    var bar = document.createElement("p");
    bar.className = "zoom";
    [["Larger", 1.4], ["Smaller", 1 / 1.4], ["As drawn", 0]].forEach(function (item) {
      var button = document.createElement("button");
      button.type = "button";
      button.textContent = item[0];
      button.addEventListener("click", function () {
        factor = item[1] ? Math.min(8, Math.max(0.3, factor * item[1])) : 1;
        drawing.setAttribute("width", width * factor + "mm");
        drawing.setAttribute("height", height * factor + "mm");
      });
      bar.appendChild(button);
    });
    sheet.parentNode.insertBefore(bar, sheet);
  });
  window.addEventListener("beforeprint", function () {
    Array.prototype.forEach.call(document.querySelectorAll("details.also"), function (item) { item.open = true; });
  });
})();
