// The sheet of paper: points, branches with what is written along them, arrows. By mouse, touch and keyboard.
// What is drawn comes from the desk as SVG in mm, with a shape for each thing that can be touched.

import { at, fill } from "./ask.js";

const LETTERS = "abcdefghjkmnpqstuvwxyz";
const MOST = 6.4, LEAST = 2.5; // px for a millimetre
const STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const KEYS = { Escape: "Esc", " ": "Enter", Backspace: "Delete" };
const BLANK = { size: [0, 0], across: [], up: [], points: {}, branches: {} };

// Where a place of the ruling is along an axis.
function along(lines, place) {
  const i = lines.findIndex(([line]) => line >= place), next = i < 0 ? lines.length - 1 : i || 1;
  const [[a, x], [b, y]] = [lines[next - 1], lines[next]];
  return x + ((y - x) * (place - a)) / (b - a);
}

export class Paper {
  constructor(desk) {
    this.desk = desk;
    this.board = at("board");
    this.clear();
    this.board.addEventListener("keydown", (event) => this.key(event));
    this.board.addEventListener("pointerdown", (event) => this.down(event));
    this.board.addEventListener("touchstart", (event) => event.target.closest(".of-point") && event.preventDefault(), { passive: false });
    this.board.addEventListener("focusin", ({ target }) => this.focused(target.closest(".thing")));
    new ResizeObserver(() => this.fit()).observe(this.board);
  }
  clear() {
    this.now = BLANK;
    this.loose = new Map(); // points put down that no branch touches yet: name -> place
    this.corner = this.under = null; // of the paper in sight; what is under the hand: {kind, name}
    this.from = this.hand = null; // the point from which a branch is drawn; where a point is to be put by keys
  }

  // -- showing ---------------------------------------------------------------------------------

  show({ paper, drawable }) {
    const kept = !paper || (!drawable && Object.keys(this.now.branches).length > 0);
    this.board.classList.toggle("kept", kept);
    if (kept) return;
    const held = this.board.contains(document.activeElement) && !this.desk.pen.job;
    const anchor = [this.under?.name, ...Object.keys(paper.points)].find((name) => paper.points[name] && this.where(name));
    const before = anchor && this.where(anchor);
    this.now = paper;
    for (const name of Object.keys(paper.points)) this.loose.delete(name);
    if (anchor && this.corner) this.corner = this.corner.map((c, i) => c + paper.points[anchor].at[i] - before[i]);
    else if (!this.loose.size) this.corner = null;
    fill("drawn", paper.svg, () => this.flow());
    this.fit();
    if (held && !this.board.contains(document.activeElement)) this.focus(at(this.wanted) ?? this.all()[0] ?? this.board);
    this.wanted = null;
  }

  fit() {
    const [width, height] = this.now.size, least = Math.min(innerHeight * 0.62, 520);
    this.scale = Math.min(MOST, Math.max(LEAST, (this.board.clientWidth || 600) / (width + 12)), Math.max(4.4, least / (height + 16)));
    const tall = Math.max(least, (height + 24) * this.scale);
    this.board.style.height = `${tall}px`;
    const room = [(this.board.clientWidth || 600) / this.scale, tall / this.scale];
    const corner = this.corner ?? room.map((r, i) => (this.now.size[i] - r) / 2);
    this.corner = corner.map((c, i) => (this.now.size[i] + 8 > room[i] ? (this.now.size[i] - room[i]) / 2
      : Math.min(-4, Math.max(this.now.size[i] + 4 - room[i], c))));
    at("sheet").setAttribute("viewBox", [...this.corner, ...room].join(" "));
    fill("loose", [...this.loose].map(([name, place]) => {
      const [x, y] = this.mm(place), dot = (kind, r) => `<circle class="${kind}" cx="${x}" cy="${y}" r="${r}"/>`;
      return `<g class="thing of-point" id="point:${name}" role="button" tabindex="-1" aria-label="Point ${name}, not joined yet"
        data-kind="point" data-name="${name}" data-at="${x} ${y}" data-lights="">${dot("loose", 1)}${dot("reach", 2.8)}${dot("ring", 2.8)}
        <text class="loose-name" x="${x + 1.6}" y="${y - 1.6}">${name}</text></g>`;
    }).join(""));
    const all = this.all();
    at("first").hidden = all.length > 0;
    this.board.tabIndex = all.length ? -1 : 0;
    const stop = this.find(this.under?.kind, this.under?.name) ?? all.find((thing) => thing.dataset.kind === "point") ?? all[0];
    if (stop) stop.setAttribute("tabindex", 0);
    this.band(this.from, this.hand && this.mm(this.hand), this.hand);
  }

  // How broad each arrow is tells how much flows, and it points as the current runs.
  flow(shares = {}) {
    for (const arrow of at("drawn").querySelectorAll(".flow")) {
      const share = shares[arrow.dataset.current] ?? Number(arrow.dataset.share);
      arrow.style.transform = `scale(${share < 0 ? -1 : 1}, ${share ? 0.5 + 2.2 * Math.abs(share) : 0})`;
      arrow.dataset.way = share < 0 ? "against" : "along";
    }
  }

  // A line being drawn from a point, and a cross where the hand is.
  band(from, mm, hand) {
    const start = from && this.where(from), lines = [];
    if (start) lines.push(`M${start[0] - 2.4} ${start[1]}a2.4 2.4 0 1 0 4.8 0a2.4 2.4 0 1 0 -4.8 0`);
    if (start && mm) lines.push(`M${start}L${mm}`);
    if (hand && mm) lines.push(`M${mm[0] - 3} ${mm[1]}h6M${mm[0]} ${mm[1] - 3}v6`);
    at("band").setAttribute("d", lines.join(""));
  }

  // -- finding and focusing --------------------------------------------------------------------

  all() { return [...this.board.querySelectorAll(".thing:not(.of-arrow)")]; }
  find(kind, name) { return at(`${kind}:${name}`); }
  focus(thing) {
    for (const other of this.all()) other.setAttribute("tabindex", -1);
    thing.setAttribute("tabindex", 0);
    thing.focus({ preventScroll: true });
  }
  focused(thing) {
    if (thing) this.under = { ...thing.dataset };
    if (this.from && thing?.dataset.kind === "point") this.band(this.from, this.where(thing.dataset.name));
    if (!this.desk.pen.job) this.hints();
  }
  // The branch that is under the hand, or in which what is there stands.
  branch({ kind, name } = this.under ?? {}) {
    if (kind === "point") return undefined;
    return Object.keys(this.now.branches).find((b) => b === name || this.now.branches[b].elements.includes(name));
  }
  places() { return new Map([...this.loose, ...Object.entries(this.now.points).map(([name, { place }]) => [name, place])]); }
  where(name) { return this.now.points[name]?.at ?? (this.loose.has(name) ? this.mm(this.loose.get(name)) : null); }
  taken([x, y]) { return [...this.places()].find(([, [u, v]]) => u === x && v === y)?.[0]; }
  mm([x, y]) { return [along(this.now.across, x), along(this.now.up, y)]; }
  px([x, y]) { return [(x - this.corner[0]) * this.scale, (y - this.corner[1]) * this.scale]; }
  pointed({ clientX, clientY }) {
    const { left, top } = this.board.getBoundingClientRect();
    return [(clientX - left) / this.scale + this.corner[0], (clientY - top) / this.scale + this.corner[1]];
  }
  // The nearest crossing of the ruling, and the point that lies near.
  nearest(mm) {
    return [this.now.across, this.now.up].map((lines, i) =>
      lines.reduce((best, line) => (Math.abs(line[1] - mm[i]) < Math.abs(best[1] - mm[i]) ? line : best))[0]);
  }
  near([x, y]) {
    return [...this.places().keys()].find((name) => { const [u, v] = this.where(name); return Math.hypot(u - x, v - y) < 4; });
  }

  // -- what can be done ------------------------------------------------------------------------

  // A head, then for each key what it does: in words for the foot (none where it goes without saying), and as an act.
  acts() {
    const { kind, name } = this.under ?? {}, b = this.branch(), { desk } = this;
    const leave = ["Esc", "leaves it", () => this.leave()], fresh = (words) => ["n", words, () => this.startHand()];
    const board = ["k", "opens the board", () => at("to-board").click()];
    const layOut = this.now.placed && ["g", "leaves the layout to the desk", () => desk.act({ do: "lay out" })];
    if (this.hand)
      return ["The hand is on the ruling:", ["arrow keys", "move it"], ["Enter", "puts a point there", () => this.putAtHand()], leave];
    if (this.from)
      return [`From ${this.from}:`, ["arrow keys", "go to the other point"], fresh("puts a new one"),
        ["Enter", `joins ${this.from} to what is under the hand`, () => kind === "point" && this.join(this.from, name)], leave];
    if (kind === "point")
      return [`Point ${name}:`, ["b", "draws a branch from it", () => this.begin(name)], ["Enter", "", () => this.begin(name)],
        ["Shift + arrows", "move it"], ["r", "names it anew", () => this.rename()], fresh("puts another"),
        ["Delete", this.loose.has(name) && "takes it away", () => this.takeOut()], layOut, board];
    if (b)
      return [kind === "branch" ? `Branch ${b}:` : `${name} in ${b}:`, ["t", `turns the arrow of ${b}`, () => this.turn(b)],
        ["Enter", "writes what it meets", () => this.write(b)],
        ["p", "plots it", () => desk.plots.choose(b, kind === "element" && desk.values.of(name)?.dataset.value)],
        kind === "element" && ["v", "goes to its value", () => desk.values.go(name)],
        this.find(kind, name)?.matches(".switch") && ["o", "opens or closes it", () => desk.act({ do: "switch", of: name })],
        ["l", "takes it into a loop of your own", () => desk.inLoop(b)], ["r", "names it anew", () => this.rename()],
        ["Delete", `takes ${b} out`, () => this.takeOut()], fresh(""), board];
    return ["The paper:", ["click", "puts a point"], fresh("puts one by keyboard"), ["Enter", "", () => this.startHand()], layOut, board];
  }
  hints() { this.desk.hint(...this.acts()); }

  key(event) {
    if (event.target.id === "pen" || event.ctrlKey || event.metaKey || event.altKey) return;
    const step = STEPS[event.key], { kind, name } = this.under ?? {}, key = KEYS[event.key] ?? event.key;
    const act = this.acts().find((each) => each[0] === key)?.[2];
    if (step && this.hand) this.moveHand(step);
    else if (step && event.shiftKey && kind === "point") this.movePoint(name, this.places().get(name).map((v, i) => v + step[i]));
    else if (step) this.go(step);
    else if (act) act();
    else return;
    event.preventDefault();
  }

  // To the nearest thing that way; while a branch is drawn, to the nearest point.
  go([dx, dy]) {
    const all = this.all().filter((thing) => !this.from || thing.dataset.kind === "point");
    const now = document.activeElement.closest(".thing") ?? all[0], place = (thing) => thing.dataset.at.split(" ").map(Number);
    if (!now) return;
    const [x, y] = place(now);
    let best = all[(all.indexOf(now) + (dx - dy > 0 ? 1 : all.length - 1)) % all.length], least = Infinity;
    for (const thing of all) {
      const [u, v] = place(thing), ahead = (u - x) * dx - (v - y) * dy, cost = ahead + 2.2 * Math.abs((u - x) * dy + (v - y) * dx);
      if (thing !== now && ahead > 0.2 && cost < least) [best, least] = [thing, cost];
    }
    this.focus(best);
  }

  leave() {
    if (this.from || this.hand) this.desk.say("Left.");
    this.from = this.hand = null;
    this.band();
    this.hints();
  }
  begin(name) {
    this.from = name;
    this.desk.say(`A branch from ${name}: go to the other point and press Enter.`);
    this.band(name);
    this.hints();
  }
  startHand() {
    const all = this.places(), from = all.get(this.from ?? this.under?.name) ?? [-1, 0];
    this.hand = [Math.round(from[0]) + 1, Math.round(from[1])];
    while (this.taken(this.hand)) this.hand[0]++;
    if (!this.board.contains(document.activeElement)) this.board.focus();
    this.moveHand([0, 0]);
  }
  moveHand(step) {
    this.hand = this.hand.map((v, i) => v + step[i]);
    const [x, y] = this.hand, there = this.taken(this.hand);
    this.desk.say(`${x} to the right, ${y} up${there ? `: point ${there}` : ", free"}.`);
    this.band(this.from, this.mm(this.hand), true);
    this.hints();
  }
  putAtHand() {
    const place = this.hand, name = this.taken(place) ?? this.put(place);
    this.hand = null;
    this.band();
    if (this.from) this.join(this.from, name);
    else this.focus(this.find("point", name));
  }

  // -- mouse and touch ---------------------------------------------------------------------------

  down(event) {
    if (event.button || event.target.closest("#pen-box")) return;
    const thing = event.target.closest(".thing"), { kind, name } = thing?.dataset ?? {}, point = kind === "point";
    let moved = false, lifts = event.shiftKey;
    const waits = point && setTimeout(() => {
      lifts = true;
      thing.classList.add("held");
      this.desk.say(`${name} is in the hand: move it.`);
    }, 380);
    const way = {
      pointermove: (e) => {
        moved ||= Math.hypot(e.clientX - event.clientX, e.clientY - event.clientY) > 5;
        if (!moved || !point) return;
        clearTimeout(waits);
        const mm = this.pointed(e), place = this.mm(this.nearest(mm));
        if (!lifts) this.from = name;
        this.band(this.from, lifts ? place : this.where(this.near(mm)) ?? place, lifts);
      },
      pointerup: (e) => {
        done();
        const mm = this.pointed(e), place = this.nearest(mm), there = this.near(mm) ?? this.taken(place);
        if (!moved && !lifts) { this.clicked(place, kind, name, thing); return; }
        if (!point) return;
        this.from = null;
        this.band();
        const { left, right, top, bottom } = this.board.getBoundingClientRect();
        const inside = e.clientX > left && e.clientX < right && e.clientY > top && e.clientY < bottom;
        if (lifts) this.movePoint(name, place);
        else if (there || inside) this.join(name, there ?? this.put(place));
      },
      pointercancel: () => { done(); this.leave(); },
    };
    const done = () => {
      clearTimeout(waits);
      thing?.classList.remove("held");
      for (const kind of Object.keys(way)) removeEventListener(kind, way[kind]);
    };
    for (const kind of Object.keys(way)) addEventListener(kind, way[kind]);
    if (event.pointerType === "mouse") event.preventDefault();
  }
  clicked(place, kind, name, thing) {
    const { from } = this;
    if (kind === "arrow") this.turn(name);
    else if (from && (!kind || kind === "point")) this.join(from, name ?? this.taken(place) ?? this.put(place));
    else if (thing) this.focus(thing);
    else if (!this.taken(place)) this.focus(this.find("point", this.put(place)));
    if (kind === "branch") this.write(name);
  }

  // -- acts ----------------------------------------------------------------------------------------

  put(place) {
    const taken = this.places(), name = [...LETTERS].find((letter) => !taken.has(letter)) ?? `p${taken.size}`;
    this.loose.set(name, place);
    this.fit();
    this.desk.say(`Point ${name} put down.`);
    return name;
  }
  async join(from, to) {
    this.from = null;
    this.band();
    if (from === to) return;
    const fresh = [from, to].filter((name) => this.loose.has(name)), all = this.places(), before = this.now.branches;
    const told = [...(this.now.placed ? [] : Object.keys(this.now.points)), ...fresh];
    const places = fresh.length && { places: Object.fromEntries(told.map((name) => [name, all.get(name)])) };
    const done = await this.desk.act({ do: "branch", from, to, ...places });
    const added = Object.keys(this.now.branches).find((name) => !before[name]);
    if (done && added) this.write(added);
  }
  turn(branch) { this.desk.act({ do: "turn", branch }); }
  write(name) { this.desk.pen.open(name, this.now.branches[name]); }
  rename() {
    const { kind, name } = this.under, thing = this.find(kind, name);
    if (this.loose.has(name)) this.desk.say("Join it first; then it can be named.");
    else this.desk.pen.rename(name, thing.dataset.at.split(" "), thing.id);
  }
  takeOut() {
    const { kind, name } = this.under, b = this.branch();
    if (this.loose.delete(name)) {
      this.under = null;
      this.fit();
      this.focus(this.all()[0] ?? this.board);
      this.desk.say(`Point ${name} taken away.`);
    } else if (kind === "point") this.desk.say("A point goes with its last branch.");
    else {
      this.wanted = `point:${this.now.branches[b].from}`;
      this.desk.act({ do: "take out", branch: b });
    }
  }
  movePoint(name, [x, y]) {
    if (this.taken([x, y])) this.desk.say("Another point is there.");
    else if (this.loose.has(name)) { this.loose.set(name, [x, y]); this.fit(); this.focus(this.find("point", name)); }
    else {
      const told = Object.entries(this.now.points).map(([each, { place }]) => [each, place]);
      this.desk.act({ do: "place", point: name, x, y, all: Object.fromEntries(told) });
    }
  }
}
