// Sliders are native range inputs with a number field. What tape supports is drawn under the thumb, where the calibrated value stands too.

import { element } from './figures.js';

const svg = (name, attributes) => {
  const e = document.createElementNS('http://www.w3.org/2000/svg', name);
  for (const [key, value] of Object.entries(attributes)) e.setAttribute(key, value);
  return e;
};

/** Sliders keeps a row for every dial on the table. moved(name, value or null, done) is called while one moves and when it was moved. */
export class Sliders {
  constructor(box, moved) {
    this.box = box;
    this.moved = moved;
    this.rows = new Map();
  }

  show(list) {
    const rows = list.map(s => {
      const row = this.rows.get(s.name) ?? new Row(s.name, this.moved);
      row.show(s);
      return row;
    });
    this.rows = new Map(rows.map(r => [r.name, r]));
    const boxes = rows.map(r => r.box);
    if (boxes.length !== this.box.children.length || boxes.some((b, i) => b !== this.box.children[i])) this.box.replaceChildren(...boxes);
  }
}

class Row {
  constructor(name, moved) {
    this.name = name;
    const id = `dial-${name.replaceAll('.', '-')}`;
    this.label = element('label', { for: id });
    this.range = element('input', { type: 'range', id, 'aria-describedby': `${id}-support` });
    this.number = element('input', { type: 'number', inputmode: 'decimal' });
    this.reset = element('button', { type: 'button', class: 'reset' }, 'Reset');
    this.support = element('p', { class: 'support', id: `${id}-support` });
    this.draw();
    this.box = element('div', { class: 'slider', 'data-dial': name }, this.label, this.number,
      element('div', { class: 'track' }, this.picture, this.range), this.reset, this.support);
    this.range.addEventListener('input', () => this.go(this.range.valueAsNumber, false, moved));
    this.range.addEventListener('change', () => this.go(this.range.valueAsNumber, true, moved));
    this.number.addEventListener('change', () => this.go(this.number.valueAsNumber, true, moved));
    this.reset.addEventListener('click', () => {
      this.put(this.slider.calibrated, false);
      moved(this.name, null, true);
      this.range.focus();
    });
  }

  draw() {
    this.line = svg('line', { class: 'line', x1: 0, x2: '100%', y1: '50%', y2: '50%' });
    this.band = svg('rect', { class: 'band', y: '50%', height: 10, transform: 'translate(0 -5)' });
    this.centre = svg('line', { class: 'centre', y1: '10%', y2: '90%' });
    this.picture = svg('svg', { 'aria-hidden': 'true', class: 'ruler' });
    this.picture.append(this.line, this.band, this.centre);
  }

  go(value, done, moved) {
    const s = this.slider;
    if (Number.isNaN(value)) {
      this.put(s.at, s.moved);
      return;
    }
    const at = Math.min(Math.max(value, s.least), s.most);
    this.put(at, true);
    moved(this.name, at, done);
  }

  /** put shows a value that is moved or not. */
  put(at, moved) {
    Object.assign(this.slider, { at, moved });
    const words = at.toFixed(digits(this.slider.step));
    this.range.value = at;
    this.number.value = words;
    this.range.setAttribute('aria-valuetext', `${words} ${this.slider.unit}${moved ? ', moved' : ', as calibrated'}`);
    this.box.classList.toggle('moved', moved);
    this.reset.disabled = !moved;
  }

  show(s) {
    this.slider = s;
    this.label.textContent = s.unit === 'ms' || s.unit === 'm' ? `${s.label}, ${s.unit}` : s.label;
    this.number.setAttribute('aria-label', `${s.label}, ${s.unit}`);
    this.reset.setAttribute('aria-label', `Reset: ${s.label}`);
    this.support.textContent = s.support;
    Object.assign(this.range, { min: s.low, max: s.high, step: s.step });
    Object.assign(this.number, { min: s.least, max: s.most, step: 'any' });
    const at = x => `${100 * (x - s.low) / (s.high - s.low)}%`;
    this.band.setAttribute('class', `band ${s.source}`);
    this.band.setAttribute('x', at(s.from));
    this.band.setAttribute('width', `${100 * (s.to - s.from) / (s.high - s.low)}%`);
    this.centre.setAttribute('x1', at(s.calibrated));
    this.centre.setAttribute('x2', at(s.calibrated));
    this.put(s.at, s.moved);
  }
}

const digits = step => Math.max(0, Math.ceil(-Math.log10(step) - 1e-9));
