// Puts an answer's parts on the page. Markup of figures comes from our own server, which escapes every word. What is there already is changed in
// place, so that open tables stay open and the keyboard's focus stays where it was.

export function element(name, attributes = {}, ...children) {
  const e = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (key in e && typeof value !== 'string') e[key] = value; else e.setAttribute(key, value);
  }
  e.append(...children);
  return e;
}

/** show gives the parts of a picture their places. */
export function show(parts, into) {
  const old = new Map([...into.children].map(e => [e.dataset.part, e]));
  const sections = parts.map(part => {
    const section = old.get(part.id) ?? begin(part.id);
    section.querySelector('h2').textContent = part.heading;
    fill(section.querySelector('.leads'), (part.lead ?? []).map(words => element('p', {}, words)));
    figures(section.querySelector('.figures'), part.figures ?? []);
    fill(section.querySelector('ul'), (part.items ?? []).map(words => element('li', {}, words)));
    return section;
  });
  if (sections.length !== into.children.length || sections.some((s, i) => s !== into.children[i])) into.replaceChildren(...sections);
}

function begin(id) {
  const section = element('section', { 'data-part': id }, element('h2'), element('div', { class: 'leads' }), element('div', { class: 'figures' }), element('ul'));
  return section;
}

function fill(box, children) {
  box.replaceChildren(...children);
  box.hidden = children.length === 0;
}

function figures(box, markups) {
  const fresh = markups.map(markup => new DOMParser().parseFromString(markup, 'text/html').querySelector('figure'));
  const old = new Map([...box.children].map(e => [e.id, e]));
  const all = fresh.map(f => {
    const there = old.get(f.id);
    if (!there) return document.adoptNode(f);
    change(there, f);
    return there;
  });
  if (all.length !== box.children.length || all.some((f, i) => f !== box.children[i])) box.replaceChildren(...all);
}

/** change takes over what a fresh figure shows, and leaves its table open or closed. */
function change(figure, fresh) {
  for (const part of ['figcaption', '.wb-wide', '.wb-narrow', 'thead', 'tbody']) {
    const [to, from] = [figure.querySelector(part), fresh.querySelector(part)];
    if (to && from && to.innerHTML !== from.innerHTML) to.replaceChildren(...[...from.childNodes].map(n => document.adoptNode(n)));
  }
  const [to, from] = [figure.querySelector('a[download]'), fresh.querySelector('a[download]')];
  if (to && from) to.setAttribute('href', from.getAttribute('href'));
  const note = figure.querySelector('.note');
  if (note) note.textContent = fresh.querySelector('.note')?.textContent ?? '';
}
