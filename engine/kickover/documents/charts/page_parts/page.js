"use strict";
(function () {
  const chart = JSON.parse(document.getElementById("chart").textContent);
  const nodes = new Map(chart.nodes.map((node) => [node.id, node]));
  const cautions = new Map(chart.cautions.map((caution) => [caution.id, caution]));
  const stepBox = document.getElementById("step");
  const historyList = document.getElementById("history");
  const savedNote = document.getElementById("saved");
  const backButton = document.getElementById("back");
  const restartButton = document.getElementById("restart");
  const trailKey = "kickover-walk-" + chart.key;
  const themeKey = "kickover-theme";
  let trail = [];
  let held = null;

  function make(tag, properties, ...children) {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(properties || {})) {
      if (name === "class") element.className = value;
      else if (name in element) element[name] = value;
      else element.setAttribute(name, value);
    }
    element.append(...children.filter((child) => child !== null));
    return element;
  }

  function stored(key) {
    try { return localStorage.getItem(key); } catch { return null; }
  }

  function store(key, value) {
    try {
      localStorage.setItem(key, value);
      return true;
    } catch {
      savedNote.textContent = "This browser keeps nothing: the walk is lost when the page is closed.";
      return false;
    }
  }

  function sign() {
    return document.getElementById("sign").content.cloneNode(true);
  }

  function warningBox(kind, title, words) {
    const text = make("p", {}, make("strong", {}, title + ": "), words);
    return make("div", { class: kind, role: "note" }, sign(), text);
  }

  function limits(branch, reading) {
    if (!reading) return "";
    const unit = " " + reading.unit;
    if (branch.low === null && branch.high === null) return "";
    if (branch.low === null) return "below " + shown(branch.high) + unit;
    if (branch.high === null) return shown(branch.low) + unit + " or more";
    return shown(branch.low) + " to " + shown(branch.high) + unit;
  }

  function shown(number) {
    return String(Number(number.toPrecision(4)));
  }

  function readTrail(text) {
    let steps;
    try { steps = JSON.parse(text) || []; } catch { return []; }
    const good = [];
    let at = chart.start;
    for (const step of Array.isArray(steps) ? steps : []) {
      const node = nodes.get(at);
      if (!node || !step || step.at !== at || !node.branches[step.branch]) break;
      good.push({ at: at, branch: step.branch, typed: String(step.typed || "").slice(0, 60) });
      at = node.branches[step.branch].target;
      if (at === null) break;
    }
    return good;
  }

  function place() {
    if (!trail.length) return chart.start;
    const last = trail[trail.length - 1];
    return nodes.get(last.at).branches[last.branch].target;
  }

  function choose(branchIndex, typed) {
    const at = place();
    const branch = nodes.get(at).branches[branchIndex];
    const step = { at: at, branch: branchIndex, typed: typed };
    if (branch.stop && held === null) {
      held = step;
      showStop(branch);
      return;
    }
    held = null;
    trail.push(step);
    changed();
  }

  function changed() {
    held = null;
    if (store(trailKey, JSON.stringify(trail))) savedNote.textContent = "";
    show(true);
  }

  function heading(words) {
    return make("h1", { tabIndex: -1 }, words);
  }

  function fill(...children) {
    stepBox.replaceChildren(...children.filter((child) => child !== null));
  }

  function showStop(branch) {
    const step = held;
    const go = make("button", { type: "button", class: "go" }, "I have read this: go on");
    go.addEventListener("click", () => choose(step.branch, step.typed));
    fill(heading("Stop and read"), warningBox("stop", "Stop", branch.stop), go);
    stepBox.querySelector("h1").focus();
    backButton.disabled = false;
  }

  function minutesWords(minutes) {
    if (!minutes) return "";
    if (minutes < 1) return " · " + Math.round(minutes * 60) + " seconds";
    return " · " + (minutes === 1 ? "1 minute" : shown(minutes) + " minutes");
  }

  function list(tag, items) {
    return items.length ? make(tag, {}, ...items.map((item) => make("li", {}, item))) : null;
  }

  function answers(node) {
    const buttons = node.branches.map((branch, index) => {
      const words = branch.label || (node.branches.length === 1 ? "Done, go on" : "Go on");
      const range = limits(branch, node.reading);
      const more = [range, node.branches.length > 1 ? branch.chance : ""].filter(Boolean).join(" · ");
      const chance = more ? make("span", { class: "chance" }, more) : null;
      const button = make("button", { type: "button" }, words, chance);
      button.addEventListener("click", () => choose(index, ""));
      return button;
    });
    return make("div", { class: "answers", role: "group", "aria-label": "Answers" }, ...buttons);
  }

  function compare(node, typed, unitName, verdict) {
    const reading = node.reading;
    const number = Number(typed.trim().replace(",", "."));
    const unit = reading.units.find((one) => one.name === unitName) || reading.units[0];
    if (!typed.trim() || !Number.isFinite(number)) {
      verdict.replaceChildren("Type a number, such as 4.2.");
      return;
    }
    const value = number * unit.times + unit.plus;
    const said = shown(number) + " " + unit.name
      + (unit.name === reading.unit ? "" : " (" + shown(value) + " " + reading.unit + ")");
    if (value < reading.least || value > reading.most) {
      verdict.replaceChildren(said + " cannot be: expected " + shown(reading.least) + " to "
        + shown(reading.most) + " " + reading.unit + ". Measure again, or look at the unit.");
      return;
    }
    const index = node.branches.findIndex((branch) => (branch.low !== null || branch.high !== null)
      && (branch.low === null || value >= branch.low) && (branch.high === null || value < branch.high));
    if (index < 0) {
      verdict.replaceChildren(said + ": no limit is stated for this. Pick an answer below.");
      return;
    }
    const branch = node.branches[index];
    const go = make("button", { type: "button", class: "go" }, "Go on with this reading");
    go.addEventListener("click", () => choose(index, said));
    verdict.replaceChildren(make("p", {}, said + ": " + branch.label + " (" + limits(branch, reading) + ")"), go);
  }

  function readingForm(node) {
    if (!node.reading) return null;
    const input = make("input", { id: "reading", type: "text", inputMode: "decimal", autocomplete: "off" });
    const units = node.reading.units.map((unit) => make("option", { value: unit.name }, unit.name));
    const select = make("select", { id: "unit", "aria-label": "Unit" }, ...units);
    const label = make("label", { htmlFor: "reading" }, "Your reading");
    const verdict = make("div", { id: "verdict", role: "status" });
    const button = make("button", { type: "submit" }, "Compare");
    const form = make("form", {}, label, input, select, button);
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      compare(node, input.value, select.value, verdict);
    });
    return make("div", {}, form, verdict);
  }

  function showNode(node) {
    fill(
      make("p", { class: "kind" }, node.place + " · " + node.kind.replace("-", " ")
        + minutesWords(node.minutes)),
      heading(node.title),
      ...node.cautions.map((id) => warningBox("caution", cautions.get(id).title, cautions.get(id).words)),
      ...node.stops.map((words) => warningBox("stop", "Stop", words)),
      node.note ? make("p", { class: "note" }, node.note) : null,
      node.tools.length ? make("p", {}, make("strong", {}, "Tools: "), node.tools.join(", ")) : null,
      list("ol", node.lines),
      node.sketch ? make("pre", { "aria-label": "Sketch" }, node.sketch) : null,
      readingForm(node),
      node.branches.length ? answers(node) : null,
    );
  }

  function minutesSoFar() {
    return trail.reduce((sum, step) => sum + nodes.get(step.at).minutes, 0);
  }

  function show(moveFocus) {
    const at = place();
    if (at === null) {
      fill(heading("Solved"), make("p", {}, "The complaint is gone, after about "
        + shown(minutesSoFar()) + " minutes of work. Put every tool and cap back where it belongs."));
    } else {
      showNode(nodes.get(at));
    }
    backButton.disabled = trail.length === 0;
    restartButton.textContent = "Start over";
    showHistory();
    if (moveFocus) {
      stepBox.querySelector("h1").focus();
      window.scrollTo(0, 0);
    }
  }

  function showHistory() {
    historyList.replaceChildren(...trail.map((step, index) => {
      const node = nodes.get(step.at);
      const said = step.typed || node.branches[step.branch].label || "done";
      const button = make("button", { type: "button" }, node.title + " – " + said);
      button.setAttribute("aria-label", "Go back to: " + node.title + " – " + said);
      button.addEventListener("click", () => {
        trail = trail.slice(0, index);
        changed();
      });
      return make("li", {}, button);
    }));
    document.getElementById("history-title").textContent = trail.length ? "So far" : "Nothing answered yet";
  }

  backButton.addEventListener("click", () => {
    if (held === null) trail.pop();
    changed();
  });

  restartButton.addEventListener("click", () => {
    if (trail.length && restartButton.textContent === "Start over") {
      restartButton.textContent = "Forget all answers?";
      return;
    }
    trail = [];
    changed();
  });

  function theme(name) {
    if (name === "dark" || name === "light") document.documentElement.dataset.theme = name;
  }

  document.getElementById("theme").addEventListener("click", () => {
    const wasDark = document.documentElement.dataset.theme
      ? document.documentElement.dataset.theme === "dark"
      : window.matchMedia("(prefers-color-scheme: dark)").matches;
    theme(wasDark ? "light" : "dark");
    store(themeKey, wasDark ? "light" : "dark");
  });

  const all = document.getElementById("all");
  window.addEventListener("beforeprint", () => { all.open = true; });
  theme(stored(themeKey));
  trail = readTrail(stored(trailKey));
  if (trail.length) savedNote.textContent = "Going on where you stopped.";
  all.open = false;
  document.getElementById("walk").hidden = false;
  show(false);
})();
