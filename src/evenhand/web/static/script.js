// Figures of the record are offered while a reference is being typed: `{lead of plo…`. The text stays what was typed;
// without this module a reference is written out by hand, and the check names the nearest where it is none.
const MOST = 8;
const OPEN = /(?:^|[^\\])\{([^{}\n]*)$/;
const FORM = ", with range";

function fitting(figures, typed) {
  const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
  const fits = ([address]) => words.every((word) => address.split(/[\s-]/).some((part) => part.startsWith(word)) || address.includes(` ${word}`));
  const found = figures.filter(fits);
  const first = (address) => (address.startsWith(typed.toLowerCase().trim()) ? 0 : 1);
  return found.sort((a, b) => first(a[0]) - first(b[0]) || a[0].length - b[0].length).slice(0, MOST);
}

function offered(figures, typed) {
  const [address, tail] = typed.split(",", 2);
  const exact = figures.find(([each]) => each === address.trim().toLowerCase());
  if (tail !== undefined) return exact && FORM.startsWith(`, ${tail.trim()}`) ? [[exact[0] + FORM, exact[2], exact[3]]] : [];
  return fitting(figures, typed).map(([each, words, , about]) => [each, words, about]);
}

class Offer {
  constructor(area) {
    this.area = area;
    this.list = document.getElementById(area.getAttribute("aria-controls"));
    this.figures = null;
    this.rows = [];
    this.at = -1;
    area.addEventListener("input", () => this.look());
    area.addEventListener("click", () => this.look());
    area.addEventListener("keydown", (event) => this.key(event));
    area.addEventListener("blur", () => this.close());
    this.list.addEventListener("pointerdown", (event) => {
      event.preventDefault();
      const row = event.target.closest("[role=option]");
      if (row) this.take([...this.list.children].indexOf(row));
    });
  }

  typed() {
    const { selectionStart: start, selectionEnd: end, value } = this.area;
    return start === end ? OPEN.exec(value.slice(0, start))?.[1] : undefined;
  }

  async look() {
    if (this.typed() === undefined) return this.close();
    this.figures ??= fetch(this.area.dataset.figures).then((answer) => (answer.ok ? answer.json() : []));
    const figures = await this.figures.catch(() => []);
    const typed = this.typed();
    if (typed === undefined) return this.close();
    this.show(offered(figures, typed));
  }

  show(rows) {
    this.rows = rows;
    this.list.replaceChildren(...rows.map(([address, words, about], i) => {
      const row = document.createElement("li");
      row.id = `${this.list.id}-${i}`;
      row.setAttribute("role", "option");
      row.title = about;
      const figure = document.createElement("small");
      figure.textContent = words;
      row.append(address, " ", figure);
      return row;
    }));
    this.list.hidden = !rows.length;
    this.move(0);
  }

  move(to) {
    this.at = this.rows.length ? (to + this.rows.length) % this.rows.length : -1;
    [...this.list.children].forEach((row, i) => row.setAttribute("aria-selected", String(i === this.at)));
    if (this.at < 0) return this.area.removeAttribute("aria-activedescendant");
    this.area.setAttribute("aria-activedescendant", this.list.children[this.at].id);
    this.list.children[this.at].scrollIntoView({ block: "nearest" });
  }

  key(event) {
    if (this.list.hidden || event.isComposing) return;
    const steps = { ArrowDown: 1, ArrowUp: -1 };
    if (event.key in steps) this.move(this.at + steps[event.key]);
    else if (event.key === "Enter" || event.key === "Tab") this.take(this.at);
    else if (event.key === "Escape") this.close();
    else return;
    event.preventDefault();
  }

  take(at) {
    const typed = this.typed();
    if (at < 0 || typed === undefined) return;
    const { selectionStart: here, value } = this.area;
    const closed = /^\s*\}/.test(value.slice(here));
    this.area.setRangeText(this.rows[at][0] + (closed ? "" : "}"), here - typed.length, here, "end");
    this.close();
  }

  close() {
    this.list.hidden = true;
    this.rows = [];
    this.at = -1;
    this.area.removeAttribute("aria-activedescendant");
  }
}

for (const area of document.querySelectorAll("textarea[data-figures]")) new Offer(area);
