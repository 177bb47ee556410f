// Writing along a wire, and naming anew: a line of text where the hand is.

import { at, desk } from "./ask.js";

export class Pen {
  constructor() {
    const pen = at("pen");
    pen.addEventListener("input", async () => {
      const fault = await this.job?.each?.(pen.value);
      if (typeof fault === "string") this.say(fault);
    });
    pen.addEventListener("keydown", (event) => {
      if (event.key === "Enter") this.close(true);
      if (event.key === "Escape") this.leave();
      event.stopPropagation();
    });
    pen.addEventListener("blur", () => this.close(true));
  }
  say(words) {
    at("pen-fault").textContent = words;
    at("pen-fault").hidden = !words;
  }

  open(name, { from, to, words, middle }) {
    const edit = (text) => ({ do: "write", branch: name, words: text });
    this.line(`${name}: from ${from} to ${to} its arrow meets`, words, middle, `branch:${name}`, {
      each: (text) => desk.look(edit(text)), done: (text) => desk.act(edit(text)),
    });
  }
  rename(name, where, back) {
    this.line(`A new name for ${name}`, name, where, back, {
      done: (to) => to.trim() && desk.act({ do: "rename", from: name, to: to.trim() }),
    });
  }

  line(label, text, where, back, job) {
    const box = at("pen-box"), pen = at("pen"), board = at("board"), [x, y] = desk.paper.px(where);
    this.close(false);
    this.job = { ...job, text, back };
    at("pen-label").textContent = label;
    this.say("");
    pen.value = text;
    box.hidden = false;
    box.style.left = `${Math.max(4, Math.min(board.clientWidth - box.offsetWidth - 4, x + 8))}px`;
    box.style.top = `${Math.max(4, Math.min(board.clientHeight - box.offsetHeight - 4, y - 20))}px`;
    pen.focus({ preventScroll: true });
    pen.setSelectionRange(text.length, text.length);
    desk.hint("On the wire:", "pen", job.each && "wire");
  }
  leave() {
    this.close(false);
    desk.show();
  }
  close(keep = true) {
    const { job } = this, pen = at("pen");
    if (!job) return;
    this.job = null;
    if (document.activeElement === pen) at(job.back)?.focus({ preventScroll: true });
    at("pen-box").hidden = true;
    if (keep && pen.value !== job.text) job.done(pen.value);
  }
}
