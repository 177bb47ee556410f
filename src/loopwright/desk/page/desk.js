// The desk: one paper, its text and its answer. Every act goes to the file first, and what comes back is shown;
// pieces of HTML come from the desk, and what bears data-act, data-post or data-of in them is heard of here.

import { ask, at, fill, told } from "./ask.js";
import { Lines } from "./lines.js";
import { Paper } from "./paper.js";
import { Pen } from "./pen.js";
import { Plots } from "./plots.js";
import { Values } from "./values.js";

const desk = {
  name: "", version: "", text: "", anchor: "", lit: [], begun: [], beside: [], turn: 0, queue: Promise.resolve(), sheets: {},
  at: (what) => `/papers/${encodeURIComponent(desk.name)}${what ? `/${what}` : ""}`,

  act: (...edits) => desk.send("edits", { edits }),
  step: (way) => desk.send(way, {}, way === "undo" ? "Taken back." : "Done again."),

  // One act after another, so that each is made to the version that the last one left.
  send(path, given, said) {
    return (desk.queue = desk.queue.then(async () => {
      const got = await ask(desk.at(path), { version: desk.version, like: desk.anchor, ...(given.call ? given() : given) });
      if (got.ok) {
        desk.take(got);
        desk.say(got.said ?? said);
      } else if ("theirs" in got) desk.both(got);
      else desk.say(told(got));
      return got.ok;
    }));
  },

  // What a text half typed would give; nothing is kept of it.
  async look(edit) {
    const mine = ++desk.turn, got = await ask(desk.at("look"), { text: desk.text, edits: [edit], like: desk.anchor });
    if (mine !== desk.turn) return null;
    if (got.ok) desk.show(got.answer, got.text);
    return got.ok ? got.fault : told(got);
  },

  take({ name, version, text, answer }) {
    desk.turn++;
    Object.assign(desk, { name, version, text });
    clearTimeout(desk.soon);
    desk.soon = setTimeout(answer ? desk.prove : desk.open, 40); // no answer: the paper went on meanwhile
    if (!answer) return;
    desk.answer = answer;
    if (!answer.kept) desk.anchor = text; // the text whose picture is kept
    desk.show(answer, text);
  },

  show(answer = desk.answer, text = desk.text) {
    at("title").textContent = answer.title || desk.name;
    document.title = `${answer.title || desk.name}: the desk`;
    desk.paper.show(answer);
    for (const [id, html] of Object.entries(answer.pieces)) fill(id, html);
    desk.values.show();
    desk.lines.show(text);
    at("proved").classList.add("stale");
    desk.light(desk.lit);
  },

  async prove() {
    desk.plots.draw();
    const version = desk.version, got = await ask(`${desk.at("proved")}?version=${encodeURIComponent(version)}`);
    if (version !== desk.version) return;
    if (got.status === 409) desk.soon = setTimeout(desk.open, 500);
    if (!got.ok) return;
    desk.part("proved", got);
    at("proved").classList.remove("stale");
    desk.methods();
  },

  // A part of the page that brings the rules of its own formulas, or why there is none.
  part(id, got) {
    desk.sheets[id] ??= new CSSStyleSheet();
    desk.sheets[id].replaceSync(got.style ?? "");
    document.adoptedStyleSheets = Object.values(desk.sheets);
    if (got.ok) fill(id, got.html);
    else at(id).textContent = at(id).filled = told(got);
    desk.reach();
  },

  // What scrolls by itself can be scrolled by keys; what leads to something of the paper knows which it is.
  reach() {
    for (const box of document.querySelectorAll(".formula, .table, .wide, .drawing")) {
      if (!box.closest("details:not([open])") && box.scrollWidth > box.clientWidth) box.tabIndex = 0;
    }
    for (const link of document.querySelectorAll("[data-out]")) link.href = desk.at(link.dataset.out);
  },

  async methods(beside = desk.beside) {
    desk.beside = beside;
    if (!at("methods").open) return;
    const got = await ask(`${desk.at("methods")}?beside=${encodeURIComponent(beside.join())}`);
    if (beside !== desk.beside || got.status === 409) return;
    desk.part("methods-inside", got);
  },

  // The file went on while something was changed here: both are shown, and nothing is lost.
  both({ theirs, yours }) {
    at("theirs").textContent = theirs ?? "";
    at("yours").textContent = yours ?? "";
    at("mine").hidden = yours === null;
    at("both").onclose = async () => {
      await desk.open();
      if (at("both").returnValue === "mine") desk.act({ do: "text", text: yours });
    };
    at("both").returnValue = "";
    at("both").showModal();
  },

  // Lights whatever comes from these elements and currents, in the figure and in the working; or of the terms one.
  light(names, why, one) {
    const reasons = new Set();
    desk.lit = names;
    for (const each of document.querySelectorAll("[data-of]")) {
      const lit = names.includes(each.dataset.of) && (!one || each === one || !each.matches(".term"));
      each.classList.toggle("lit", lit && !each.matches("g.point"));
      if (lit && each.dataset.why) reasons.add(each.dataset.why);
    }
    at("why").textContent = why || [...reasons].slice(0, 3).join(" ");
  },

  say(words) { if (words) at("said").textContent = words; },

  // One sentence at the foot; every key in it can be pressed there as well.
  hint(what, ...keys) {
    const back = [["Ctrl+Z", "takes back", () => desk.step("undo")], ["Ctrl+Y", "does again", () => desk.step("redo")]];
    const all = [...keys.filter((key) => key && key[1]), ...(desk.name ? back : [])];
    at("hint").replaceChildren(what, ...all.flatMap(([key, does, press], i) => {
      const cap = document.createElement(press ? "button" : "kbd");
      cap.textContent = key;
      cap.onclick = press;
      cap.onpointerdown = (event) => event.preventDefault(); // the hand stays where it is
      return [i === 0 ? " " : i < all.length - 1 ? ", " : " and ", cap, ` ${does}`];
    }), ".");
  },

  // A loop of one's own is pointed out branch by branch; a branch waits until the one before has been taken.
  inLoop(name) { return (desk.taking = Promise.resolve(desk.taking).then(() => desk.takeInLoop(name))); },
  async takeInLoop(name) {
    const got = await ask(desk.at("loop"), { text: desk.text, names: [...desk.begun, name] });
    desk.begun = got.names ?? [];
    desk.light(desk.begun);
    desk.say(got.said ?? told(got));
    at("loops").open ||= !!got.act;
    if (got.act) await desk.act(got.act);
  },

  async list() {
    const { papers = [], html = "" } = await ask("/papers");
    fill("papers-list", html);
    at(`paper:${desk.name}`)?.querySelector("a").setAttribute("aria-current", "page");
    desk.figures();
    return papers;
  },

  // The small figures of the list, drawn anew while it is open.
  figures() {
    if (at("papers").open) for (const one of document.querySelectorAll("[data-figure]")) one.src = `${one.dataset.figure}?${Date.now()}`;
  },

  async post(path, given) {
    const got = await ask(path, given);
    if (got.name) location.hash = encodeURIComponent(got.name);
    else if (got.bin && path === desk.at("bin")) location.hash = "";
    if (!got.ok) desk.say(told(got));
    await desk.list();
  },

  async open() {
    const name = decodeURIComponent(location.hash.slice(1));
    if (!name) return;
    const got = await ask(`/papers/${encodeURIComponent(name)}`);
    if (!got.ok) { desk.say(told(got)); return; }
    if (name !== desk.name) {
      desk.anchor = "";
      desk.beside = [];
      desk.paper.clear();
      for (const id of ["lines", "plot-choice"]) fill(id, "");
    }
    desk.take(got);
    desk.reach();
    await desk.list();
    desk.paper.hints();
    document.body.dataset.ready = name;
  },
};

desk.pen = new Pen(desk);
desk.paper = new Paper(desk);
desk.values = new Values(desk);
desk.lines = new Lines(desk);
desk.plots = new Plots(desk);
globalThis.desk = desk;

// What a press on a piece of the page does, by the attribute that it bears.
const PRESSED = {
  // What it does may be another thing by the time the acts before it are done.
  act: (value, { id }) => desk.send("edits", () => ({ edits: [JSON.parse(at(id)?.dataset.act ?? value)] })),
  plot: (value) => desk.plots.choose(...JSON.parse(value)),
  line: (value) => desk.lines.go(Number(value)),
  beside: (method, { checked }) => desk.methods([...desk.beside.filter((each) => each !== method), ...(checked ? [method] : [])].slice(-2)),
  post: (path, { dataset: { given, named } }) => {
    const name = at("new-name").value.trim(), fields = JSON.parse(given ?? "{}");
    if (named !== "to" || (desk.name && name)) desk.post(path || desk.at("rename"), named && name ? { [named]: name } : fields);
  },
};
addEventListener("click", (event) => {
  const { target } = event, line = target.closest?.("main a[href^='#']");
  if (line) { // the address names the paper, not a line of it
    event.preventDefault();
    at(line.hash.slice(1))?.scrollIntoView({ block: "nearest" });
  }
  for (const [kind, press] of Object.entries(PRESSED)) {
    const one = target.closest?.(`[data-${kind}]`);
    if (one) press(one.dataset[kind], one);
  }
});
for (const kind of ["focusin", "pointerover"]) {
  addEventListener(kind, ({ target }) => {
    const one = target.closest?.("[data-of], [data-lights]"), term = one?.matches(".term") ? one : null;
    if (!one || one.matches("#drawn [data-of]")) return;
    desk.light((one.dataset.lights ?? one.dataset.of).split(" "), one.dataset.why, term);
    if (term && kind === "focusin") desk.hint("A term:", ["←", "and → go along the equation"], ["↑", "and ↓ to the next one"], ["Tab", "goes on"]);
  });
}
at("papers").addEventListener("toggle", desk.figures);
at("methods").addEventListener("toggle", () => desk.methods());
at("proved").addEventListener("toggle", desk.reach, true);

// The terms of all equations are one stop; the arrow keys go along them.
at("equations").addEventListener("keydown", (event) => {
  const way = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] }[event.key];
  const now = event.target.closest(".term");
  if (!way || !now) return;
  const [i, j] = now.id.split(":").slice(1).map((n, axis) => Number(n) + way[axis]);
  const row = [...at("equations").children].at(Math.max(i, 0)) ?? now.closest("li"), terms = [...row.querySelectorAll(".term")];
  const next = terms[Math.max(0, Math.min(terms.length - 1, j))];
  now.tabIndex = -1;
  next.tabIndex = 0;
  next.focus();
  event.preventDefault();
});

addEventListener("keydown", (event) => {
  const way = { z: event.shiftKey ? "redo" : "undo", y: "redo" }[event.key.toLowerCase()];
  const typing = event.target.matches("textarea, input[type=text]") && event.target.id !== "text";
  if (!way || typing || event.altKey || !(event.ctrlKey || event.metaKey)) return;
  event.preventDefault();
  desk.step(way);
});
addEventListener("hashchange", () => desk.open());
new EventSource("/events").addEventListener("message", async (event) => {
  const { paper, version } = JSON.parse(event.data);
  desk.list();
  await desk.queue;
  if (paper !== desk.name || !version || version === desk.version) return;
  const before = desk.version; // the event may be of a version that was ours meanwhile
  await desk.open();
  if (desk.version !== before) desk.say("The file was changed elsewhere.");
});

const papers = await desk.list();
if (!location.hash && papers.length) location.hash = encodeURIComponent(papers[0].name);
else await desk.open();
