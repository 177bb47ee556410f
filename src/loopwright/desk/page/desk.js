// The desk: one paper, its text and its answer. Every act goes to the file first, and what comes back is shown;
// pieces of HTML come from the desk, and what bears data-act, data-post or data-of in them is heard of here.

import { ask, at, desk, fill, told } from "./ask.js";
import { Lines } from "./lines.js";
import { Paper } from "./paper.js";
import { Pen } from "./pen.js";
import { Plots } from "./plots.js";
import { Values } from "./values.js";

Object.assign(desk, {
  name: "", version: "", text: "", anchor: "", lit: [], begun: [], beside: [], turn: 0, queue: Promise.resolve(),
  at: (what) => `/papers/${encodeURIComponent(desk.name)}${what ? `/${what}` : ""}`,

  act: (...edits) => desk.send("edits", { edits }),
  undo: () => desk.send("undo", {}, "Taken back."),
  redo: () => desk.send("redo", {}, "Done again."),

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
    Object.assign(desk, { name, version, text, moved: null });
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

  // A part of the page that is worked out, or why there is none.
  part(id, got) {
    if (got.ok) fill(id, got.html);
    else at(id).textContent = at(id).filled = told(got);
    desk.lead();
  },

  // What leads to something of the paper knows which it is; what scrolls by itself can be scrolled by keys.
  lead() {
    for (const link of document.querySelectorAll("[data-out]")) link.href = desk.at(link.dataset.out);
    setTimeout(desk.reach, 200); // once nothing waits for it
  },
  reach() {
    for (const box of document.querySelectorAll(".formula, .table, .wide, .drawing")) {
      if (!box.closest("details:not([open])") && box.scrollWidth > box.clientWidth) box.tabIndex = 0;
    }
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

  // Lights whatever comes from these elements and currents, or of the terms one.
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

  // A line of the working under the hand: what it was made from is lit, and it can be taken along.
  line(one) {
    for (const lit of document.querySelectorAll(".line.lit")) lit.classList.remove("lit");
    for (const { hash } of one.querySelectorAll(".reason a")) at(hash.slice(1))?.classList.add("lit");
    desk.hint("A line:", "line");
  },
  copy() {
    const { latex } = document.activeElement.closest("[data-latex]").dataset;
    navigator.clipboard.writeText(latex).then(() => desk.say(`Copied: ${latex}`), () => desk.say("The browser would not copy."));
  },

  say(words) { if (words) at("said").textContent = words; },

  // One sentence at the foot says what the keys do with what is under the hand, which is of these kinds.
  hint(what, ...kinds) {
    at("under").textContent = what;
    kinds.push(desk.name && "any");
    for (const each of at("hint").querySelectorAll("li")) each.hidden = !each.dataset.in.split(" ").some((kind) => kinds.includes(kind));
  },
  board: () => at("to-board").click(),
  // A key does what it does when it is pressed there.
  press(key) {
    const there = [...at("hint").querySelectorAll("li:not([hidden]) button")].find(({ textContent, dataset }) => [textContent, dataset.also].includes(key));
    there?.click();
    return there;
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
    const { papers = [], html = "" } = await ask(`/papers?open=${encodeURIComponent(desk.name)}`);
    fill("papers-list", html);
    return papers;
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
    desk.lead();
    await desk.list();
    desk.paper.hints();
    document.body.dataset.ready = name;
  },
});

desk.pen = new Pen();
desk.paper = new Paper();
desk.values = new Values();
desk.lines = new Lines();
desk.plots = new Plots();
globalThis.desk = desk;

// What a press on a piece of the page does, by the attribute that it bears.
const PRESSED = {
  do: (what) => { const [act, part] = what.split(" "); (desk[part] ?? desk)[act](); },
  edit: (act) => desk.paper.edit(act),
  // What it does may be another thing by the time the acts before it are done.
  act: (value, { id }) => desk.send("edits", () => ({ edits: [JSON.parse(at(id)?.dataset.act ?? value)] })),
  plot: (value) => desk.plots.choose(...JSON.parse(value)),
  line: (value) => desk.lines.go(Number(value)),
  beside: (method, { checked }) => desk.methods([...desk.beside.filter((each) => each !== method), ...(checked ? [method] : [])].slice(-2)),
  async post(path, { dataset: { given, named } }) {
    const name = at("new-name").value.trim();
    if (named === "to" && !(desk.name && name)) return;
    const got = await ask(path || desk.at("rename"), named && name ? { [named]: name } : JSON.parse(given ?? "{}"));
    if (got.name) location.hash = encodeURIComponent(got.name);
    else if (got.bin && path === desk.at("bin")) location.hash = "";
    if (!got.ok) desk.say(told(got));
    await desk.list();
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
    const line = target.closest?.(".line");
    if (line && kind === "focusin") desk.line(line);
    const one = target.closest?.("[data-of], [data-lights]"), term = one?.matches(".term") ? one : null;
    if (!one || one.matches("#drawn [data-of]")) return;
    desk.light((one.dataset.lights ?? one.dataset.of).split(" "), one.dataset.why, term);
    if (term && kind === "focusin") desk.hint("A term:", "term");
  });
}
at("hint").addEventListener("pointerdown", (event) => event.preventDefault()); // the hand stays where it is
at("papers").addEventListener("toggle", desk.list);
at("methods").addEventListener("toggle", () => desk.methods());
at("proved").addEventListener("toggle", desk.reach, true);

// The terms of all equations are one stop, and so are the lines of a derivation; the arrow keys go along them.
addEventListener("keydown", (event) => {
  const [down, right] = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] }[event.key] ?? [];
  const now = event.target.closest?.(".term, .line");
  if (!now) return;
  if (!event.ctrlKey && !event.metaKey) desk.press(event.key);
  if (down === undefined) return;
  const rows = now.matches(".line") ? [...now.parentElement.querySelectorAll(".line")].map((line) => [line])
    : [...at("equations").children].map((row) => [...row.querySelectorAll(".term")]);
  const i = rows.findIndex((row) => row.includes(now)), row = rows[i + down] ?? rows[i];
  const j = rows[i].indexOf(now) + right, next = row[Math.max(0, Math.min(row.length - 1, j))];
  now.tabIndex = -1;
  next.tabIndex = 0;
  next.focus();
  event.preventDefault();
});

addEventListener("keydown", (event) => {
  const { key, target, ctrlKey, metaKey, shiftKey, altKey } = event, typing = target.matches("textarea:not(#text), input[type=text]");
  if (typing || altKey || !(ctrlKey || metaKey)) return;
  if (desk.press(`Ctrl+${shiftKey ? "Shift+" : ""}${key.toUpperCase()}`)) event.preventDefault();
});
addEventListener("hashchange", () => desk.open());
new EventSource("/events").addEventListener("message", async (event) => {
  const { paper, version } = JSON.parse(event.data);
  await desk.queue;
  if (paper === desk.name && version === desk.version) return;
  desk.list();
  if (paper !== desk.name || !version) return;
  const before = desk.version; // which may be later than the event's
  await desk.open();
  if (desk.version !== before) desk.say("The file was changed elsewhere.");
});

const papers = await desk.list();
if (!location.hash && papers.length) location.hash = encodeURIComponent(papers[0].name);
else await desk.open();
