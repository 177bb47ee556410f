// The sheet of paper: points, branches with what is written along them, arrows. By mouse, touch and keyboard.
// What is drawn comes from the desk as SVG in mm, with a shape for each thing that can be touched.

import { at, desk, fill } from "./ask.js";

const LEAST = 2.5; // px for a millimetre
const STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const KEYS = { Escape: "Esc", " ": "Enter", Backspace: "Delete" };
const spot = (thing) => thing.dataset.at.split(" ").map(Number);
const BLANK = { size: [0, 0], across: [], up: [], points: {}, branches: {} };

// Where a place of the ruling is along an axis.
function along(lines, place) {
  const i = lines.findIndex(([line]) => line >= place), next = i < 0 ? lines.length - 1 : i || 1;
  const [[a, x], [b, y]] = [lines[next - 1], lines[next]];
  return x + ((y - x) * (place - a)) / (b - a);
}

export class Paper {
  constructor() {
    this.board = at("board");
    this.width = this.board.clientWidth;
    this.clear();
    this.board.addEventListener("keydown", (event) => this.key(event));
    this.board.addEventListener("pointerdown", (event) => this.down(event));
    this.board.addEventListener("touchstart", (event) => event.target.closest(".of-point, .of-element") && event.preventDefault(), { passive: false });
    this.board.addEventListener("focusin", ({ target }) => this.focused(target.closest(".thing")));
    new ResizeObserver(([{ contentRect: { width } }]) => {
      if (width !== this.width) this.corner = null;
      this.width = width;
      this.fit();
    }).observe(this.board);
  }
  clear() {
    this.now = BLANK;
    this.loose = new Map(); // points that no branch touches yet: name -> place
    this.corner = this.under = null; // of the paper in sight; what is under the hand: {kind, name}
    this.rest();
  }

  // -- showing --

  show({ paper, drawable }) {
    const kept = !paper || (!drawable && Object.keys(this.now.branches).length > 0);
    this.board.classList.toggle("kept", kept);
    if (kept) return;
    const held = this.board.contains(document.activeElement) && !desk.pen.job;
    const anchor = [this.under?.name, ...Object.keys(paper.points)].find((name) => paper.points[name] && this.where(name));
    const before = anchor && this.where(anchor);
    this.now = paper;
    for (const name of Object.keys(paper.points)) this.loose.delete(name);
    if (anchor && this.corner) this.corner = this.corner.map((c, i) => c + paper.points[anchor].at[i] - before[i]);
    else if (!this.loose.size) this.corner = null;
    fill("drawn", paper.svg);
    this.flow();
    this.fit();
    if (held && !this.board.contains(document.activeElement)) this.focus(at(this.wanted) ?? this.all()[0] ?? this.board);
    this.wanted = null;
    if (held) this.hints();
  }

  fit() {
    const { size } = this.now, [width, height] = size, least = innerHeight * 0.62;
    this.scale = Math.min(Math.max(6.4, innerHeight / 135), Math.max(LEAST, this.width / (width + 12)), Math.max(4.4, least / (height + 16)));
    const tall = Math.max(least, (height + 24) * this.scale), room = [this.width / this.scale, tall / this.scale];
    this.board.style.height = `${tall}px`;
    this.corner = room.map((r, i) => {
      const middle = (size[i] - r) / 2;
      return size[i] + 8 > r ? middle : Math.min(-4, Math.max(size[i] + 4 - r, this.corner?.[i] ?? middle));
    });
    at("sheet").setAttribute("viewBox", [...this.corner, ...room].join(" "));
    fill("loose", [...this.loose].map(([name, place]) => {
      const [x, y] = this.mm(place), dot = (kind, r) => `<circle class="${kind}" cx="${x}" cy="${y}" r="${r}"/>`;
      return `<g class="thing of-point" id="point:${name}" role="button" tabindex="-1" aria-label="Point ${name}, not joined yet"
        data-kind="point" data-name="${name}" data-at="${x} ${y}" data-lights="">${dot("loose", 1)}${dot("reach", 2.8)}${dot("ring", 2.8)}
        <text class="loose-name" x="${x + 1.6}" y="${y - 1.6}">${name}</text></g>`;
    }).join(""));
    const all = this.all();
    this.board.tabIndex = all.length ? -1 : 0;
    const stop = this.find(this.under?.kind, this.under?.name) ?? all.find((thing) => thing.dataset.kind === "point") ?? all[0];
    if (stop) stop.setAttribute("tabindex", 0);
    this.band(this.from, this.hand && this.mm(this.hand), this.hand);
  }

  // How broad each arrow is tells how much flows, and it points as the current runs.
  flow(shares) {
    this.board.classList.toggle("moves", !!shares);
    for (const arrow of at("drawn").querySelectorAll(".flow")) {
      const share = shares?.[arrow.dataset.current] ?? Number(arrow.dataset.share);
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

  // -- finding and focusing --

  all() { return [...this.board.querySelectorAll(".thing:not(.of-arrow)")]; }
  find(kind, name) { return at(`${kind}:${name}`); }
  focus(thing) {
    for (const other of this.all()) other.setAttribute("tabindex", -1);
    thing.setAttribute("tabindex", 0);
    thing.focus({ preventScroll: true });
  }
  focused(thing) {
    if (thing) this.under = { ...thing.dataset };
    if ((this.from || this.carried) && thing) this.band(this.from ?? this.carried, spot(thing));
    if (!desk.pen.job) this.hints();
  }
  // The branch that is under the hand, or in which what is there stands.
  branch({ kind, name } = this.under ?? {}) {
    if (kind === "point") return undefined;
    return Object.keys(this.now.branches).find((b) => b === name || this.now.branches[b].elements.includes(name));
  }
  places() { return new Map([...this.loose, ...Object.entries(this.now.points).map(([name, { place }]) => [name, place])]); }
  where(name) {
    const element = this.find("element", name);
    return this.now.points[name]?.at ?? (this.loose.has(name) ? this.mm(this.loose.get(name)) : element && spot(element));
  }
  taken([x, y]) { return [...this.places()].find(([, [u, v]]) => u === x && v === y)?.[0]; }
  mm([x, y]) { return [along(this.now.across, x), along(this.now.up, y)]; }
  px([x, y]) { return [(x - this.corner[0]) * this.scale, (y - this.corner[1]) * this.scale]; }
  pointed({ clientX, clientY }) {
    const { left, top } = this.board.getBoundingClientRect();
    return [(clientX - left) / this.scale + this.corner[0], (clientY - top) / this.scale + this.corner[1]];
  }
  // The nearest crossing of the ruling, and the point near by.
  nearest(mm) {
    return [this.now.across, this.now.up].map((lines, i) =>
      lines.reduce((best, line) => (Math.abs(line[1] - mm[i]) < Math.abs(best[1] - mm[i]) ? line : best))[0]);
  }
  near([x, y]) {
    return [...this.places().keys()].find((name) => { const [u, v] = this.where(name); return Math.hypot(u - x, v - y) < 4; });
  }

  // -- what can be done --

  // What is under the hand, for the sentence at the foot.
  hints() {
    const { kind, name } = this.under ?? {}, b = this.branch(), thing = this.find(kind, name);
    const placed = this.now.placed && "placed";
    if (this.hand) desk.hint("The hand is on the ruling:", "hand");
    else if (this.from) desk.hint(`From ${this.from}:`, "from");
    else if (this.carried) desk.hint(`${this.carried} is in the hand:`, "carried");
    else if (kind === "point") desk.hint(`Point ${name}:`, "point", this.loose.has(name) ? "loose" : "joined", placed);
    else if (b) desk.hint(kind === "branch" ? `Branch ${b}:` : `${name} in ${b}:`, kind, ...(thing?.classList ?? []));
    else desk.hint("The paper:", "paper", placed);
  }

  key(event) {
    if (event.target.id === "pen" || event.ctrlKey || event.metaKey || event.altKey) return;
    const step = STEPS[event.key], { kind, name } = this.under ?? {};
    if (step && this.hand) this.moveHand(step);
    else if (step && event.shiftKey && kind === "point") this.movePoint(name, this.places().get(name).map((v, i) => v + step[i]));
    else if (step) this.go(step);
    else if (!desk.press(KEYS[event.key] ?? event.key)) return;
    event.preventDefault();
  }

  // To the nearest thing that way; while a branch is drawn, to the nearest point.
  go([dx, dy]) {
    const all = this.all().filter(({ dataset: { kind } }) => (this.from ? kind === "point" : !this.carried || kind !== "point"));
    const now = document.activeElement.closest(".thing") ?? all[0];
    if (!now) return;
    const [x, y] = spot(now);
    let best = all[(all.indexOf(now) + (dx - dy > 0 ? 1 : all.length - 1)) % all.length], least = Infinity;
    for (const thing of all) {
      const [u, v] = spot(thing), ahead = (u - x) * dx - (v - y) * dy, cost = ahead + 2.2 * Math.abs((u - x) * dy + (v - y) * dx);
      if (thing !== now && ahead > 0.2 && cost < least) [best, least] = [thing, cost];
    }
    this.focus(best);
  }

  rest() {
    this.from = this.hand = this.carried = null; // a branch's first point, a place by keys, an element
    this.band();
    this.hints();
  }
  leave() {
    desk.say("Left.");
    this.rest();
  }
  begin() { this.takeUp("from", "A branch from", "to the other point"); }
  lift() { this.takeUp("carried", "In the hand:", "to a wire or an element"); }
  takeUp(what, words, where) {
    this[what] = this.under.name;
    desk.say(`${words} ${this.under.name}. Go ${where} and press Enter.`);
    this.band(this.under.name);
    this.hints();
  }
  // Puts what is carried in the place of another element, or where on a wire it is let go.
  putDown({ kind, name } = this.under, where) {
    const of = this.carried, to = this.branch({ kind, name });
    this.rest();
    if (!to || name === of) return;
    desk.act({ do: "carry", of, to, onto: name, where: where ?? spot(this.find(kind, name)) });
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
    desk.say(`${x} to the right, ${y} up${there ? `: point ${there}` : ", free"}.`);
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

  // -- mouse and touch --

  down(event) {
    if (event.button || event.target.closest("#pen-box")) return;
    const thing = event.target.closest(".thing"), { kind, name } = thing?.dataset ?? {}, point = kind === "point";
    let moved = false, lifts = event.shiftKey;
    const waits = point && setTimeout(() => {
      lifts = true;
      thing.classList.add("held");
      desk.say(`${name} is in the hand: move it.`);
    }, 380);
    const way = {
      pointermove: (e) => {
        moved ||= Math.hypot(e.clientX - event.clientX, e.clientY - event.clientY) > 5;
        if (!moved || !(point || kind === "element")) return;
        clearTimeout(waits);
        const mm = this.pointed(e), place = this.mm(this.nearest(mm));
        if (!point) { this.band((this.carried = name), mm); return; }
        if (!lifts) this.from = name;
        this.band(this.from, lifts ? place : this.where(this.near(mm)) ?? place, lifts);
      },
      pointerup: (e) => {
        done();
        const mm = this.pointed(e), place = this.nearest(mm), there = this.near(mm) ?? this.taken(place);
        if (!moved && !lifts) { this.clicked(mm, place, kind, name, thing); return; }
        const over = document.elementFromPoint(e.clientX, e.clientY);
        if (this.carried) this.putDown(over?.closest(".thing")?.dataset ?? {}, mm);
        this.rest();
        if (point && lifts) this.movePoint(name, place);
        else if (point && (there || this.board.contains(over))) this.join(name, there ?? this.put(place));
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
  clicked(mm, place, kind, name, thing) {
    const { from } = this;
    if (this.carried) { this.putDown({ kind, name }, mm); return; }
    if (kind === "arrow") desk.act({ do: "turn", branch: name });
    else if (from && (!kind || kind === "point")) this.join(from, name ?? this.taken(place) ?? this.put(place));
    else if (thing) this.focus(thing);
    else if (!this.taken(place)) this.focus(this.find("point", this.put(place)));
    if (kind === "branch") this.write(name);
  }

  // -- acts --

  put(place) {
    const taken = this.places(), name = [..."abcdefghjkmnpqstuvwxyz"].find((letter) => !taken.has(letter)) ?? `p${taken.size}`;
    this.loose.set(name, place);
    this.fit();
    desk.say(`Point ${name} put down.`);
    return name;
  }
  async join(from = this.from, to = this.under.kind === "point" ? this.under.name : from) {
    this.rest();
    if (from === to) return;
    const fresh = [from, to].filter((name) => this.loose.has(name)).map((name) => [name, this.loose.get(name)]), before = this.now.branches;
    const done = await desk.act({ do: "branch", from, to, ...(fresh.length && { fresh: Object.fromEntries(fresh) }) });
    const added = () => Object.keys(this.now.branches).find((name) => !before[name]);
    if (done && !added()) await desk.open(); // not answered yet
    if (done && added()) this.write(added());
  }
  // An act on what is under the hand.
  edit(act) { desk.act({ do: act, of: this.under?.name, branch: this.branch() }); }
  value() { desk.values.of(this.under.name).focus(); }
  plot() { desk.plots.choose(this.branch(), desk.values.of(this.under.name)?.dataset.value); }
  loop() { desk.inLoop(this.branch()); }
  write(name = this.branch()) { desk.pen.open(name, this.now.branches[name]); }
  rename() {
    const { kind, name } = this.under, thing = this.find(kind, name);
    desk.pen.rename(name, spot(thing), thing.id);
  }
  takeOut() {
    const { name } = this.under;
    if (this.loose.delete(name)) {
      this.under = null;
      this.fit();
      this.focus(this.all()[0] ?? this.board);
      desk.say(`Point ${name} taken away.`);
    } else {
      this.wanted = `point:${this.now.branches[this.branch()].from}`;
      this.edit("take out");
    }
  }
  movePoint(name, [x, y]) {
    if (this.taken([x, y])) desk.say("Another point is there.");
    else if (this.loose.has(name)) { this.loose.set(name, [x, y]); this.fit(); this.focus(this.find("point", name)); }
    else desk.act({ do: "place", point: name, x, y });
  }
}
