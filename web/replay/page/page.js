// The page: one cursor over time for all pictures, moved by keys, buttons, the line of time, or, if asked, by playing.
import {Bout, clock, kinds, last, parseClock, steps} from './bout.js';
import {Floor, make} from './floor.js';
import {Tape, element, reasons} from './tape.js';

const $ = id => document.getElementById(id);
const still = matchMedia('(prefers-reduced-motion: reduce)');

class Replay {
	constructor(data) {
		this.data = data;
		this.bouts = data.bouts.map(b => new Bout(b, data.rules));
		this.steps = steps(this.bouts);
		this.total = Math.max(...this.bouts.map(b => b.ends));
		this.length = data.rules.seconds * 1e6;
		this.parts = data.parting ? (data.parting.round - 1) * this.length + data.parting.clock : NaN;
		this.step = 0;
		this.time = 0;
		this.playing = false;
		this.panels = this.bouts.map((b, p) => new Panel(this, p));
		this.controls();
		this.keys();
		this.marks();
		addEventListener('hashchange', () => this.fromLink());
		addEventListener('pagehide', () => this.pause());
		new ResizeObserver(() => this.panels.forEach(p => { p.draw(); p.tape.follow(); })).observe($('panels'));
		if (this.panels[0].floor.small()) this.look('close', true);
		this.fromLink();
		this.show();
	}

	/** Where the cursor stands: a step, or a time between two. */
	goStep(i, loud) {
		this.step = Math.min(Math.max(i, 0), this.steps.length - 1);
		this.time = this.steps[this.step].time;
		this.show(loud);
	}

	goTime(time, loud) {
		this.time = Math.min(Math.max(time, 0), this.total);
		this.step = Math.max(last(this.steps, s => s.time <= this.time), 0);
		this.show(loud);
	}

	/** by is the next step of the kind that is stepped by, forwards or back. Between two steps, back is the one just past. */
	by(direction) {
		this.pause();
		const wanted = kinds[$('by').value];
		const fits = s => s.fresh.some((f, p) => f && (f.end || !f.bell && wanted(this.bouts[p].rows[f.row]) || f.bell && $('by').value === 'all'));
		let i = this.step;
		if (direction < 0 && this.time > this.steps[i].time) i++;
		do i += direction; while (i > 0 && i < this.steps.length - 1 && !fits(this.steps[i]));
		this.goStep(i, true);
	}

	byRound(direction) {
		this.pause();
		const round = this.round();
		const start = (round - 1) * this.length;
		const to = direction > 0 ? round : this.time > start ? round - 1 : round - 2;
		this.goTime(Math.min(Math.max(to, 0) * this.length, this.total), true);
	}

	round() { return this.bouts[this.longest()].rows[Math.max(this.steps[this.step].rows[this.longest()], 0)].round; }

	longest() { return this.bouts.length > 1 && this.bouts[1].ends > this.bouts[0].ends ? 1 : 0; }

	goParting() {
		this.pause();
		this.goTime(this.parts, true);
		$('parting').open = true;
	}

	play() {
		if (this.time >= this.total) this.goStep(0);
		this.playing = true;
		this.then = performance.now();
		$('play').textContent = 'Pause';
		document.body.classList.add('playing');
		requestAnimationFrame(() => this.tick());
	}

	pause() {
		if (!this.playing) return;
		this.playing = false;
		$('play').textContent = 'Play';
		document.body.classList.remove('playing');
		this.show(true);
	}

	toggle() { if (this.playing) this.pause(); else this.play(); }

	tick() {
		if (!this.playing) return;
		const now = performance.now(), time = Math.min(this.time + (now - this.then) * 1000 * Number($('speed').value), this.total);
		this.then = now;
		const step = Math.max(last(this.steps, s => s.time <= time), 0);
		const moved = step !== this.step;
		this.step = step;
		this.time = time;
		if (moved) this.show(); else { this.line(); if (!still.matches) this.draw(); }
		if (time >= this.total) this.pause();
		else requestAnimationFrame(() => this.tick());
	}

	/** show brings everything to the cursor; loud says it to those who listen. */
	show(loud) {
		this.line();
		this.panels.forEach(p => p.show());
		if (!this.playing) this.toLink();
		if (loud) $('said').textContent = this.words();
	}

	draw() { this.panels.forEach(p => p.draw()); }

	words() {
		const told = this.panels.map(p => p.told()).filter((t, i, all) => all.indexOf(t) === i);
		return `Round ${this.round()}, ${clock(this.time - (this.round() - 1) * this.length)}. ` + (told.length === 1 ? told[0] : this.panels.map(p => p.bout.plans[0] + ': ' + p.told()).join(' '));
	}

	line() {
		const round = this.round(), at = clock(this.time - (round - 1) * this.length);
		$('time').value = String(Math.round(this.time / 1e5));
		$('time').setAttribute('aria-valuetext', `round ${round}, ${at}`);
		$('now').textContent = `Round ${round}  ${at}`;
		if (document.activeElement !== $('clock')) $('clock').value = at;
		$('round').value = String(round);
	}

	look(id, on) {
		const box = $(id);
		box.checked = on;
		this.panels.forEach(p => { p.floor[id] = on; });
		document.body.classList.toggle(id, on);
	}

	controls() {
		const on = (id, event, act) => $(id).addEventListener(event, act);
		$('time').max = String(Math.round(this.total / 1e5));
		for (let r = 1; r <= Math.max(...this.bouts.map(b => b.end.round)); r++) $('round').append(element('option', {value: String(r)}, 'Round ' + r));
		on('play', 'click', () => this.toggle());
		on('back', 'click', () => this.by(-1));
		on('next', 'click', () => this.by(1));
		on('time', 'input', () => { this.pause(); this.goTime(Number($('time').value) * 1e5 + 99999); });
		on('time', 'change', () => this.show(true));
		on('jump', 'submit', e => { e.preventDefault(); this.jump(); });
		for (const id of ['close', 'rings']) on(id, 'change', () => { this.look(id, $(id).checked); this.draw(); });
		if (this.data.parting) on('part', 'click', () => this.goParting());
	}

	jump() {
		const us = parseClock($('clock').value), round = Number($('round').value), most = this.length;
		const bad = !(us <= most + 99999);
		$('clock').setAttribute('aria-invalid', String(bad));
		$('fault').textContent = bad ? `Not a clock: minutes and seconds since the bell, from 0:00 to ${clock(most)}, as in 1:05.3` : '';
		if (bad) return;
		this.pause();
		this.goTime((round - 1) * this.length + Math.min(us, most - 1), true);
	}

	/** keys: those of letters work inside the player only, so that nobody's own keys are taken away (WCAG 2.2, 2.1.4). */
	keys() {
		const acts = {
			ArrowRight: e => e.shiftKey ? this.byRound(1) : this.by(1), ArrowLeft: e => e.shiftKey ? this.byRound(-1) : this.by(-1),
			Home: () => { this.pause(); this.goStep(0, true); }, End: () => { this.pause(); this.goTime(this.total, true); }, ' ': () => this.toggle(),
			'+': () => this.faster(1), '=': () => this.faster(1), '-': () => this.faster(-1),
			z: () => { this.look('close', !$('close').checked); this.draw(); }, r: () => { this.look('rings', !$('rings').checked); this.draw(); },
			w: () => { $('whys').open = !$('whys').open; }, g: () => { $('clock').focus(); $('clock').select(); }, p: () => { if (this.data.parting) this.goParting(); },
		};
		document.addEventListener('keydown', e => {
			const act = acts[e.key], on = e.target;
			if (!act || !(on.closest('#player') || on === document.body && e.key.startsWith('Arrow')) || e.ctrlKey || e.metaKey || e.altKey || on.closest('#jump, select') || on === $('time') && e.key !== ' ') return;
			if (e.key === ' ' && on.closest('button, summary, input')) return;
			e.preventDefault();
			act(e);
		});
	}

	faster(direction) {
		const s = $('speed');
		s.selectedIndex = Math.min(Math.max(s.selectedIndex + direction, 0), s.options.length - 1);
		$('said').textContent = 'Speed ' + s.selectedOptions[0].textContent;
	}

	/** A link to a moment: round and clock behind the number sign. */
	toLink() {
		const round = this.round(), us = Math.round(this.time) - (round - 1) * this.length;
		const to = `#${round}-${Math.floor(us / 6e7)}:${String(Math.floor(us / 1e6) % 60).padStart(2, '0')}.${String(us % 1e6).padStart(6, '0')}`;
		clearTimeout(this.linking);
		this.linking = setTimeout(() => history.replaceState(null, '', to), 150); // browsers allow a hundred in some seconds
		this.link = to;
	}

	fromLink() {
		const m = /^#(\d+)-([\d:.]+)$/.exec(location.hash);
		if (!m || location.hash === this.link) return;
		const us = parseClock(m[2]);
		if (us >= 0) this.goTime((Number(m[1]) - 1) * this.length + Math.min(us, this.length), true);
	}

	/** marks are what stands out, under the line of time. */
	marks() {
		const svg = $('marks'), high = 15 * this.bouts.length + 4, x = time => time / this.total * 1000;
		svg.setAttribute('viewBox', `0 0 1000 ${high}`);
		svg.style.height = high + 'px';
		this.bouts.forEach((b, p) => {
			const y = 2 + 15 * p;
			svg.append(make('path', {class: 'base', d: `M0,${y + 13}H${x(b.ends).toFixed(1)}`}));
			for (const row of b.rows) {
				if (kinds.hurt(row) || kinds.clean(row)) svg.append(make('path', {class: kinds.hurt(row) ? 'hurt' : 'clean', d: `M${x(row.time).toFixed(1)},${y + 13}v${kinds.hurt(row) ? -13 : -5}`}));
			}
		});
		for (let r = 1; r * this.length < this.total; r++) svg.append(make('path', {class: 'bell', d: `M${x(r * this.length).toFixed(1)},0v${high}`}));
		if (this.parts >= 0) svg.append(make('path', {class: 'parts', d: `M${x(this.parts).toFixed(1)},0v${high}`}));
	}
}

class Panel {
	constructor(replay, p) {
		this.replay = replay;
		this.p = p;
		this.bout = replay.bouts[p];
		this.floor = new Floor($('floor-' + p), replay.data.rules, replay.data.names);
		this.tape = new Tape($('tape-' + p), this.bout, replay.data.names, i => { replay.pause(); replay.goStep(replay.steps.findIndex(s => s.rows[p] >= i), true); });
		this.parts = replay.data.parting ? replay.data.parting.first : -1;
	}

	at() { return this.replay.steps[this.replay.step]; }

	row() { return this.at().rows[this.p]; }

	/** fresh: the cursor's row is no older than three quarters of a second, or the very one stepped to. */
	fresh() {
		const row = this.bout.rows[this.row()];
		return this.replay.time - row.time < 75e4;
	}

	/** parting reports whether the cursor stands at the very moment at which the two part. */
	parting() { return this.replay.time === this.replay.parts; }

	told() {
		const row = this.bout.rows[this.row()];
		if (this.replay.time >= this.bout.ends) return this.bout.end.told;
		if (this.parting()) return this.replay.data.parting.told[this.p];
		return row.told || `Round ${row.round}: the bell.`;
	}

	/** when is the clock of what is said. */
	when() {
		if (this.replay.time >= this.bout.ends) return clock(this.bout.end.clock);
		return clock(this.parting() ? this.replay.data.parting.clock : this.bout.rows[this.row()].clock);
	}

	show() {
		const i = this.row();
		$('told-' + this.p).textContent = this.told();
		$('when-' + this.p).textContent = this.when();
		this.tape.show(i, this.parts);
		if (i !== this.explained) {
			this.explained = i;
			$('why-' + this.p).replaceChildren(...reasons(this.bout.why[i], this.replay.data.words));
		}
		this.draw();
	}

	draw() {
		const time = Math.min(this.replay.time, this.bout.ends), gliding = this.replay.playing && !still.matches, row = this.row();
		const moment = {bout: this.bout, time, row, fresh: this.fresh() && !this.parting(), gliding};
		if (gliding) {
			const under = this.bout.rows.find((r, i) => i > row && i < row + 12 && (r.kind === 'strike' || r.kind === 'takedown') && r.time > time && r.time - time < 35e4);
			if (under) Object.assign(moment, {under, underFrom: Math.max(under.begun ? this.bout.time(under.round, under.begun) : 0, under.time - 35e4)});
		}
		$('range-' + this.p).textContent = this.floor.draw(moment);
	}
}

async function load() {
	const inside = $('data');
	if (inside) return JSON.parse(inside.textContent);
	const answer = await fetch('data.json' + location.search);
	if (!answer.ok) throw new Error(await answer.text());
	return answer.json();
}

load().then(data => {
	$('player').hidden = false;
	document.body.classList.add('ready');
	$('story').open = false;
	if (data.parting) $('parting-why').replaceChildren(...data.parting.why.map((w, p) => {
		const box = element('div', {}, element('h3', {}, data.parting.told[p]));
		if (w.length) box.append(...reasons(w, data.words));
		return box;
	}));
	globalThis.replay = new Replay(data);
}, fault => { $('fault').textContent = 'The replay cannot be shown: ' + fault.message; $('player').hidden = false; });
