// The page's side of a form: draws its pieces, sends all fields in one numbered message, shows what is answered.
// Every text is set as text: nothing that a person typed is ever read as HTML.

const PAUSE_MS = 150; // after the last letter, before the kernel is asked
const AT_WORK_MS = 400; // after a button, before the form says that it is at work
const PATIENCE_MS = 3000; // without an answer, before the form says so
const PRESS_MS = 600; // longest that a press of the mouse holds the page still
const NO_ANSWER =
  "No answer from the kernel yet: it is at work on this or on another cell, or it was stopped. After a restart, run this cell again.";
let made = 0;

function element(tag, attributes = {}, ...inside) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined && value !== false) node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...inside.filter((each) => each !== null));
  // JupyterLab would take keys from it for shortcuts of its own.
  if (/^(input|select|button|summary)$/.test(tag)) node.setAttribute("data-lm-suppress-shortcuts", "true");
  return node;
}

const kinds = (field) => (field.words ? `${field.kind} words` : field.kind);
const titled = (field) => (field.unit ? `${field.label} (${field.unit})` : field.label);
const columns = (widths) => `--columns: ${widths.map((share) => `minmax(0, ${share}fr)`).join(" ")}`;
const nothing = (field) => (field.kind === "tick" ? false : (field.choices[0]?.[1] ?? ""));

// What is in the fields, and one message at a time: the next is sent when the last is answered, so none overtakes another.
class Store {
  constructor(model) {
    this.model = model;
    this.page = Math.random().toString(36).slice(2);
    this.number = 0;
    this.waiting = 0; // the number that is not answered yet
    this.presses = [];
    this.again = false;
    this.late = ""; // what is said while no answer comes
    this.editing = null; // the field that somebody is typing in
    this.views = new Set();
    this.state = model.get("state");
    this.known = { ...this.state.values };
    this.values = { ...this.state.values };
    model.on("change:state", () => this.answered());
    model.on("change:shape", () => this.show());
  }

  edit(wire, value, now) {
    this.values[wire] = value;
    this.editing = now ? null : wire;
    clearTimeout(this.timer);
    if (now) this.ask();
    else this.timer = setTimeout(() => this.ask(), PAUSE_MS);
    this.show();
  }

  leave() {
    this.editing = null;
    this.show();
  }

  ask(pressed = "", table = "", row = 0) {
    clearTimeout(this.timer);
    if (pressed) {
      this.editing = null;
      this.presses.push({ pressed, table, row, values: { ...this.values } });
      this.again = false; // the press carries what was typed
    } else this.again = true;
    this.send();
  }

  send() {
    if (this.waiting || !(this.presses.length || this.again)) return;
    const next = this.presses.shift() ?? { pressed: "", table: "", row: 0, values: { ...this.values } };
    if (!next.pressed) this.again = false;
    this.waiting = ++this.number;
    this.flown = next.values;
    const say = (words) => {
      this.late = words;
      this.show();
    };
    this.patience = [setTimeout(() => say(NO_ANSWER), PATIENCE_MS)];
    if (next.pressed) this.patience.push(setTimeout(() => say("At work …"), AT_WORK_MS));
    this.model.send({ asked: [this.page, this.number], ...next });
  }

  answered() {
    this.state = this.model.get("state");
    const [page, number] = this.state.answered;
    const mine = page === this.page && number === this.waiting;
    const before = mine ? this.flown : this.known;
    const now = { ...this.state.values };
    for (const wire in now) {
      // What was typed since the question is newer than the answer.
      if (wire in this.values && wire in before && this.values[wire] !== before[wire]) now[wire] = this.values[wire];
    }
    this.values = now;
    this.known = { ...this.state.values };
    if (mine) {
      this.patience.forEach(clearTimeout);
      this.waiting = 0;
      this.late = "";
    }
    this.show();
    this.send();
  }

  // Under a pressed mouse nothing moves: a sentence that appears would shift the button away before it is released.
  hold(event) {
    clearTimeout(this.held);
    const free = () => {
      this.held = null;
      this.show();
    };
    this.held = setTimeout(free, event.type === "pointerdown" ? PRESS_MS : 0);
  }

  show() {
    if (!this.held) for (const view of this.views) view();
  }
}

class View {
  constructor(store, model, root) {
    this.store = store;
    this.root = root;
    this.entries = new Map(); // by wire: {field, input, place of its faults, row}
    this.seen = new Set(); // faults that are shown already
    this.tables = [];
    this.outputs = [];
    this.folds = [];
    // What was done is said under the last buttons, above what they show: there the eye is.
    this.said = element("p", { class: "said", role: "status" });
    for (const piece of model.get("shape")) {
      root.append(this[piece.kind](piece));
      if (piece.kind === "Buttons") root.append(this.said);
    }
    if (this.said.parentNode !== root) root.append(this.said);
    this.shape = JSON.stringify(model.get("shape"));
    this.model = model;
  }

  // One field, without its label

  input(field, wire, label, row) {
    const attributes = { "aria-label": label, title: field.title || null };
    let input;
    // No <output>: a screen reader would read every cut aloud at every letter. The heads of the table name the cell.
    if (field.kind === "told") input = element("span", {});
    else if (field.kind === "choice") {
      input = element("select", attributes);
      this.offer(input, field);
      input.addEventListener("change", () => this.store.edit(wire, field.choices[input.selectedIndex]?.[1] ?? "", true));
    } else if (field.kind === "tick") {
      input = element("input", { ...attributes, type: "checkbox" });
      input.addEventListener("change", () => this.store.edit(wire, input.checked, true));
    } else {
      input = element("input", { ...attributes, type: "text", autocomplete: "off", spellcheck: "false" });
      input.addEventListener("input", () => this.store.edit(wire, input.value, false));
      input.addEventListener("change", () => this.store.edit(wire, input.value, true));
      input.addEventListener("blur", () => this.store.editing === wire && this.store.leave());
      input.addEventListener("keydown", (event) => {
        if (event.key !== "Enter" || event.isComposing) return;
        event.preventDefault();
        this.store.edit(wire, input.value, true);
        if (row) this.beside(row, field.name, event.shiftKey ? -1 : 1)?.focus();
      });
    }
    this.entries.set(wire, { field, input, row, faults: element("div", { class: "faults", id: `form-faults-${++made}` }) });
    return input;
  }

  offer(select, field) {
    select.replaceChildren(...field.choices.map(([words]) => element("option", {}, words)));
  }

  // Fields with their labels above them, and under all of them their faults
  grid(fields, id, widths, row = null) {
    const parts = fields.map((field) => this.labelled(field, `${id}:${field.name}`, row));
    const faults = fields.map((field) => this.entries.get(`${id}:${field.name}`).faults);
    return element("div", {}, element("div", { class: "grid", style: columns(widths) }, ...parts), ...faults);
  }

  labelled(field, wire, row = null) {
    const label = row ? `${row.table.word} ${row.number}: ${titled(field)}` : titled(field);
    const input = this.input(field, wire, label, null);
    const entry = this.entries.get(wire);
    entry.inner = row;
    const name = element("span", { class: "name" }, titled(field));
    const own = field.kind === "tick" ? [input, name] : [name, input];
    const look = { class: `field ${field.kind}`, style: `--span: ${field.span}` };
    return element("div", look, element("label", {}, ...own));
  }

  beside(row, column, step) {
    const rows = [...row.table.rows.values()];
    const next = rows[rows.indexOf(row) + step];
    return next && this.entries.get(`${next.id}:${column}`)?.input;
  }

  // The pieces

  Fields(piece) {
    const grid = this.grid(piece.fields, 0, piece.widths);
    if (!piece.folded) return element("section", { class: "fields", "aria-label": piece.title }, grid);
    const sum = element("span", { class: "sum" });
    const fold = element("details", { class: "fields" }, element("summary", {}, piece.title, sum), grid);
    fold.addEventListener("toggle", () => this.show());
    this.folds.push({ fold, sum, fields: piece.fields, id: 0 });
    return fold;
  }

  Buttons(piece) {
    const parts = piece.pieces.map((each) => {
      if (each.kind !== "button") return this.labelled(each, `0:${each.name}`);
      const button = element("button", { type: "button", title: each.title || null, class: each.main ? "main" : null });
      button.append(each.label);
      // A double click is one press, else a file that was just saved would be there already.
      button.addEventListener("click", (event) => event.detail > 1 || this.store.ask(each.name));
      return button;
    });
    const fields = piece.pieces.filter((each) => each.kind !== "button");
    const faults = fields.map((field) => this.entries.get(`0:${field.name}`).faults);
    return element("div", {}, element("div", { class: "buttons" }, ...parts), ...faults);
  }

  Output(piece) {
    const place = element("div", { class: "output" });
    this.outputs.push({ name: piece.name, place, drawn: "" });
    return place;
  }

  Table(piece) {
    const head = element("tr", {}, element("th", { scope: "col", class: "place" }, element("span", { class: "unseen" }, piece.word)));
    for (const field of piece.columns) {
      const look = { scope: "col", class: kinds(field), style: field.kind === "choice" ? `min-width: ${field.width}px` : `width: ${field.width}px; min-width: ${field.width}px`, title: field.title || null };
      head.append(element("th", look, field.label, element("small", {}, field.unit)));
    }
    const acts = piece.details.length > 0 || !piece.fixed;
    if (acts) head.append(element("th", { class: "acts" }, element("span", { class: "unseen" }, "more")));
    const body = element("table", {}, element("thead", {}, head));
    const foot = element("div", { class: "foot" });
    const table = { ...piece, acts, rows: new Map(), body, focus: null };
    if (!piece.fixed) {
      table.add = element("button", { type: "button" }, `Add ${/^[aeiou]/.test(piece.word) ? "an" : "a"} ${piece.word}`);
      table.add.addEventListener("click", () => {
        table.focus = { add: true, count: table.rows.size };
        this.store.ask("add", piece.name);
      });
      table.back = element("button", { type: "button", hidden: true });
      table.back.addEventListener("click", () => this.store.ask("put back", piece.name));
      foot.append(table.add, table.back);
    }
    this.tables.push(table);
    const box = element("div", { class: "box" }, body);
    return element("section", { class: "table", "aria-label": `${piece.word}s` }, box, piece.fixed ? null : foot);
  }

  row(table, id) {
    const row = { id, table, number: 0, labels: [] };
    const line = element("tr", { class: "line" });
    row.place = element("th", { scope: "row", class: "place" });
    line.append(row.place);
    for (const field of table.columns) {
      const input = this.input(field, `${id}:${field.name}`, titled(field), row);
      row.labels.push([input, field]);
      line.append(element("td", { class: kinds(field) }, input));
    }
    const acts = element("td", { class: "acts" });
    if (table.details.length) {
      row.open = element("button", { type: "button", class: "small", "aria-expanded": "false" }, "▸");
      row.open.addEventListener("click", () => this.unfold(row, row.more.hidden));
      acts.append(row.open);
    }
    if (!table.fixed) {
      row.out = element("button", { type: "button", class: "small" }, "×");
      row.out.addEventListener("click", () => {
        table.focus = { place: row.number, count: table.rows.size };
        this.store.ask("take out", table.name, id);
      });
      acts.append(row.out);
    }
    if (table.acts) line.append(acts);
    const span = table.columns.length + (table.acts ? 2 : 1);
    const grid = this.grid(table.details, id, [1, 1, 1, 1], row);
    grid.className = "wide";
    for (const field of table.details) row.labels.push([this.entries.get(`${id}:${field.name}`).input, field]);
    row.more = element("tr", { class: "more", hidden: true }, element("td", { colspan: span }, grid));
    row.sum = element("p", { class: "sum" });
    row.faults = element("div", { class: "faults" });
    for (const field of table.columns) row.faults.append(this.entries.get(`${id}:${field.name}`).faults);
    row.note = element("tr", { class: "note", hidden: true }, element("td", { colspan: span }, element("div", { class: "wide" }, row.sum, row.faults)));
    row.body = element("tbody", {}, line, row.note, row.more);
    return row;
  }

  unfold(row, open) {
    row.more.hidden = !open;
    row.open.setAttribute("aria-expanded", String(open));
    row.open.textContent = open ? "▾" : "▸";
    this.show();
  }

  // What is in folded fields, in words
  sum(fields, id) {
    const parts = [];
    for (const field of fields) {
      const value = this.store.values[`${id}:${field.name}`];
      if (value === undefined || value === nothing(field) || (typeof value === "string" && !value.trim())) continue;
      if (field.kind === "tick") parts.push(field.label);
      else if (field.kind === "choice") parts.push(`${field.label}: ${field.choices.find(([, each]) => each === value)?.[0]}`);
      else parts.push(`${field.label} ${value}${field.unit && !/[a-z"']$/i.test(value.trim()) ? ` ${field.unit}` : ""}`);
    }
    return parts.join(" · ");
  }

  // Showing what there is

  show() {
    this.reoffer();
    for (const table of this.tables) this.showRows(table);
    for (const [wire, entry] of this.entries) this.showEntry(wire, entry);
    for (const { fold, sum, fields, id } of this.folds) sum.textContent = fold.open ? "" : this.sum(fields, id);
    for (const table of this.tables) {
      for (const row of table.rows.values()) {
        row.sum.textContent = row.more.hidden ? this.sum(table.details, row.id) : "";
        row.sum.hidden = !row.sum.textContent;
        row.note.hidden = row.sum.hidden && !row.faults.textContent;
      }
    }
    for (const output of this.outputs) this.showOutput(output);
    const { said, fine } = this.store.state;
    if (this.hushed && !this.store.late) return; // of a word that is not finished nothing is said yet
    const text = this.store.late || said;
    if (this.said.textContent !== text) this.said.textContent = text;
    this.said.className = `said ${this.store.late ? "" : fine ? "fine" : "fault"}`;
  }

  // Files that came or went: the choices are offered anew, the fields stay
  reoffer() {
    const shape = this.model.get("shape");
    const text = JSON.stringify(shape);
    if (text === this.shape) return;
    this.shape = text;
    const fresh = (field, piece, prefix) => {
      for (const [wire, entry] of this.entries) {
        if (prefix(wire) && entry.field.name === field.name && field.kind === "choice") {
          entry.field.choices = field.choices;
          this.offer(entry.input, entry.field);
        }
      }
    };
    for (const piece of shape) {
      const own = piece.fields ?? piece.pieces?.filter((each) => each.kind !== "button") ?? [];
      for (const field of own) fresh(field, piece, (wire) => wire.startsWith("0:"));
      if (piece.kind !== "Table") continue;
      const table = this.tables.find((each) => each.name === piece.name);
      for (const field of [...piece.columns, ...piece.details]) {
        fresh(field, piece, (wire) => table.rows.has(Number(wire.split(":", 1)[0])));
      }
    }
  }

  showRows(table) {
    const ids = this.store.state.rows[table.name] ?? [];
    for (const [id, row] of table.rows) {
      if (ids.includes(id)) continue;
      row.body.remove();
      table.rows.delete(id);
      for (const field of [...table.columns, ...table.details]) this.entries.delete(`${id}:${field.name}`);
    }
    const before = table.rows;
    table.rows = new Map(ids.map((id) => [id, before.get(id) ?? this.row(table, id)]));
    let number = 0;
    let last = table.body.tHead;
    for (const row of table.rows.values()) {
      if (last.nextElementSibling !== row.body) last.after(row.body);
      last = row.body;
      if (row.number !== ++number) this.call(row, number);
      if (row.out) row.out.disabled = ids.length < 2;
    }
    if (table.back) {
      const taken = this.store.state.taken[table.name];
      table.back.hidden = !taken;
      table.back.textContent = taken ? `Put ${table.word} ${taken} back` : "";
    }
    this.refocus(table, ids.length);
  }

  call(row, number) {
    row.number = number;
    const name = `${row.table.word} ${number}`;
    row.place.textContent = String(number);
    for (const [input, field] of row.labels) {
      input.setAttribute(field.kind === "told" ? "data-label" : "aria-label", `${name}: ${titled(field)}`);
    }
    for (const [button, words] of [[row.open, `${name}: more`], [row.out, `take ${name} out`]]) {
      button?.setAttribute("aria-label", words);
      button?.setAttribute("title", words);
    }
  }

  // Where the hand goes on after a row has come or gone
  refocus(table, count) {
    const { focus } = table;
    if (!focus || focus.count === count) return;
    table.focus = null;
    const rows = [...table.rows.values()];
    if (focus.add) rows.at(-1)?.labels[0]?.[0].focus();
    else (rows[Math.min(focus.place, rows.length) - 1]?.out ?? table.add).focus();
  }

  showEntry(wire, entry) {
    const { field, input } = entry;
    const value = this.store.values[wire];
    const { told, hints, faults } = this.store.state;
    if (field.kind === "told") {
      const [text, more] = (told[wire] ?? "–").split("\n");
      if (input.textContent !== text) input.textContent = text;
      input.title = more ?? field.title;
    } else if (field.kind === "tick") input.checked = value === true;
    else if (field.kind === "choice") input.selectedIndex = field.choices.findIndex(([, each]) => each === value);
    else {
      if (input.value !== value) input.value = value ?? "";
      input.placeholder = hints[wire] ?? "";
    }
    const words = faults[wire] ?? [];
    if (!words.length) this.seen.delete(wire);
    const hush = words.length > 0 && this.store.editing === wire && !this.seen.has(wire);
    if (hush) return;
    if (words.length) this.seen.add(wire);
    this.blame(entry, words);
  }

  get hushed() {
    const wire = this.store.editing;
    return wire !== null && (this.store.state.faults[wire]?.length ?? 0) > 0 && !this.seen.has(wire);
  }

  blame(entry, words) {
    const told = words.join("\n");
    if (entry.blamed === told) return;
    entry.blamed = told;
    const name = () => element("b", {}, entry.field.label);
    entry.faults.replaceChildren(...words.map((word) => element("p", { class: "fault" }, name(), `: ${word}`)));
    const marked = entry.field.kind === "told" ? entry.input.parentElement : entry.input;
    marked.classList.toggle("faulty", words.length > 0);
    if (!words.length) {
      entry.input.removeAttribute("aria-invalid");
      entry.input.removeAttribute("aria-describedby");
      return;
    }
    if (entry.field.kind !== "told") entry.input.setAttribute("aria-invalid", "true");
    entry.input.setAttribute("aria-describedby", entry.faults.id);
    entry.input.closest("details")?.setAttribute("open", "");
    if (entry.inner?.more.hidden) this.unfold(entry.inner, true);
  }

  showOutput(output) {
    const shown = this.store.state.shown[output.name] ?? [];
    const text = JSON.stringify(shown);
    if (text === output.drawn) return;
    output.drawn = text;
    output.place.replaceChildren(...shown.map((each) => this.draw(each)));
  }

  draw(shown) {
    if (shown.kind === "Picture") {
      const source = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(shown.svg)}`;
      return element("figure", {}, element("img", { src: source, alt: shown.words }), element("figcaption", {}, shown.words));
    }
    if (shown.kind === "Lines") {
      if (shown.mono) return element("pre", {}, shown.lines.join("\n"));
      return element("div", {}, ...shown.lines.map((line) => element("p", {}, line)));
    }
    const look = (place) => ({ class: shown.numbers.includes(place) ? "told" : null });
    const cells = (row) => row.map((text, place) => element("td", look(place), text));
    const heads = shown.heads.map((text, place) => element("th", { scope: "col", ...look(place) }, text));
    return element(
      "div",
      { class: "box" },
      element(
        "table",
        {},
        shown.caption ? element("caption", {}, shown.caption) : null,
        element("thead", {}, element("tr", {}, ...heads)),
        element("tbody", {}, ...shown.rows.map((row) => element("tr", {}, ...cells(row)))),
      ),
    );
  }
}

export default () => {
  let store;
  return {
    initialize({ model }) {
      store = new Store(model);
    },
    render({ model, el }) {
      store ??= new Store(model);
      const root = element("div", { class: "trimkit-form", role: "group", "aria-label": model.get("title") });
      const view = new View(store, model, root);
      for (const type of ["pointerdown", "pointerup", "pointercancel"]) {
        root.addEventListener(type, (event) => store.hold(event), true);
      }
      el.append(root);
      const show = () => view.show();
      store.views.add(show);
      show();
      return () => store.views.delete(show);
    },
  };
};
