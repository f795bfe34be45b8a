// Lists to choose from: people, plans, phrases, rule sets, questions.

import { element } from './figures.js';

/** options fills a select with choices, grouped by where they come from; none is what an empty choice is called. */
export function options(select, choices, none) {
  const groups = new Map();
  for (const c of choices) groups.set(c.from, [...(groups.get(c.from) ?? []), element('option', { value: c.key, title: c.note ?? '' }, c.name)]);
  const all = [...groups].map(([from, list]) => {
    const group = element('optgroup', { label: from });
    group.append(...list);
    return group;
  });
  select.replaceChildren(...(none ? [element('option', { value: '' }, none), ...all] : all));
}

/** ticks fills a list with boxes to tick. */
export function ticks(list, items, changed) {
  const old = new Map([...list.children].map(e => [e.dataset.item, e]));
  const all = items.map(item => {
    const there = old.get(item.id);
    if (there && there.querySelector('.name').textContent === item.name) {
      there.querySelector('input').checked = item.on;
      return there;
    }
    const box = element('input', { type: 'checkbox', id: item.id });
    box.checked = item.on;
    box.addEventListener('change', () => changed(item.key, box.checked));
    const words = element('label', { for: item.id }, element('span', { class: 'name' }, item.name));
    if (item.note) words.append(element('span', { class: 'intent' }, item.note));
    return element('li', { 'data-item': item.id }, box, words);
  });
  if (all.length !== list.children.length || all.some((e, i) => e !== list.children[i])) list.replaceChildren(...all);
  list.hidden = all.length === 0;
}

/** questions are links, so that they can be opened anywhere. */
export function questions(list, all) {
  list.replaceChildren(...all.map(q => element('li', {}, element('a', { href: `/?${q.at}`, 'data-at': q.at }, q.ask))));
}
