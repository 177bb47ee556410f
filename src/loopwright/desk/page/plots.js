// A plot of a quantity against one value from 0 to ∞, or of its sign over two: chosen here, drawn by the desk.

import { ask, at, desk, latest, told } from "./ask.js";

const CHOICE = ["plot-of", "plot-over", "plot-beside"];

export class Plots {
  constructor() {
    at("plots").addEventListener("toggle", () => this.draw());
    at("plot-choice").addEventListener("change", () => this.draw(true));
    at("plot-choice").addEventListener("focusin", () => desk.hint("A plot:", "plot"));
  }

  // Chosen from elsewhere: a quantity, against a value where one is named, beside another for a map.
  choose(of, over, beside = "") {
    if (!at("plot-of")) { desk.say("Nothing can be plotted of this circuit yet."); return; }
    at("plots").open = true;
    [of, over || at("plot-over").value, beside].forEach((value, i) => (at(CHOICE[i]).value = value));
    at("plot-of").focus();
    this.draw(true);
  }

  draw(aloud) {
    this.aloud ||= aloud;
    this.drawn();
  }
  drawn = latest(async () => {
    const [of, over, beside] = CHOICE.map((id) => {
      const one = at(id);
      if (one?.selectedIndex < 0) one.selectedIndex = 0; // what was chosen is no more
      return one?.value;
    });
    if (!at("plots").open || !of) return;
    at("plot-inside").classList.add("stale");
    const { aloud } = this;
    this.aloud = false;
    const { middle } = desk.values, own = beside || (!desk.moved && middle.get(over) === Number(at(`value:${over}`)?.dataset.number));
    const edits = desk.moved ? [desk.moved] : undefined;
    const got = await ask(desk.at("plot"), { text: desk.text, edits, of, over, beside, middle: own ? undefined : middle.get(over) });
    if (got.status === 409) return;
    desk.part("plot-inside", got);
    at("plot-inside").classList.remove("stale");
    if (aloud) desk.say(got.said ?? told(got));
  });
}
