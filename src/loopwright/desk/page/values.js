// One row of values, each a line from 0 to ∞. While a value moves, the desk works the currents from their closed
// forms; at the very ends they are limits, and the file keeps its number.

import { ask, at, desk, fill, latest } from "./ask.js";

export class Values {
  constructor() {
    this.middle = new Map(); // the number in the middle of each line
    const lines = at("lines");
    lines.addEventListener("input", ({ target }) => { if (target.type === "range") this.moved = this.move(target); });
    lines.addEventListener("change", ({ target }) => this.left(target));
    lines.addEventListener("focusin", ({ target }) => desk.hint(`${target.dataset.value}:`, target.type === "range" && "value"));
  }

  show() {
    for (const line of at("lines").querySelectorAll("[type=range]")) {
      const number = Number(line.dataset.number), name = line.dataset.value;
      const near = Math.abs(Math.log(number / this.middle.get(name))) < 4;
      if (!near) this.middle.set(name, number || 1);
      line.value = line.dataset.number ? (1000 * number) / (number + this.middle.get(name)) : 500;
    }
  }

  move = latest(async (line) => {
    const of = line.dataset.value;
    const got = await ask(desk.at("moved"), { text: desk.text, of, middle: this.middle.get(of), step: Number(line.value) });
    if (!got.ok) return;
    line.comesTo = got.value;
    line.setAttribute("aria-valuetext", got.look);
    line.parentElement.querySelector(".look").textContent = got.look;
    fill("currents", got.currents);
    desk.paper.flow(got.shares);
    desk.say(got.said);
    desk.moved = got.value && { do: "value", of, value: got.value };
    desk.plots.draw();
  });
  async left(input) {
    await this.moved;
    const range = input.type === "range", value = range ? input.comesTo : input.value;
    if (value || !range) desk.act({ do: "value", of: input.dataset.value, value });
  }

  of(element) { return at("lines").querySelector(`[data-lights~="${element}"] input`); }
}
