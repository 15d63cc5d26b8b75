// A lab in a page: its controls, its picture in two layers, readouts, sentence and pins.
//
// What the page shows of one state of the controls is a frame. The page keeps the frames it was sent and shows at once
// the one it has; what it has not it asks for, one at a time. Whom it asks is no business of this file: `tell` takes a
// message to a kernel, whose answers come in through `hear`; without `tell` all frames have been given to `keep`.

const REST_MS = 150;     // a hand that rests this long has let go of a key: the kernel is told
const SPEAK_MS = 700;    // ... and a screen reader says the sentence
const DRAG_MS = 30;      // between two pictures of a drag: more of them would hold up the hand
const LATE_MS = 400;     // a picture that lets one wait so long is shown as an old one
const STORED = 8000000;  // characters of pictures that are kept; the kernel counts the same
const LEAST_PX = 11, PHONE_PX = 390, LEAST_PHONE_PX = 10, SMALL_PX = 500;

const keyOf = values => JSON.stringify(values);

/** The frames in gzip of JSON, [[values, frame], ...]. */
export async function unpacked(bytes) {
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'));
  return new Response(stream).json();
}

export class Lab {
  constructor(told, tell = null) {
    this.told = told;
    this.tell = tell;
    this.page = Math.random().toString(36).slice(2);
    this.values = told.controls.map(control => control.default);
    this.frames = new Map();
    this.stored = 0;
    this.views = new Set();
    this.number = 0;      // counts moves and messages
    this.heard = 0;       // up to which the kernel has answered
    this.moved = told.controls.map(() => 0);  // number of each control's last move by hand
    this.asked = 0;       // number of the question that has no answer yet
    this.shown = null;    // the frame on the screen ...
    this.shownNumber = 0; // ... and the move it belongs to
    this.pins = [];
    this.said = null;
    this.painted = 0;     // when the page last drew
    this.hand = null;     // name of the slider being dragged
    this.alone = false;   // there was a kernel and it is gone
  }

  // What comes in

  keep(entries) {
    for (const [values, frame] of entries) {
      const key = keyOf(values), old = this.frames.get(key);
      if (old) this.stored -= old.picture.length;
      this.frames.delete(key);
      this.frames.set(key, frame);
      this.stored += frame.picture.length;
    }
    for (const [key, frame] of this.tell ? this.frames : []) {
      if (this.stored <= STORED) break;
      this.frames.delete(key);
      this.stored -= frame.picture.length;
    }
  }

  hear(answer) {
    const heard = answer.heard[this.page] ?? 0;
    this.heard = Math.max(this.heard, heard);
    if (heard >= this.asked) this.asked = 0;
    this.alone = false;
    if (answer.frame) this.keep([[answer.values, answer.frame]]);
    this.moved.forEach((number, i) => { if (number <= heard) this.values[i] = answer.values[i]; });
    this.pins = answer.pins;
    if (answer.said !== undefined) this.said = answer.said;
    // On the way through states that are not here yet, one sees those that have come.
    if (answer.frame && !this.frames.has(keyOf(this.values)) && heard > this.shownNumber) this.show(answer.frame, heard);
    this.refresh();
  }

  lost() {
    this.alone = true;
    this.asked = 0;
    this.refresh();
  }

  // What goes out

  send(extra = {}) {
    if (!this.tell) return;
    clearTimeout(this.resting);
    const number = ++this.number;
    const moved = this.told.controls.filter((_, i) => this.moved[i] > this.heard).map(control => control.name);
    this.tell({page: this.page, n: number, values: [...this.values], moved, hand: this.hand, ...extra});
    return number;
  }

  ask() {
    if (this.tell && !this.alone && !this.asked) this.asked = this.send({ask: true});
  }

  // What a hand does

  /** step: by a key, from position to position. */
  move(i, value, step = false) {
    this.said = null;
    if (value === this.values[i]) return;
    const there = this.reached(i, value, step), number = ++this.number;
    const others = this.told.controls.filter((_, at) => at !== i && there[at] !== this.values[at]);
    if (others.length) {
      const went = others.map(control => `${control.title} went to ${written(control, there[this.place(control)])}`);
      this.said = {text: `This page has no picture of these values together: ${went.join(', ')}.`};
    }
    there.forEach((each, at) => { if (each !== this.values[at] || at === i) this.moved[at] = number; });
    this.values = there;
    this.refresh();
    clearTimeout(this.resting);
    if (!this.hand) this.resting = setTimeout(() => this.send(), this.surrounded(i) ? REST_MS : 0);
  }

  /** Whether the page has what the next key on this control may ask for. */
  surrounded(i) {
    const {positions} = this.told.controls[i];
    if (!positions) return false;
    const at = nearest(positions, this.values[i]);
    return [positions[at - 1], positions[at + 1]].every(
      there => there === undefined || this.frames.has(keyOf(this.values.with(i, there))));
  }

  place(control) {
    return this.told.controls.indexOf(control);
  }

  /**
   * Where a move ends. A kernel makes any state. A page without one has pictures of every position of one slider while
   * the others are where they began, and of `stored` positions of all of them together: the nearest of these is shown.
   */
  reached(i, value, step) {
    if (this.tell) return this.values.with(i, value);
    const {controls} = this.told, {positions} = controls[i], up = value > this.values[i];
    const wanted = this.values.with(i, positions ? positions[nearest(positions, value)] : value);
    if (this.frames.has(keyOf(wanted))) return wanted;
    const together = controls.map(({kind, stored}, at) => {
      if (kind !== 'slider') return wanted[at];
      const ahead = stored.filter(each => !step || at !== i || (up ? each >= value : each <= value));
      const there = ahead.length ? ahead : stored;
      return there[nearest(there, at === i ? value : wanted[at])];
    });
    const stays = step && together[i] === this.values[i];  // a key beyond the last of `stored`: it moves alone
    if (controls[i].stored?.length !== 1 && !stays && this.frames.has(keyOf(together))) return together;
    return controls.map((control, at) => at === i || control.kind !== 'slider' ? wanted[at] : control.default);
  }

  take(i) {
    const {name, stops} = this.told.controls[i];
    const there = [...this.values];
    this.hand = name;
    if (stops.some(stop => { there[i] = stop; return !this.frames.has(keyOf(there)); })) this.send();
  }

  release() {
    if (!this.hand) return;
    this.hand = null;
    this.paint();
    this.send();
  }

  reset() {
    this.said = null;
    this.number += 1;
    this.values = this.told.controls.map(control => control.default);
    this.moved.fill(this.number);
    this.refresh();
    this.send();
  }

  press(button) {
    if (button.name !== 'save') this.said = null;
    if (this.tell) this.send({button});
    else if (button.name === 'clear') this.pins = [];
    else if (!this.shown.refused) this.pins = [...this.pins, this.pinned()];
    this.views.forEach(view => view.words());
  }

  pinned() {
    const settings = this.told.controls.map((control, i) => written(control, this.values[i]));
    const numbers = this.told.numbers.map(at => this.shown.readouts[at][1]);
    return [String.fromCharCode(65 + this.pins.length % 26), ...settings, ...numbers];
  }

  refuse(control, text) {
    const {positions, unit, decimals, title} = control;
    const [low, high] = [positions[0], positions.at(-1)].map(end => String(+end.toFixed(decimals)));
    this.said = {text: `${title} was set to ${text || 'nothing'}. Allowed: ${low} to ${high} ${unit}`.trimEnd()
      + '. Do next: choose a value in this range.', refused: true};
    this.views.forEach(view => { view.controls(true); view.words(); });
  }

  // What is shown

  refresh() {
    const frame = this.frames.get(keyOf(this.values));
    if (frame) this.show(frame, this.number);
    else this.ask();
    clearTimeout(this.waiting);
    this.late = !frame && this.alone;
    if (!frame && !this.alone) this.waiting = setTimeout(() => { this.late = true; this.paint(); }, LATE_MS);
    this.paint();
  }

  show(frame, number) {
    this.shown = frame;
    this.shownNumber = number;
  }

  paint() {
    clearTimeout(this.drawing);
    const now = performance.now(), wait = this.hand ? this.painted + DRAG_MS - now : 0;
    if (wait > 0) {
      this.drawing = setTimeout(() => this.paint(), wait);
      return;
    }
    this.painted = now;
    this.views.forEach(view => { view.controls(); view.picture(); view.words(); });
  }

  status() {
    if (this.alone) {
      return 'The kernel is gone: the lab shows the pictures it has and computes no new ones. Run its cell again.'
        + (this.late ? ' It has none of these values; the picture is an older one.' : '');
    }
    return this.late ? 'Waiting for the kernel; the picture is an older one.' : '';
  }

  mount(el) {
    const view = new View(this, el);
    this.views.add(view);
    if (!this.shown) this.refresh();
    else this.paint();
    return () => {
      view.sized.disconnect();
      this.views.delete(view);
    };
  }
}

// One place in the page where a lab is shown

let views = 0;

function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
}

function written(control, value) {
  if (control.kind === 'slider') return value.toFixed(control.decimals);
  return control.kind === 'switch' ? (value ? 'yes' : 'no') : value;
}

/** What a hand can use: JupyterLab leaves its keys alone. */
function tool(tag, attributes, ...children) {
  return make(tag, {...attributes, 'data-lm-suppress-shortcuts': 'true'}, ...children);
}

function nearest(positions, value) {
  return positions.reduce((best, each, at) => Math.abs(each - value) < Math.abs(positions[best] - value) ? at : best, 0);
}

class View {
  constructor(lab, el) {
    this.lab = lab;
    this.ident = `trimkit-${++views}`;
    this.setters = [];
    const {told} = lab, [width, height] = told.size;
    this.still = make('div', {class: 'trimkit-layer', 'aria-hidden': 'true'});
    this.still.innerHTML = told.still;
    this.live = make('div', {class: 'trimkit-layer trimkit-live'});
    this.readouts = make('div', {class: 'trimkit-readouts'});
    this.sentence = make('p', {class: 'trimkit-sentence'});
    this.spoken = make('div', {class: 'trimkit-spoken', 'aria-live': 'polite'});
    this.status = make('p', {class: 'trimkit-status', role: 'status'});
    this.said = make('p', {class: 'trimkit-saved', role: 'status'});
    this.pins = make('div', {class: 'trimkit-pinned', role: 'region', 'aria-label': 'Pins', tabindex: '0'});
    const picture = make('div', {class: 'trimkit-picture'}, this.still, this.live);
    picture.style.aspectRatio = `${width} / ${height}`;
    this.root = make('div', {class: 'trimkit-lab', role: 'group', 'aria-label': told.title},
      make('div', {class: 'trimkit-bench'},
        make('div', {class: 'trimkit-controls'}, ...told.controls.map((control, i) => this[control.kind](control, i)),
          this.buttons(), ...(told.saves ? [this.saving(told.saves)] : [])),
        make('div', {class: 'trimkit-shown'}, picture, this.readouts, this.sentence)),
      this.status, this.said, this.pins, this.spoken);
    el.append(this.root);
    this.sized = new ResizeObserver(() => this.letters(picture));
    this.sized.observe(picture);
  }

  /** No letter of the picture is smaller than LEAST_PX on the screen, whatever the picture is scaled to. */
  letters(picture) {
    const width = picture.clientWidth, least = this.root.clientWidth > PHONE_PX ? LEAST_PX : LEAST_PHONE_PX;
    if (!width) return;
    this.units = this.still.firstElementChild.viewBox.baseVal.width / width;
    this.root.style.setProperty('--least', `${least * this.units}px`);
    this.small = width < SMALL_PX;
    this.fit(this.still);
    this.fit(this.live);
  }

  /** In a small picture, letters that grew stay inside it. */
  fit(layer) {
    if (!this.small) return;
    const edge = layer.getBoundingClientRect();
    for (const text of layer.querySelectorAll('text')) {
      text.style.translate = '';
      text.removeAttribute('textLength');
      let box = text.getBoundingClientRect();
      if (box.width > edge.width) {
        text.setAttribute('lengthAdjust', 'spacingAndGlyphs');
        text.setAttribute('textLength', 0.98 * edge.width * this.units);
        box = text.getBoundingClientRect();
      }
      const right = Math.min(0, edge.right - box.right) + Math.max(0, edge.left - box.left);
      const down = Math.min(0, edge.bottom - box.bottom) + Math.max(0, edge.top - box.top);
      if (right || down) text.style.translate = `${right * this.units}px ${down * this.units}px`;
    }
  }

  slider(control, i) {
    const {lab} = this, {positions, stops, title, unit, decimals} = control, id = `${this.ident}-${control.name}`;
    const range = tool('input', {type: 'range', id, min: 0, max: positions.length - 1, step: 1});
    const box = tool('input', {type: 'number', 'aria-label': `${title}, typed`, step: 'any', autocomplete: 'off'});
    range.addEventListener('input', () => {
      const value = positions[range.valueAsNumber];
      lab.move(i, lab.hand ? stops[nearest(stops, value)] : value, !lab.hand);
    });
    range.addEventListener('pointerdown', () => lab.take(i));
    for (const end of ['pointerup', 'pointercancel', 'lostpointercapture', 'change', 'blur']) {
      range.addEventListener(end, () => lab.release());
    }
    box.addEventListener('change', () => this.typed(control, i, box));
    box.addEventListener('keydown', event => {
      if (event.key === 'Enter') this.typed(control, i, box);
      const steps = {ArrowUp: 1, ArrowDown: -1}[event.key];
      if (!steps) return;
      event.preventDefault();
      const place = Math.min(Math.max(nearest(positions, lab.values[i]) + steps, 0), positions.length - 1);
      lab.move(i, positions[place], true);
    });
    this.setters.push(force => {
      const value = lab.values[i], text = value.toFixed(decimals);
      const place = nearest(positions, value);
      if (range.valueAsNumber !== place) range.value = place;
      range.setAttribute('aria-valuetext', `${text} ${unit}`.trimEnd());
      if (force || box.dataset.set !== text) box.value = box.dataset.set = text;
    });
    return make('div', {class: 'trimkit-slider'}, make('label', {for: id}, title), box, range);
  }

  typed(control, i, box) {
    const {positions, decimals} = control, value = box.valueAsNumber, text = value.toFixed(decimals);
    box.dataset.set = '';
    const known = positions.find(position => position.toFixed(decimals) === text);
    if (known === undefined && !(value >= positions[0] && value <= positions.at(-1))) {
      this.lab.refuse(control, box.value);
    } else {
      this.lab.move(i, known ?? value);
      const got = this.lab.values[i].toFixed(decimals);
      if (got !== text) this.lab.said ??= {text: `This page has no picture of ${text}; the nearest is ${got}.`};
      this.lab.paint();
    }
  }

  choice(control, i) {
    const {lab} = this, {options, title} = control;
    if (options.length > 4) {
      const id = `${this.ident}-${control.name}`;
      const list = tool('select', {id}, ...options.map(option => make('option', {}, option)));
      list.addEventListener('change', () => lab.move(i, list.value));
      this.setters.push(() => { list.value = lab.values[i]; });
      return make('div', {class: 'trimkit-choice'}, make('label', {for: id}, title), list);
    }
    const radios = options.map(option => tool('input',
      {type: 'radio', name: `${this.ident}-${control.name}`, value: option}));
    radios.forEach(radio => radio.addEventListener('change', () => lab.move(i, radio.value)));
    this.setters.push(() => radios.forEach(radio => { radio.checked = radio.value === lab.values[i]; }));
    return make('fieldset', {class: 'trimkit-choice'}, make('legend', {}, title),
      ...radios.map((radio, at) => make('label', {}, radio, options[at])));
  }

  switch(control, i) {
    const {lab} = this, check = tool('input', {type: 'checkbox'});
    check.addEventListener('change', () => lab.move(i, check.checked));
    this.setters.push(() => { check.checked = lab.values[i]; });
    return make('div', {class: 'trimkit-switch'}, make('label', {}, check, control.title));
  }

  button(words, title, action) {
    const button = tool('button', {type: 'button', title}, words);
    button.addEventListener('click', action);
    return button;
  }

  buttons() {
    const {lab} = this;
    return make('div', {class: 'trimkit-buttons'},
      this.button('Reset', 'Back to the values the lab began with', () => lab.reset()),
      this.button('Pin this one', 'Keep these numbers in the table below', () => lab.press({name: 'pin'})),
      this.button('Clear pins', 'Empty the table below', () => lab.press({name: 'clear'})));
  }

  saving(forms) {
    const file = tool('input', {type: 'text', value: 'pins', id: `${this.ident}-file`, autocomplete: 'off'});
    const replace = tool('input', {type: 'checkbox'});
    const save = form => this.lab.press({name: 'save', form, file: file.value, replace: replace.checked});
    return make('fieldset', {class: 'trimkit-saving'}, make('legend', {}, 'Save the pins'),
      make('label', {for: file.id}, 'file name'), file,
      make('label', {}, replace, 'replace a file of that name'),
      make('div', {class: 'trimkit-buttons'}, ...forms.map(form => this.button(`Save pins as ${form.toUpperCase()}`,
        'Write the pins to a file in the folder of the notebook', () => save(form)))));
  }

  controls(force = false) {
    this.setters.forEach(set => set(force));
    for (const button of this.root.querySelectorAll('button')) {
      button.disabled = this.lab.alone && button.textContent !== 'Reset';
    }
  }

  picture() {
    const {shown, late} = this.lab;
    this.root.classList.toggle('trimkit-late', Boolean(late));
    if (!shown || shown === this.drawn) return;
    this.drawn = shown;
    this.live.innerHTML = shown.picture;
    this.fit(this.live);
    const cells = shown.readouts;
    if (this.cells?.length !== cells.length) {
      this.cells = cells.map(() => [make('span'), make('b'), make('small')]);
      this.readouts.replaceChildren(...this.cells.map(([label, number, change]) =>
        make('div', {}, label, ' ', number, ' ', change)));
    }
    cells.forEach((texts, at) => texts.forEach((text, part) => {
      if (this.cells[at][part].textContent !== text) this.cells[at][part].textContent = text;
    }));
    this.sentence.textContent = shown.sentence;
    this.sentence.classList.toggle('trimkit-refused', shown.refused);
    clearTimeout(this.speaking);
    if (this.spokenFor) this.speaking = setTimeout(() => { this.spoken.textContent = shown.sentence; }, SPEAK_MS);
    this.spokenFor = true;  // not when the lab appears
  }

  words() {
    const {said, pins, told} = this.lab, status = this.lab.status();
    if (this.status.textContent !== status) this.status.textContent = status;
    this.root.classList.toggle('trimkit-alone', this.lab.alone);
    this.said.textContent = said?.text ?? '';
    this.said.classList.toggle('trimkit-refused', Boolean(said?.refused));
    if (pins === this.tabled || (!pins.length && !this.tabled?.length)) return;
    this.tabled = pins;
    const row = (tag, texts) => make('tr', {}, ...texts.map(text => make(tag, {}, text)));
    this.pins.replaceChildren(...(pins.length ? [make('table', {class: 'trimkit-pins'},
      make('thead', {}, row('th', told.pinned)), make('tbody', {}, ...pins.map(pin => row('td', pin))))] : []));
  }
}

// JupyterLab

export default () => {
  let lab;
  return {
    initialize({model}) {
      lab = new Lab(model.get('told'), message => model.send(message));
      model.on('msg:custom', async (content, buffers) => {
        if (content.ahead) lab.keep(await unpacked(buffers[0]));
        else lab.hear(content);
      });
      model.on('comm_live_update', () => {
        lab.lost();
        lab.send({hello: true});  // an answer ends the loneliness: it was only the line that broke
      });
      lab.hear(model.get('now'));
      lab.send({hello: true});
    },
    render({el}) {
      return lab.mount(el);
    },
  };
};
