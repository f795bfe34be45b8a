// The floor from above, drawn as a plan of a room is: the fence as a wall, what limbs reach as the swing of a door, the gap as a dimension line.
import {spaced} from './bout.js';

const NS = 'http://www.w3.org/2000/svg';

export function make(name, attributes, ...children) {
	const e = document.createElementNS(NS, name);
	for (const [k, v] of Object.entries(attributes || {})) e.setAttribute(k, typeof v === 'number' ? String(Math.round(v * 100) / 100) : v);
	e.append(...children);
	return e;
}

const legs = ['front_kick', 'side_kick', 'low_kick', 'body_kick', 'high_kick', 'knee'];
const curved = ['lead_hook', 'rear_hook', 'overhand', 'spin', 'elbow', 'low_kick', 'body_kick', 'high_kick'];
const through = ['clean', 'hurt', 'knockdown', 'stoppage'];
const limbs = ['hooks', 'straights', 'kicks'];

/** Floor draws one bout's moments into an element. */
export class Floor {
	constructor(svg, rules, names) {
		this.svg = svg;
		this.rules = rules;
		this.names = names;
		this.close = false;
		this.rings = true;
		this.sides = rules.shape === 'circle' ? 0 : rules.shape === 'square' ? 4 : rules.sides;
		this.reach = rules.diameter / 2 / (this.sides % 4 ? Math.cos(Math.PI / this.sides) : 1) + .3; // sides lie across and along where four divides them
	}

	/** draw shows a moment: bout, time, the row of the cursor, and whether things glide. */
	draw(moment) {
		const width = Math.max(this.svg.clientWidth, 200), height = Math.max(this.svg.clientHeight, 200);
		const em = parseFloat(getComputedStyle(this.svg).fontSize);
		const at = moment.bout.where(moment.time, moment.gliding).map(p => ({x: p.x / 1000, y: -p.y / 1000}));
		const whole = Math.min(width, height) / 2 / this.reach;
		const view = {width, height, em, scale: whole, x: width / 2, y: height / 2};
		if (this.close) {
			view.scale = Math.max(whole, Math.min(width, height) / 4.4);
			const on = this.follow(at, width / view.scale / 2, height / view.scale / 2);
			view.x = width / 2 - on.x * view.scale;
			view.y = height / 2 - on.y * view.scale;
		}
		view.to = p => ({x: view.x + p.x * view.scale, y: view.y + p.y * view.scale});
		this.svg.setAttribute('viewBox', `0 0 ${width} ${height}`);
		const scene = new Scene(view, at, moment, this);
		const parts = [this.fence(view), ...scene.parts()];
		if (this.close && whole < view.scale) parts.push(this.inset(at, view));
		this.svg.replaceChildren(...parts);
		this.svg.setAttribute('aria-label', scene.words());
		return standing(this.names, scene.holds, scene.gap, this.rules.kicks);
	}

	/** follow is what the close view looks at: it stays until somebody comes near its edge, and then cuts to the middle of the two. */
	follow(at, across, down) {
		const near = p => Math.abs(p.x - this.on.x) > across - .95 || Math.abs(p.y - this.on.y) > down - .95;
		if (!this.on || at.some(near)) this.on = {x: (at[0].x + at[1].x) / 2, y: (at[0].y + at[1].y) / 2};
		return this.on;
	}

	/** small reports whether the whole area is too small here to tell an act in it. */
	small() { return Math.min(this.svg.clientWidth, this.svg.clientHeight) / 2 / this.reach < 45; }

	outline(view, out) {
		const r = (this.rules.diameter / 2 + out) * view.scale;
		if (!this.sides) return make('circle', {cx: view.x, cy: view.y, r});
		const corners = [];
		for (let i = 0; i < this.sides; i++) {
			const a = 2 * Math.PI * (i + .5) / this.sides, far = r / Math.cos(Math.PI / this.sides);
			corners.push(`${(view.x + far * Math.cos(a)).toFixed(1)},${(view.y + far * Math.sin(a)).toFixed(1)}`);
		}
		return make('polygon', {points: corners.join(' ')});
	}

	fence(view) {
		const g = make('g', {class: 'fence'}, this.outline(view, 0), this.outline(view, .12));
		const c = 7;
		g.append(make('path', {d: `M${view.x - c},${view.y}h${2 * c}M${view.x},${view.y - c}v${2 * c}`, class: 'middle'}));
		const bar = view.scale, x = this.close ? 12 : view.x - bar / 2, y = this.close ? view.height - 10 : view.y + this.rules.diameter / 2 * bar - 12;
		g.append(make('path', {d: `M${x},${y - 4}v4h${bar.toFixed(1)}v-4`, class: 'measure'}), make('text', {x: x + bar / 2, y: y - 6, 'text-anchor': 'middle', class: 'small halo'}, '1 m'));
		return g;
	}

	/** inset is the whole area, small, when the view is close. */
	inset(at, view) {
		const size = Math.min(92, view.width * .24), scale = size / 2 / this.reach;
		const small = {scale, x: view.width - size / 2 - 4, y: size / 2 + 4};
		const g = make('g', {class: 'inset'}, this.outline(small, 0));
		const p = at.map(a => ({x: small.x + a.x * scale, y: small.y + a.y * scale}));
		g.append(make('circle', {class: 'solid0', cx: p[0].x, cy: p[0].y, r: 4}), make('path', {class: 'body1', d: diamond(p[1], 5.5)}));
		return g;
	}
}

const diamond = (p, r) => `M${p.x.toFixed(1)},${(p.y - r).toFixed(1)}l${r},${r}l${-r},${r}l${-r},${-r}z`;

/** Scene is one moment with all that follows from it. */
class Scene {
	constructor(view, at, moment, floor) {
		Object.assign(this, {view, at, floor}, moment);
		this.p = at.map(view.to);
		this.holds = this.bout.holds[this.bout.settled(Math.max(this.row, 0), this.time)] || this.bout.holds[0];
		const a = Math.atan2(at[1].y - at[0].y, at[1].x - at[0].x);
		this.facing = [a, a + Math.PI];
		this.gap = Math.hypot(at[1].x - at[0].x, at[1].y - at[0].y);
		this.mode = this.holds.zone.includes('ground') ? 'ground' : this.holds.zone.includes('clinch') ? 'clinch' : 'standing';
		this.act = this.row >= 0 && this.fresh && this.bout.rows[this.row].told ? this.bout.rows[this.row] : null;
	}

	/** off is a point at forward and left metres from a fighter. */
	off(c, forward, left) {
		const a = this.facing[c];
		return this.view.to({x: this.at[c].x + forward * Math.cos(a) + left * Math.sin(a), y: this.at[c].y + forward * Math.sin(a) - left * Math.cos(a)});
	}

	lead(c) { return this.holds.stance[c] === 'southpaw' ? -1 : 1; }

	parts() {
		const out = [];
		if (this.floor.rings && this.mode === 'standing') out.push(this.rings(1), this.rings(0));
		if (this.mode === 'standing') out.push(this.dimension());
		if (this.act) out.push(...this.came());
		const order = this.mode === 'ground' && this.holds.top === 0 ? [1, 0] : [0, 1];
		if (this.mode === 'clinch') out.push(this.lock());
		for (const c of order) out.push(this.mode === 'ground' ? this.lying(c) : this.figure(c));
		if (this.act) out.push(...this.shown());
		if (this.under) out.push(this.limb(this.under, Math.min(Math.max((this.time - this.underFrom) / (this.under.time - this.underFrom), 0), 1)));
		for (const c of [0, 1]) out.push(this.label(c));
		return out;
	}

	rings(c) {
		const g = make('g', {class: 'rings rings' + c}), reach = this.bout.reach[c].slice(0, this.floor.rules.kicks ? 3 : 2), within = reach.findIndex(mm => this.gap * 1000 <= mm);
		reach.forEach((mm, i) => {
			const r = mm / 1000 * this.view.scale;
			g.append(make('circle', {cx: this.p[c].x, cy: this.p[c].y, r, class: 'far'}));
			const spread = i === within ? .55 : .3, a = this.facing[c];
			const from = {x: this.p[c].x + r * Math.cos(a - spread), y: this.p[c].y + r * Math.sin(a - spread)}, to = {x: this.p[c].x + r * Math.cos(a + spread), y: this.p[c].y + r * Math.sin(a + spread)};
			g.append(make('path', {class: i === within ? 'swing own' : 'swing', d: `M${from.x.toFixed(1)},${from.y.toFixed(1)}A${r.toFixed(1)},${r.toFixed(1)} 0 0 1 ${to.x.toFixed(1)},${to.y.toFixed(1)}`}));
			if (this.view.scale > 58) {
				const side = c ? -1 : 1, b = a + side * (1.6 + .35 * i);
				g.append(make('text', {class: 'small halo' + (i === within ? ' strong' : ''), x: this.p[c].x + r * Math.cos(b), y: this.p[c].y + r * Math.sin(b) + 4, 'text-anchor': 'middle'}, limbs[i]));
			}
		});
		return g;
	}

	/** dimension is the gap between the two, beside the line that joins them. */
	dimension() {
		const n = {x: -Math.sin(this.facing[0]), y: Math.cos(this.facing[0])};
		if (n.y < 0) { n.x = -n.x; n.y = -n.y; }
		const far = .5 * this.view.scale, a = {x: this.p[0].x + n.x * far, y: this.p[0].y + n.y * far}, b = {x: this.p[1].x + n.x * far, y: this.p[1].y + n.y * far};
		const tick = p => `M${(p.x - n.x * 5).toFixed(1)},${(p.y - n.y * 5).toFixed(1)}L${(p.x + n.x * 5).toFixed(1)},${(p.y + n.y * 5).toFixed(1)}`;
		return make('g', {class: 'dimension'},
			make('path', {d: `M${a.x.toFixed(1)},${a.y.toFixed(1)}L${b.x.toFixed(1)},${b.y.toFixed(1)}${tick(a)}${tick(b)}`}),
			make('text', {class: 'halo num', x: (a.x + b.x) / 2 + n.x * 12, y: (a.y + b.y) / 2 + n.y * 12 + 4, 'text-anchor': 'middle'}, this.gap.toFixed(2) + ' m'));
	}

	figure(c) {
		const g = make('g', {class: 'man man' + c}), lead = this.lead(c), s = this.view.scale, turn = this.facing[c] * 180 / Math.PI;
		const foot = (forward, left, out) => {
			const p = this.off(c, forward, left);
			return make('ellipse', {class: 'foot', cx: p.x, cy: p.y, rx: .14 * s, ry: .055 * s, transform: `rotate(${(turn - out).toFixed(1)} ${p.x.toFixed(1)} ${p.y.toFixed(1)})`});
		};
		g.append(foot(.27, .1 * lead, -10 * lead));
		if (!this.holds.caught[c]) g.append(foot(-.24, -.13 * lead, -35 * lead));
		// The shoulders: the lead one is in front. Round and full for the fighter, angular and open for the opponent.
		const p = this.p[c], shoulders = `rotate(${(turn + 90 + 38 * lead).toFixed(1)} ${p.x.toFixed(1)} ${p.y.toFixed(1)})`, l = .25 * s, w = .135 * s;
		if (c === 0) g.append(make('ellipse', {class: 'body0', cx: p.x, cy: p.y, rx: l, ry: w, transform: shoulders}));
		else g.append(make('path', {class: 'body1', transform: shoulders, d: `M${(p.x - l).toFixed(1)},${p.y.toFixed(1)}L${(p.x - .55 * l).toFixed(1)},${(p.y - w).toFixed(1)}H${(p.x + .55 * l).toFixed(1)}L${(p.x + l).toFixed(1)},${p.y.toFixed(1)}L${(p.x + .55 * l).toFixed(1)},${(p.y + w).toFixed(1)}H${(p.x - .55 * l).toFixed(1)}z`}));
		const head = this.off(c, .07, 0);
		if (c === 0) g.append(make('circle', {class: 'head0', cx: head.x, cy: head.y, r: .1 * s}));
		else g.append(make('path', {class: 'head1', d: diamond(head, .115 * s)}));
		for (const [forward, left] of [[.36, .12 * lead], [.26, -.14 * lead]]) {
			const hand = this.off(c, forward, left);
			g.append(make('circle', {class: 'hand' + c, cx: hand.x, cy: hand.y, r: .045 * s}));
		}
		return g;
	}

	/** lying draws a fighter on the ground, the upper one above the other. */
	lying(c) {
		const s = this.view.scale, a = this.facing[0] * 180 / Math.PI + 90, p = this.p[c];
		const turn = `rotate(${(a + (c ? 14 : -14)).toFixed(1)} ${p.x.toFixed(1)} ${p.y.toFixed(1)})`;
		const shape = c === 0 ? make('rect', {class: 'body0', x: p.x - .75 * s, y: p.y - .16 * s, width: 1.5 * s, height: .32 * s, rx: .16 * s, transform: turn})
			: make('path', {class: 'body1', transform: turn, d: `M${(p.x - .78 * s).toFixed(1)},${p.y.toFixed(1)}l${(.16 * s).toFixed(1)},${(-.16 * s).toFixed(1)}h${(1.24 * s).toFixed(1)}l${(.16 * s).toFixed(1)},${(.16 * s).toFixed(1)}l${(-.16 * s).toFixed(1)},${(.16 * s).toFixed(1)}h${(-1.24 * s).toFixed(1)}z`});
		return make('g', {class: 'man man' + c}, shape);
	}

	lock() {
		const x = (this.p[0].x + this.p[1].x) / 2, y = (this.p[0].y + this.p[1].y) / 2;
		return make('ellipse', {class: 'lock', cx: x, cy: y, rx: .62 * this.view.scale, ry: .5 * this.view.scale, transform: `rotate(${(this.facing[0] * 180 / Math.PI).toFixed(1)} ${x.toFixed(1)} ${y.toFixed(1)})`});
	}

	/** came is what the act left on the floor: where a step came from. */
	came() {
		const i = this.bout.stood(this.time), before = this.bout.places[i - 1];
		if (!before || before.round !== this.act.round || this.bout.places[i].time !== this.act.time || this.gliding) return [];
		return [0, 1].filter(c => before.at[c].x !== this.bout.places[i].at[c].x || before.at[c].y !== this.bout.places[i].at[c].y).map(c => {
			const from = this.view.to({x: before.at[c].x / 1000, y: -before.at[c].y / 1000}), to = this.p[c];
			return make('g', {class: 'came came' + c}, make('path', {d: `M${from.x.toFixed(1)},${from.y.toFixed(1)}L${to.x.toFixed(1)},${to.y.toFixed(1)}`}), c ? make('path', {d: diamond(from, 5)}) : make('circle', {cx: from.x, cy: from.y, r: 4}));
		});
	}

	shown() {
		if (!this.act.kind || this.act.who < 0) return [];
		return [this.limb(this.act, 1)];
	}

	/** limb draws an attack or feint on its way (part below 1) or as it came. */
	limb(row, part) {
		const c = row.who, o = 1 - c, leg = legs.includes(row.act), lead = this.lead(c), side = (row.limb === 'rear' ? -1 : row.limb === 'lead' ? 1 : row.act === 'feint_hand' ? 1 : -1) * lead;
		const from = leg ? this.off(c, -.02, .16 * side) : this.off(c, .26, .16 * side);
		const aim = row.value === 'head' ? this.off(o, .07, 0) : row.kind !== 'takedown' && ['low_kick'].includes(row.act) || row.value === 'leg' ? this.off(o, .27, .1 * this.lead(o)) : this.off(o, .12, 0);
		const missed = row.result === 'missed' || row.result === 'stuffed';
		const to = missed && part === 1 ? {x: aim.x + .2 * this.view.scale * Math.cos(this.facing[c] + .9 * side), y: aim.y + .2 * this.view.scale * Math.sin(this.facing[c] + .9 * side)} : aim;
		const bulge = curved.includes(row.act) ? (leg ? .55 : .42) * this.view.scale * side : 0;
		const n = {x: Math.sin(this.facing[c]), y: -Math.cos(this.facing[c])};
		const bend = {x: (from.x + to.x) / 2 + n.x * bulge, y: (from.y + to.y) / 2 + n.y * bulge};
		const reached = (row.kind === 'feint' ? .45 : row.result === 'blocked' ? .8 : 1) * part;
		const on = t => ({x: (1 - t) ** 2 * from.x + 2 * t * (1 - t) * bend.x + t * t * to.x, y: (1 - t) ** 2 * from.y + 2 * t * (1 - t) * bend.y + t * t * to.y});
		const tip = on(reached), half = {x: from.x + (bend.x - from.x) * reached, y: from.y + (bend.y - from.y) * reached};
		const g = make('g', {class: `limb limb${c} ${leg ? 'leg' : 'arm'} ${row.kind}`}, make('path', {d: `M${from.x.toFixed(1)},${from.y.toFixed(1)}Q${half.x.toFixed(1)},${half.y.toFixed(1)} ${tip.x.toFixed(1)},${tip.y.toFixed(1)}`}));
		if (part === 1) g.append(...this.mark(row, tip, on(Math.max(reached - .06, 0))));
		return g;
	}

	/** mark says at the tip what came of it: a full disc landed clean, with a ring hurt, with two dropped; a small one grazed; a bar was blocked; an open ring missed. */
	mark(row, tip, before) {
		const dot = (r, kind) => make('circle', {cx: tip.x, cy: tip.y, r, class: kind});
		const a = Math.atan2(tip.y - before.y, tip.x - before.x);
		const bar = (r, kind) => make('path', {class: kind, d: `M${(tip.x - r * Math.sin(a)).toFixed(1)},${(tip.y + r * Math.cos(a)).toFixed(1)}L${(tip.x + r * Math.sin(a)).toFixed(1)},${(tip.y - r * Math.cos(a)).toFixed(1)}`});
		if (row.kind === 'feint') return [make('path', {class: 'open', d: `M${(tip.x + 9 * Math.cos(a)).toFixed(1)},${(tip.y + 9 * Math.sin(a)).toFixed(1)}L${(tip.x - 7 * Math.sin(a)).toFixed(1)},${(tip.y + 7 * Math.cos(a)).toFixed(1)}L${(tip.x + 7 * Math.sin(a)).toFixed(1)},${(tip.y - 7 * Math.cos(a)).toFixed(1)}z`})];
		switch (row.result) {
		case 'clean': return [dot(8, 'full')];
		case 'hurt': return [dot(13, 'open'), dot(8, 'full')];
		case 'knockdown': case 'stoppage': return [dot(18, 'open'), dot(13, 'open'), dot(8, 'full')];
		case 'taken_down': return [dot(8, 'full')];
		case 'partial': return [dot(8, 'open'), dot(3.5, 'full')];
		case 'blocked': return [bar(12, 'stop')];
		}
		return [dot(7, 'open')];
	}

	/** label is the name with what the fighter is doing, behind them. */
	label(c) {
		const em = this.view.em, most = this.view.width < 26 * em ? 15 : 24;
		const lines = [this.floor.names[c], ...this.doing(c).flatMap(l => broken(l, most))], wide = Math.max(...lines.map(l => l.length)) * em * .6;
		const p = this.off(c, -.78, 0), right = Math.cos(this.facing[c]) < 0;
		let x = p.x, anchor = 'middle';
		if (Math.abs(Math.cos(this.facing[c])) >= .35) anchor = right ? 'start' : 'end';
		const room = anchor === 'middle' ? wide / 2 : wide;
		if (anchor === 'start') x = Math.min(x, this.view.width - room - 4);
		if (anchor === 'end') x = Math.max(x, room + 4);
		if (anchor === 'middle') x = Math.min(Math.max(x, room + 4), this.view.width - room - 4);
		const tall = lines.length * em * 1.2, left = anchor === 'start' ? x : anchor === 'end' ? x - wide : x - wide / 2;
		const me = this.p[c], clear = .42 * this.view.scale;
		if (left < me.x + clear && left + wide > me.x - clear && Math.abs(p.y - me.y) < clear + tall / 2) { // over the figure: beside it then, away from the other
			const up = me.y < this.p[1 - c].y || me.y === this.p[1 - c].y && c === 1, far = clear + tall / 2;
			p.y = up && me.y - far - tall / 2 > 0 || me.y + far + tall / 2 > this.view.height ? me.y - far : me.y + far;
		}
		const y = Math.min(Math.max(p.y - tall / 2 + em, em + 2), this.view.height - tall + em - 4);
		const g = make('g', {class: 'label label' + c});
		lines.forEach((line, i) => g.append(make('text', {class: 'halo' + (i ? '' : ' strong'), x, y: y + i * em * 1.2, 'text-anchor': anchor}, line)));
		return g;
	}

	/** doing is what stands beside a name. */
	doing(c) {
		const out = [], row = this.act, h = this.holds;
		if (row && row.who === c) out.push(acts(row));
		if (row && row.who === 1 - c) out.push(...answers(row));
		if (this.bout.isHurt(c, this.time)) out.push('hurt');
		if (h.caught[c]) out.push('leg caught');
		if (this.mode === 'ground' && h.top >= 0) out.push(h.top === c ? 'on top' : 'underneath');
		if (this.mode === 'standing' && h.fence === ['red', 'blue'][c]) out.push(this.floor.rules.shape === 'square' ? 'back on the ropes' : 'back on the fence');
		return out;
	}

	/** words is the picture for those who do not see it. */
	words() {
		const stances = [0, 1].map(c => `${this.floor.names[c]} ${this.holds.stance[c]}`).join(', ');
		return `From above. ${standing(this.floor.names, this.holds, this.gap, this.floor.rules.kicks)} ${stances}. ` + (this.act ? this.act.told : '');
	}
}

/** broken cuts words into lines of so many letters. */
function broken(words, most) {
	const out = [''];
	for (const word of words.split(' ')) {
		const line = out[out.length - 1];
		if (line && line.length + 1 + word.length > most) out.push(word); else out[out.length - 1] = line ? line + ' ' + word : word;
	}
	return out;
}

const within = {out: 'nothing reaches', kicking: 'kicks reach', long: 'straights reach', pocket: 'hooks reach'};

/** standing says where the two are to each other. */
export function standing(names, holds, gap, kicks) {
	if (holds.zone.includes('ground')) return 'On the ground' + (holds.top >= 0 ? ', ' + names[holds.top] + ' on top' : '') + '.';
	if (holds.zone.includes('clinch')) return 'In the clinch.';
	const own = holds.zone.map((z, c) => `${names[c]}\u2019s ${within[z === 'kicking' && !kicks ? 'out' : z]}`).map(w => w.replace('\u2019s nothing reaches', ' reaches nothing'));
	return `${gap.toFixed(2)} m apart: ${own.join('; ')}. ${holds.stance[0] === holds.stance[1] ? 'Closed' : 'Open'} stance.` + (['red', 'blue'].includes(holds.centre) ? ` ${names[holds.centre === 'red' ? 0 : 1]} holds the centre.` : '');
}

/** acts says an act in a few words. */
export function acts(row) {
	const value = row.value && !['leg'].includes(row.value) ? row.kind === 'strike' && ['head', 'body'].includes(row.value) ? ' to the ' + row.value : ', ' + spaced(row.value) : '';
	const tried = row.result === 'failed' ? ', fails' : '';
	return (row.act === 'stance' ? row.value : row.act === 'circle' ? 'circles ' + row.value : spaced(row.act) + value) + (row.how === 'lunging' ? ', lunging' : '') + tried;
}

const said = {missed: 'missed', blocked: 'blocked', partial: 'grazed', clean: 'hit clean', hurt: 'hit and hurt', knockdown: 'goes down', stoppage: 'stopped', taken_down: 'taken down', stuffed: 'stuffs it'};
const bites = {none: 'not believed', flinch: 'believed: flinches', gave_guard: 'believed: guard goes', gave_ground: 'believed: gives ground', struck: 'believed: strikes at nothing'};

function answers(row) {
	if (row.kind === 'feint') return [bites[row.defence || 'none'] || 'not believed'];
	if (!row.kind) return [];
	const did = row.defence && !['none', 'unknown'].includes(row.defence) ? spaced(row.defence) + ': ' : '';
	return [did + (said[row.result] || '')];
}
