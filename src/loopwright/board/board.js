// The board: shows one stage at a time. A stage is a whole scene, so any of them can be shown from any other.
"use strict";
const plan = JSON.parse(document.getElementById("plan").textContent);
const stages = plan.stages, root = document.documentElement, body = document.body;
const at = (id) => document.getElementById(id);
const isSpeaker = location.hash === "#speaker";
let here = 0, speaker = null, started = 0, line = null, run = null;  // run: when which stage came on, while that is noted
const shown = new Set();

// -- one stage -------------------------------------------------------------------------------------------------

function set(elements, names) { for (const e of elements) for (const [name, on] of names(e)) e.classList.toggle(name, on); }

function figure(stage) {
  for (const box of document.querySelectorAll(".figure")) box.hidden = box.id !== stage.figure;
  const now = stage.figure && at(stage.figure);
  if (!now) return;
  const became = new Map(stage.became), lit = new Set(stage.lit);
  set(now.querySelectorAll("g[data-of]"), (g) => {
    const kind = g.classList[0], name = g.dataset.of;
    const what = became.get(name);
    return [
      ["down", kind === "arrow" ? stage.arrows.includes(name) : kind === "loop" ? stage.loops.includes(name)
        : kind === "bridge" && what === "wire"],
      ["gap", kind === "element" && what === "gap"],
      ["wire-now", kind === "element" && what === "wire"],
      ["lit", lit.has(kind + " " + name)],
    ];
  });
}

const narrow = matchMedia("(max-aspect-ratio: 3/2)");  // as in the style: the frame is 4:3
const shape = () => narrow.matches ? "4:3" : "16:9";
narrow.addEventListener("change", () => show(here, false));

function working(stage) {
  const inSight = stage.lines[shape()];
  const used = new Set(stage.used), fresh = new Set(stage.new), wanted = new Set(inSight);
  for (const id of shown) if (!wanted.has(id)) { at(id).hidden = true; shown.delete(id); }
  for (const id of inSight) {
    const e = at(id);
    e.hidden = false;
    e.classList.toggle("used", used.has(id));
    e.classList.toggle("new", fresh.has(id));
    shown.add(id);
  }
  const room = at("working");  // letters of another make may need more room than was reckoned: the oldest unmarked goes
  for (const id of inSight) {
    if (room.scrollHeight <= room.clientHeight + 1) break;
    if (!fresh.has(id) && !used.has(id)) { at(id).hidden = true; shown.delete(id); }
  }
  for (const p of document.querySelectorAll(".remark")) p.hidden = p.id !== stage.remark;
}

function show(n, told = true) {
  here = Math.max(0, Math.min(stages.length - 1, n));
  const stage = stages[here];
  body.classList.remove("blank");
  body.classList.toggle("wide", stage.wide.includes(shape()));
  figure(stage);
  working(stage);
  at("chapter").textContent = plan.chapters[stage.chapter] + " · " + (here + 1) + " of " + stages.length;
  at("words").textContent = stage.words;
  root.dataset.stage = here + 1;
  for (const b of document.querySelectorAll("[data-stage]")) if (b !== root) b.setAttribute("aria-current", String(b.dataset.stage === String(here + 1)));
  if (isSpeaker) notes(stage);
  else {
    location.replace("#" + (here + 1));
    if (told && run) run.push([elapsed(), here + 1]);
    if (told) tellSpeaker();
  }
}

function go(n) {
  if (isSpeaker) { if (window.opener) window.opener.postMessage({ board: "go", stage: n }, "*"); else show(n); return; }
  if (!started) started = performance.now();
  show(n);
}

// -- the speaker's window --------------------------------------------------------------------------------------

function tellSpeaker() {
  if (speaker && !speaker.closed) speaker.postMessage({ board: "stage", stage: here, noting: run !== null }, "*");
}

const clock = (s) => Math.floor(s / 60) + ":" + String(Math.floor(s % 60)).padStart(2, "0");
const before = (n) => stages.slice(0, n).reduce((sum, s) => sum + s.seconds, 0);

function notes(stage) {
  const next = stages[here + 1];
  at("now").textContent = stage.words + (stage.pause ? " (Wait.)" : "");
  at("then").textContent = next ? next.words : "The end.";
  at("where").textContent = "Stage " + (here + 1) + " of " + stages.length;
  at("planned").textContent = "planned " + clock(before(here)) + " of " + clock(before(stages.length));
}

function tick() { at("elapsed").textContent = started ? clock((performance.now() - started) / 1000) : "0:00"; }

function openSpeaker() {
  if (speaker && !speaker.closed) { speaker.focus(); return; }
  speaker = window.open(location.href.split("#")[0] + "#speaker", "loopwright-speaker", "popup,width=1200,height=800");
}

window.addEventListener("message", (event) => {
  const said = event.data;
  if (!said || typeof said !== "object" || !said.board) return;
  if (isSpeaker && event.source === window.opener && said.board === "stage") {
    if (!started && said.stage !== here) started = performance.now();
    if (said.noting && !body.classList.contains("noting")) started = performance.now();
    noting(Boolean(said.noting));
    show(said.stage);
  }
  if (!isSpeaker && event.source === speaker) {
    if (said.board === "hello") tellSpeaker();
    if (said.board === "times") times();
    if (said.board === "go" && Number.isInteger(said.stage)) go(said.stage);
  }
});

// -- the times of a run ----------------------------------------------------------------------------------------

const elapsed = () => Math.round(performance.now() - started) / 1000;

function noting(on) {
  body.classList.toggle("noting", on);
  for (const button of document.querySelectorAll("[data-does=times]")) button.textContent = on ? "Stop and save the times" : "Note the times";
}

function times() {
  if (isSpeaker) { if (window.opener) window.opener.postMessage({ board: "times" }, "*"); return; }
  if (run) {
    const held = { lecture: plan.title, stages: stages.length, mark: plan.mark, shown: run, seconds: elapsed() };
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([JSON.stringify(held) + "\n"], { type: "application/json" }));
    link.download = "board-times.json";
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
    run = null;
  } else {
    started = performance.now();
    run = [[0, here + 1]];
  }
  noting(run !== null);
  tellSpeaker();
}

// -- the pen ---------------------------------------------------------------------------------------------------

const ink = at("ink");
ink.setAttribute("viewBox", "0 0 100 100");
ink.setAttribute("preserveAspectRatio", "none");
function spot(event) {
  const box = ink.getBoundingClientRect();
  return ((event.clientX - box.left) / box.width * 100).toFixed(2) + " " + ((event.clientY - box.top) / box.height * 100).toFixed(2);
}
ink.addEventListener("pointerdown", (event) => {
  line = document.createElementNS("http://www.w3.org/2000/svg", "path");
  line.setAttribute("vector-effect", "non-scaling-stroke");
  line.setAttribute("stroke-width", Math.max(2, ink.clientHeight / 200));
  line.setAttribute("d", "M" + spot(event));
  ink.append(line);
  ink.setPointerCapture(event.pointerId);
});
ink.addEventListener("pointermove", (event) => { if (line) line.setAttribute("d", line.getAttribute("d") + "L" + spot(event)); });
ink.addEventListener("pointerup", () => { line = null; });

// -- what keys and buttons do ----------------------------------------------------------------------------------

function openOnly(dialog) {
  for (const d of document.querySelectorAll("dialog[open]")) if (d !== dialog) d.close();
  if (!dialog.open) dialog.showModal();
}

const does = {
  next: () => go(here + 1),
  back: () => go(here - 1),
  first: () => go(0),
  last: () => go(stages.length - 1),
  overview: () => { openOnly(at("overview")); const now = at("overview").querySelector("[aria-current=true]"); if (now) now.focus(); },
  speaker: openSpeaker,
  full: () => { if (document.fullscreenElement) document.exitFullscreen(); else root.requestFullscreen().catch(() => {}); },
  pen: () => { body.classList.toggle("pen"); },
  wipe: () => { ink.replaceChildren(); },
  look: () => { root.dataset.look = root.dataset.look === "dark" ? "light" : "dark"; },
  dark: () => { body.classList.toggle("blank"); },
  times,
  restart: () => { started = performance.now(); tick(); },
  close: () => { for (const d of document.querySelectorAll("dialog[open]")) d.close(); },
};
const stays = new Set(["next", "back", "first", "last", "restart", "overview"]);  // in which no dialog is closed first
const keys = {
  ArrowRight: "next", ArrowDown: "next", PageDown: "next", " ": "next", Enter: "next",
  ArrowLeft: "back", ArrowUp: "back", PageUp: "back", Backspace: "back", Home: "first", End: "last",
  o: "overview", s: "speaker", f: "full", p: "pen", w: "wipe", l: "look", b: "dark", ".": "dark", t: "times",
};

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const name = keys[event.key.length === 1 ? event.key.toLowerCase() : event.key];
  const onButton = event.target.closest && event.target.closest("button");
  if (!name || document.querySelector("dialog[open]") || (onButton && (event.key === " " || event.key === "Enter"))) return;
  event.preventDefault();
  does[name]();
});

document.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  if (button && button.id === "menu-button") { openOnly(at("menu")); return; }
  if (button && button.dataset.stage) { does.close(); go(Number(button.dataset.stage) - 1); return; }
  if (button && button.dataset.does) { if (!stays.has(button.dataset.does)) does.close(); does[button.dataset.does](); return; }
  if (!isSpeaker && event.target.closest("#frame") && !body.classList.contains("pen")) go(here + 1);
});

const asked = Number(location.hash.slice(1));
if (isSpeaker) {
  body.classList.add("speaker");
  document.title = "Speaker: " + plan.title;
  setInterval(tick, 500);
  if (window.opener) window.opener.postMessage({ board: "hello" }, "*");
}
show(Number.isInteger(asked) && asked > 0 ? asked - 1 : 0, false);
root.dataset.ready = "yes";
