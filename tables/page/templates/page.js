"use strict";
(function () {
  document.documentElement.classList.add("scripted-on");
  document.querySelectorAll(".scripted").forEach(function (each) {
    if (each.matches(".tick, .hint")) { each.hidden = false; }
  });

  function made(name, text, attributes) {
    var element = document.createElement(name);
    if (text) { element.textContent = text; }
    Object.keys(attributes || {}).forEach(function (key) {
      element.setAttribute(key, attributes[key]);
    });
    return element;
  }

  function wordsOf(heading) {
    return heading.dataset.words;
  }

  function value(row, key) {
    if (key === "rank") { return Number(row.dataset.rank); }
    var cell = row.querySelectorAll("td")[Number(key)];
    return cell.dataset.sort === undefined ? null : Number(cell.dataset.sort);
  }

  // Empty cells stand last whichever way; equal ones keep the order of rank.
  function order(key, sign) {
    return function (a, b) {
      var one = value(a, key), two = value(b, key);
      if (one === null || two === null) {
        if (one !== two) { return one === null ? 1 : -1; }
      } else if (one !== two) {
        return sign * (one - two);
      }
      return value(a, "rank") - value(b, "rank");
    };
  }

  function sortable(compared) {
    var table = compared.querySelector("table"), body = table.tBodies[0];
    var headings = Array.from(table.tHead.querySelectorAll("th"));
    var said = compared.querySelector(".said");
    headings.forEach(function (heading) {
      var words = heading.textContent.trim();
      var button = made("button", words, { type: "button" });
      heading.dataset.words = words;
      heading.textContent = "";
      heading.appendChild(button);
      // A heading that comes again on the next sheet of paper comes without its buttons.
      heading.appendChild(made("span", words, { "class": "on-paper", "aria-hidden": "true" }));
      button.addEventListener("click", function () {
        var up = heading.getAttribute("aria-sort") !== "ascending";
        headings.forEach(function (each) { each.removeAttribute("aria-sort"); });
        heading.setAttribute("aria-sort", up ? "ascending" : "descending");
        Array.from(body.rows).sort(order(heading.dataset.key, up ? 1 : -1))
          .forEach(function (row) { body.appendChild(row); });
        said.hidden = false;
        said.textContent = "Sorted by " + words + (up ? ", smallest first." : ", largest first.");
      });
    });
    headings[0].setAttribute("aria-sort", "ascending");
  }

  function pictureOf(row) {
    var target = row.dataset.target && document.getElementById(row.dataset.target);
    var picture = target && target.querySelector("figure.side svg");
    return picture ? picture.cloneNode(true) : null;
  }

  function sideBySide(compared, rows) {
    var table = made("table"), head = made("thead"), body = made("tbody");
    var caption = made("caption", "Side by side", { id: compared.dataset.compared + "-b" });
    var top = made("tr");
    top.appendChild(made("th", "candidate", { scope: "col" }));
    rows.forEach(function (row) { top.appendChild(made("th", row.dataset.rank, { scope: "col" })); });
    head.appendChild(top);
    var pictures = rows.map(pictureOf);
    if (pictures.every(Boolean)) {
      var seen = made("tr");
      seen.appendChild(made("th", "from the side", { scope: "row" }));
      pictures.forEach(function (picture) {
        var cell = made("td");
        cell.appendChild(picture);
        seen.appendChild(cell);
      });
      body.appendChild(seen);
    }
    Array.from(compared.querySelectorAll("thead th")).slice(1).forEach(function (heading, place) {
      var line = made("tr");
      line.appendChild(made("th", wordsOf(heading), { scope: "row" }));
      rows.forEach(function (row) {
        var cell = made("td");
        Array.from(row.querySelectorAll("td")[place].firstElementChild.childNodes)
          .forEach(function (node) { cell.appendChild(node.cloneNode(true)); });
        line.appendChild(cell);
      });
      body.appendChild(line);
    });
    table.append(caption, head, body);
    var held = made("div", "", {
      "class": "held", role: "region", tabindex: "0", "aria-labelledby": caption.id
    });
    held.appendChild(table);
    return held;
  }

  function tools(compared, rows) {
    var box = made("div", "", { "class": "tools" });
    var root = document.documentElement;
    var only = made("button", "Show and print only these in full", { type: "button" });
    var none = made("button", "Untick all", { type: "button" });
    only.setAttribute("aria-pressed", String(root.classList.contains("only-ticked")));
    only.addEventListener("click", function () {
      var on = root.classList.toggle("only-ticked");
      only.setAttribute("aria-pressed", String(on));
      only.textContent = on ? "Show all in full again" : "Show and print only these in full";
    });
    if (root.classList.contains("only-ticked")) { only.textContent = "Show all in full again"; }
    none.addEventListener("click", function () {
      rows.forEach(function (row) { row.querySelector("input").checked = false; });
      renew(compared);
      compared.querySelector("tbody input").focus();
    });
    if (rows.every(function (row) { return row.dataset.target; })) { box.appendChild(only); }
    box.appendChild(none);
    return box;
  }

  function renew(compared) {
    var all = Array.from(compared.querySelectorAll("tbody tr[data-rank]"));
    var rows = all.filter(function (row) { return row.querySelector("input").checked; });
    var chosen = compared.querySelector(".chosen"), said = compared.querySelector(".said");
    all.forEach(function (row) {
      var on = rows.includes(row), target = document.getElementById(row.dataset.target);
      row.classList.toggle("ticked", on);
      if (target) { target.classList.toggle("ticked", on); }
    });
    if (!rows.length) { document.documentElement.classList.remove("only-ticked"); }
    chosen.textContent = "";
    chosen.hidden = rows.length < 2;
    said.hidden = false;
    said.textContent = rows.length === 0 ? "Nothing ticked."
      : rows.length === 1 ? "One ticked; tick another to see them side by side."
      : rows.length + " candidates side by side, below.";
    if (rows.length > 1) {
      chosen.append(sideBySide(compared, rows), tools(compared, rows));
    }
  }

  // All patterns but the first are folded away on the screen, never on paper.
  var folded = Array.from(document.querySelectorAll("details.words")).slice(1);
  folded.forEach(function (each) { each.open = false; });
  var before = [];
  window.addEventListener("beforeprint", function () {
    before = folded.filter(function (each) { return !each.open; });
    before.forEach(function (each) { each.open = true; });
  });
  window.addEventListener("afterprint", function () {
    before.forEach(function (each) { each.open = false; });
  });

  document.querySelectorAll("[data-compared]").forEach(function (compared) {
    sortable(compared);
    compared.addEventListener("change", function () { renew(compared); });
    if (compared.querySelector("input:checked")) { renew(compared); }
  });
})();
