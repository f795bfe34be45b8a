// The tape beside the picture: the rows of one round as they are coded, the current one marked.
import {clock, spaced} from './bout.js';

function element(name, attributes, ...children) {
	const e = document.createElement(name);
	for (const [k, v] of Object.entries(attributes || {})) e.setAttribute(k, v);
	e.append(...children);
	return e;
}

export {element};

/** coded are the cells of a row after its clock and corner, as words. */
export function coded(row) {
	const what = [spaced(row.act), spaced(row.value)].filter(Boolean).join(' ');
	const more = [row.limb, row.how === 'set' ? '' : row.how].filter(Boolean).join(', ');
	return {what: more ? `${what} (${more})` : what, did: row.defence && row.defence !== 'none' ? spaced(row.defence) : '', came: spaced(row.result)};
}

/** Tape keeps a list of rows; go is called with a row's index when one is picked. */
export class Tape {
	constructor(box, bout, names, go) {
		Object.assign(this, {box, bout, names, round: 0, marked: -1});
		this.list = element('ol', {class: 'rows'});
		box.append(this.list);
		this.list.addEventListener('click', e => {
			const item = e.target.closest('li[data-row]');
			if (item) go(Number(item.dataset.row));
		});
	}

	/** show marks row i, whose round is shown; parts is the row before which two bouts part, -1 if none. */
	show(i, parts) {
		const row = this.bout.rows[Math.max(i, 0)];
		if (row.round !== this.round) this.fill(row.round, parts);
		this.items.get(this.marked)?.removeAttribute('aria-current');
		this.marked = i;
		const item = this.items.get(i);
		if (!item) return;
		item.setAttribute('aria-current', 'step');
		this.follow();
	}

	/** follow scrolls to the marked row if it is not well in sight. */
	follow() {
		const item = this.items.get(this.marked);
		if (!item) return;
		const top = item.offsetTop;
		if (top < this.box.scrollTop + 40 || top + item.offsetHeight > this.box.scrollTop + this.box.clientHeight - 40) this.box.scrollTop = top - this.box.clientHeight * .4;
	}

	fill(round, parts) {
		this.round = round;
		this.items = new Map();
		const out = [];
		for (const row of this.bout.rows) {
			if (row.round !== round) continue;
			if (row.i === parts) out.push(element('li', {class: 'parts'}, 'From here on the two are no longer the same.'));
			const c = coded(row);
			const item = element('li', {'data-row': String(row.i), class: row.told ? 'told' : 'state'},
				element('span', {class: 'clock'}, clock(row.clock)), element('span', {class: 'who who' + row.who}, row.who < 0 ? '' : this.names[row.who]),
				element('span', {class: 'what'}, c.what), element('span', {class: 'did'}, c.did), element('span', {class: 'came ' + (row.result || '')}, c.came));
			this.items.set(row.i, item);
			out.push(item);
		}
		this.list.setAttribute('aria-label', 'Tape of round ' + round);
		this.list.replaceChildren(...out);
	}
}

/** reasons writes the why-lines. */
export function reasons(list, words) {
	if (!list || !list.length) return [element('p', {class: 'soft'}, 'Nobody chose this: it is a state that began, or what follows from the row before.')];
	return list.map(w => {
		const box = element('section', {}, element('h4', {}, w.head));
		for (const line of w.lines || []) box.append(element('p', {class: 'rule'}, words[line]));
		if (w.rows && w.rows.length) box.append(table(w, words));
		if (w.note) box.append(element('p', {class: 'soft'}, w.note));
		if (w.knew) box.append(element('details', {}, element('summary', {}, 'What was known'), element('p', {}, w.knew.map(k => words[k]).join('; ') + '.')));
		return box;
	});
}

function table(w, words) {
	const head = element('tr', {}, element('th', {scope: 'col'}, w.mark < 0 ? 'what spoke' : 'option'));
	const columns = w.plan ? ['as usual', 'with the plan'] : [words[w.unit]];
	columns.forEach(c => head.append(element('th', {scope: 'col'}, c)));
	const body = element('tbody');
	w.rows.forEach((row, i) => {
		const tr = element('tr', i === w.mark ? {class: 'drawn'} : {}, element('th', {scope: 'row'}, words[row[0]] + (i === w.mark ? ' \u2190 drawn' : '')));
		for (const x of row.slice(1)) tr.append(element('td', {}, x));
		body.append(tr);
	});
	const t = element('table', {}, element('thead', {}, head), body);
	if (w.plan) t.prepend(element('caption', {}, words[w.unit]));
	return t;
}
