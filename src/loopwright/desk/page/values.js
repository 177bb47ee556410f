// One row of values, each a line from 0 to ∞. While a value moves, the desk works the currents from their closed
// forms; at the very ends they are limits, and the file keeps its number.

import { ask, at, fill } from "./ask.js";

export class Values {
  constructor(desk) {
    this.desk = desk;
    this.middle = new Map(); // the number in the middle of each line
    const lines = at("lines");
    lines.addEventListener("input", ({ target }) => { if (target.type === "range") this.moves(target); });
    lines.addEventListener("change", ({ target }) => this.left(target));
    lines.addEventListener("focusin", ({ target }) =>
      desk.hint(`${target.dataset.value}:`, ["←", "less"], ["→", "more"], ["Home", "to 0"], ["End", "to ∞, where the currents are limits"]));
  }

  show() {
    for (const line of at("lines").querySelectorAll("[type=range]")) {
      const number = Number(line.dataset.number), name = line.dataset.value;
      const near = Math.abs(Math.log(number / this.middle.get(name))) < 4;
      if (!near) this.middle.set(name, number || 1);
      line.value = line.dataset.number ? (1000 * number) / (number + this.middle.get(name)) : 500;
    }
  }

  // One question at a time: what the line has passed meanwhile is not asked for.
  moves(line) {
    this.waiting = line;
    this.moving ??= this.move().finally(() => (this.moving = null));
  }
  async move() {
    const { desk } = this;
    for (let line = this.waiting; line; line = this.waiting) {
      this.waiting = null;
      const of = line.dataset.value, where = { text: desk.text, of, middle: this.middle.get(of), step: Number(line.value) };
      const got = await ask(desk.at("moved"), where);
      if (!got.ok) continue;
      line.comesTo = got.value;
      line.setAttribute("aria-valuetext", got.look);
      line.parentElement.querySelector(".look").textContent = got.look;
      fill("currents", got.currents);
      desk.paper.flow(got.shares);
      desk.say(got.said);
    }
  }
  async left(input) {
    await this.moving;
    const range = input.type === "range", value = range ? input.comesTo : input.value;
    if (value || !range) this.desk.act({ do: "value", of: input.dataset.value, value });
  }

  of(element) {
    return [...at("lines").children].find((each) => each.dataset.lights.split(" ").includes(element))?.querySelector("input");
  }
  go(element) {
    const line = this.of(element);
    if (line) line.focus();
    else this.desk.say(`${element} has no value.`);
  }
}
