// The file's own text, which leads and follows; and somebody's working, annotated line by line as it is typed.

import { ask, at, desk, fill, told } from "./ask.js";

export class Lines {
  constructor() {
    const text = at("text"), written = at("written");
    text.addEventListener("input", () => {
      desk.look({ do: "text", text: text.value });
      clearTimeout(this.soon);
      this.soon = setTimeout(() => this.keep(), 900);
    });
    text.addEventListener("blur", () => this.keep());
    text.addEventListener("scroll", () => (at("gutter").scrollTop = text.scrollTop));
    text.addEventListener("focus", () => desk.hint("The file:", "file"));
    written.addEventListener("input", () => { clearTimeout(this.waits); this.waits = setTimeout(() => this.read(), 350); });
    written.addEventListener("focus", () => desk.hint("A working:", "working"));
    at("reading").addEventListener("keydown", (event) => {
      if (event.key === "Enter" && event.ctrlKey) this.next();
      if (event.key === "m") this.mend(event.target);
    });
    at("margin").addEventListener("click", ({ target }) => target.matches(".mend") && this.mend(target.parentElement));
    at("what-next").addEventListener("click", () => this.next());
  }

  keep() {
    clearTimeout(this.soon);
    if (at("text").value !== desk.text) desk.act({ do: "text", text: at("text").value });
  }
  show(text) {
    const area = at("text"), { selectionStart, selectionEnd } = area, typing = document.activeElement === area;
    if (area.value !== text && !(typing && text === desk.text && this.soon)) area.value = text;
    if (typing) area.setSelectionRange(selectionStart, selectionEnd);
    area.rows = Math.min(28, text.split("\n").length + 1);
    if (at("written").value.trim() && desk.text !== this.readFor) this.read();
  }
  go(line) {
    const area = at("text"), before = area.value.split("\n").slice(0, line - 1).join("\n").length + (line > 1);
    area.focus();
    area.setSelectionRange(before, before + area.value.slice(before).split("\n")[0].length);
  }

  async read() {
    const working = at("written").value;
    this.readFor = desk.text;
    if (this.step?.of !== desk.text + working) fill("next", "");
    const got = working.trim() ? await ask(desk.at("working"), { text: desk.text, working }) : { html: "" };
    if (working === at("written").value && "html" in got) fill("margin", got.html);
  }
  // The next step at four levels, one more each time; after the last it is written.
  async next() {
    const working = at("written").value, of = desk.text + working;
    if (this.step?.of !== of) this.step = { of, level: 0 };
    const { step } = this;
    if (step.level === 4) return this.write(`${working.trimEnd()}\n${step.line}\n`.trimStart());
    const got = await ask(desk.at("next"), { text: desk.text, working, level: step.level + 1 });
    if (this.step !== step) return;
    if (got.ok && got.line !== null) step.level++;
    step.line = got.line;
    if (got.ok) fill("next", got.html);
    desk.say(got.said ?? told(got));
  }
  mend({ dataset: { mended, number } }) {
    if (!mended) return;
    this.write(at("written").value.split("\n").map((line, i) => (i === number - 1 ? mended : line)).join("\n"));
    desk.say(`Line ${number} mended: ${mended}.`);
  }
  write(working) {
    at("written").value = working;
    at("written").focus();
    this.read();
  }
}
