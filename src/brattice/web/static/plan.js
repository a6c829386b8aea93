"use strict";
// Move about on a plan: pointer, wheel, keys and buttons change what part of the drawing is shown.
(function () {
  var box = document.getElementById("plan");
  var tools = document.getElementById("plan-tools");
  var drawing = box && box.querySelector("svg");
  if (!drawing || !tools) { return; }
  var LABEL_MM = 3; // how high ids are drawn
  var LABEL_PX = 8; // from here on they are shown
  var MOST = 40;
  var all = drawing.viewBox.baseVal;
  all = { x: all.x, y: all.y, w: all.width, h: all.height };
  var view = { x: all.x, y: all.y, w: all.w, h: all.h };
  drawing.removeAttribute("width");
  drawing.removeAttribute("height");
  box.classList.add("live");
  document.getElementById("plan-keys").hidden = false;
  tools.hidden = false;

  function fit() { // as high as the drawing needs, within the window
    var wanted = box.clientWidth * all.h / all.w + 24;
    box.style.height = Math.max(320, Math.min(wanted, window.innerHeight * 0.76)) + "px";
  }
  function perMm() {
    return Math.min(box.clientWidth / view.w, box.clientHeight / view.h);
  }
  var asked = false;
  function draw() {
    if (asked) { return; }
    asked = true;
    requestAnimationFrame(function () {
      asked = false;
      drawing.setAttribute("viewBox", view.x + " " + view.y + " " + view.w + " " + view.h);
      box.classList.toggle("far", perMm() * LABEL_MM < LABEL_PX);
    });
  }
  function keep(value, least, most) { return Math.min(Math.max(value, least), most); }
  function move(dx, dy) {
    view.x = keep(view.x + dx, all.x - view.w / 2, all.x + all.w - view.w / 2);
    view.y = keep(view.y + dy, all.y - view.h / 2, all.y + all.h - view.h / 2);
    draw();
  }
  function zoom(factor, x, y) { // x, y: the point of the drawing that stays where it is
    var w = keep(view.w / factor, all.w / MOST, all.w * 1.25);
    var real = w / view.w;
    var cx = x === undefined ? view.x + view.w / 2 : x;
    var cy = y === undefined ? view.y + view.h / 2 : y;
    view = { x: cx - (cx - view.x) * real, y: cy - (cy - view.y) * real, w: w, h: view.h * real };
    move(0, 0);
  }
  function whole() {
    view = { x: all.x, y: all.y, w: all.w, h: all.h };
    draw();
  }
  function at(event) {
    var place = drawing.getScreenCTM().inverse();
    return { x: place.a * event.clientX + place.e, y: place.d * event.clientY + place.f };
  }

  [["Larger", function () { zoom(1.5); }], ["Smaller", function () { zoom(1 / 1.5); }], ["Whole plan", whole]].forEach(function (item) {
    var button = document.createElement("button");
    button.type = "button";
    button.textContent = item[0];
    button.addEventListener("click", item[1]);
    tools.appendChild(button);
  });

  box.addEventListener("keydown", function (event) {
    if (event.ctrlKey || event.metaKey || event.altKey) { return; }
    var step = view.w / 8;
    var does = {
      ArrowLeft: function () { move(-step, 0); },
      ArrowRight: function () { move(step, 0); },
      ArrowUp: function () { move(0, -step); },
      ArrowDown: function () { move(0, step); },
      "+": function () { zoom(1.5); },
      "=": function () { zoom(1.5); },
      "-": function () { zoom(1 / 1.5); },
      "0": whole
    }[event.key];
    if (does) { event.preventDefault(); does(); }
  });
  box.addEventListener("wheel", function (event) {
    if (document.activeElement !== box && !event.ctrlKey) { return; } // the page scrolls unless the plan was chosen
    event.preventDefault();
    var point = at(event);
    zoom(Math.pow(1.0015, -event.deltaY), point.x, point.y);
  }, { passive: false });

  var pointers = new Map();
  var moved = false;
  function spread() {
    var two = Array.from(pointers.values());
    return Math.hypot(two[0].clientX - two[1].clientX, two[0].clientY - two[1].clientY);
  }
  box.addEventListener("pointerdown", function (event) {
    if (event.button !== 0) { return; }
    pointers.set(event.pointerId, event);
    moved = pointers.size > 1;
  });
  window.addEventListener("pointermove", function (event) {
    var last = pointers.get(event.pointerId);
    if (!last) { return; }
    if (pointers.size === 1) {
      if (!moved && Math.hypot(event.clientX - last.clientX, event.clientY - last.clientY) < 4) { return; }
      moved = true;
      var px = perMm();
      pointers.set(event.pointerId, event);
      move((last.clientX - event.clientX) / px, (last.clientY - event.clientY) / px);
    } else {
      var before = spread();
      pointers.set(event.pointerId, event);
      if (before) { var middle = at(event); zoom(spread() / before, middle.x, middle.y); }
    }
  });
  ["pointerup", "pointercancel"].forEach(function (name) {
    window.addEventListener(name, function (event) { pointers.delete(event.pointerId); });
  });
  box.addEventListener("click", function (event) {
    if (moved) { event.preventDefault(); moved = false; }
  }, true);
  box.addEventListener("dragstart", function (event) { event.preventDefault(); });

  box.addEventListener("focusin", function (event) { // a mark that is reached by key is brought into view
    if (event.target === box || !event.target.getBBox) { return; }
    box.scrollTop = box.scrollLeft = 0;
    var mark = event.target.getBBox();
    var x = mark.x + mark.width / 2;
    var y = mark.y + mark.height / 2;
    if (x < view.x || x > view.x + view.w || y < view.y || y > view.y + view.h) {
      move(x - view.x - view.w / 2, y - view.y - view.h / 2);
    }
  });
  function aim() { // an address that ends in #id shows that penetration in the middle
    var id = location.hash.slice(1);
    var mark = id && Array.prototype.find.call(drawing.querySelectorAll("a"), function (link) {
      return link.getAttribute("href").split("/").pop() === id;
    });
    if (!mark) { return; }
    mark.classList.add("aim");
    var place = mark.getBBox();
    var w = Math.min(all.w, box.clientWidth / (LABEL_PX / LABEL_MM) / 1.6);
    view = { x: place.x + place.width / 2 - w / 2, y: 0, w: w, h: w * all.h / all.w };
    view.y = place.y + place.height / 2 - view.h / 2;
    move(0, 0);
  }
  window.addEventListener("resize", function () { fit(); draw(); });
  fit();
  draw();
  aim();
})();
