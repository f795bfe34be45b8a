// What a replay holds, made ready for looking at it: one clock for all rounds, the steps, and what holds at each row. Nothing here touches the page.

const starts = {centre: 'even', fence: 'none'};

/** clock writes µs since the bell as m:ss.s, cut to tenths. */
export function clock(us) {
	const tenths = Math.floor(us / 1e5);
	return Math.floor(tenths / 600) + ':' + String(Math.floor(tenths / 10) % 60).padStart(2, '0') + '.' + tenths % 10;
}

/** parseClock reads m:ss or m:ss.s as µs since the bell, at the end of the last digit given; NaN if it is none. */
export function parseClock(text) {
	const m = /^\s*(\d{1,2}):([0-5]\d)(?:[.,](\d{1,6}))?\s*$/.exec(text);
	if (!m) return NaN;
	const digits = m[3] || '', unit = 10 ** (6 - digits.length);
	return (Number(m[1]) * 60 + Number(m[2])) * 1e6 + Number(digits || 0) * unit + (digits.length < 6 ? unit - 1 : 0);
}

export const spaced = word => (word || '').replaceAll('_', ' ');

/** Bout is one bout of a replay with an index over its rows. */
export class Bout {
	constructor(data, rules) {
		Object.assign(this, data);
		this.length = rules.seconds * 1e6;
		this.ends = this.time(this.end.round, this.end.clock);
		this.rows.forEach((row, i) => {
			row.time = this.time(row.round, row.clock);
			row.i = i;
			row.who = row.corner === 'red' ? 0 : row.corner === 'blue' ? 1 : -1;
		});
		this.places = this.places.map(p => ({round: p[0], time: this.time(p[0], p[1]), at: [{x: p[2], y: p[3]}, {x: p[4], y: p[5]}]}));
		this.holds = this.follow();
	}

	/** time is µs since the first bell, rests left out. */
	time(round, us) { return (round - 1) * this.length + us; }

	/** follow gives, for each row, the states that hold after it. */
	follow() {
		let now = {zone: ['out', 'out'], stance: this.southpaw.map(s => s ? 'southpaw' : 'orthodox'), caught: [false, false], top: -1, ...starts};
		let round = 0;
		return this.rows.map(row => {
			if (row.round !== round) {
				round = row.round;
				now = {...now, zone: ['out', 'out'], caught: [false, false], top: -1, ...starts};
			}
			const set = (key, value) => {
				const list = [...now[key]];
				list[row.who] = value;
				now = {...now, [key]: list};
			};
			if (row.act === 'range' && row.who >= 0) set('zone', row.value);
			if (row.act === 'stance' && row.who >= 0) set('stance', row.value);
			if (row.act === 'leg_caught' && row.who >= 0) set('caught', row.value === 'yes');
			if (row.act === 'centre' || row.act === 'fence') now = {...now, [row.act]: row.value};
			if (row.act === 'top') now = {...now, top: row.value === 'red' ? 0 : row.value === 'blue' ? 1 : -1};
			return now;
		});
	}

	/** settled is the last row that belongs to row i at a time from its own on: states that changed since, which are no steps. */
	settled(i, time) {
		while (i + 1 < this.rows.length && this.rows[i + 1].time <= time && !this.rows[i + 1].told) i++;
		return i;
	}

	/** stood is the index of the places that hold at a time. */
	stood(time) { return last(this.places, p => p.time <= time); }

	/** where gives both places. Gliding, a step is drawn over the 0.3 s before it is booked. */
	where(time, gliding) {
		const i = Math.max(this.stood(time), 0), here = this.places[i], next = this.places[i + 1];
		if (!gliding || !next || next.round !== here.round || time >= this.ends) return here.at;
		const part = 1 - (next.time - time) / Math.min(3e5, Math.max(next.time - here.time, 1));
		if (part <= 0) return here.at;
		return here.at.map((p, c) => ({x: p.x + (next.at[c].x - p.x) * part, y: p.y + (next.at[c].y - p.y) * part}));
	}

	/** isHurt tells whether a fighter counts as hurt. */
	isHurt(c, time) { return this.hurt.some(h => h[1] === c && this.time(h[0], h[2]) <= time && time < Math.min(this.time(h[0], h[3]), h[0] * this.length)); }
}

/** last is the index of the last element for which a test that begins true and ends false still holds; -1: none. */
export function last(list, holds) {
	let low = -1, high = list.length;
	while (high - low > 1) {
		const middle = (low + high) >> 1;
		if (holds(list[middle])) low = middle; else high = middle;
	}
	return low;
}

/** Step kinds by which one may go. */
export const kinds = {
	all: () => true,
	attacks: r => r.kind === 'strike' || r.kind === 'takedown',
	clean: r => r.kind === 'strike' && ['clean', 'hurt', 'knockdown', 'stoppage'].includes(r.result),
	feints: r => r.kind === 'feint',
	hurt: r => ['hurt', 'knockdown', 'stoppage', 'taken_down'].includes(r.result),
};

/** steps lists the moments to step through, of all bouts together: bells, told rows, ends. Rows that are the same moment in both are one step. */
export function steps(bouts) {
	const lists = bouts.map(b => {
		const out = [];
		let round = 0;
		for (const row of b.rows) {
			if (row.round !== round) {
				round = row.round;
				out.push({time: b.time(round, 0), row: row.i, bell: round});
			}
			if (row.told) out.push({time: row.time, row: row.i});
		}
		out.push({time: b.ends, row: b.rows.length - 1, end: true});
		return out;
	});
	const out = [], at = lists.map(() => 0), rows = lists.map(() => -1);
	while (at.some((k, p) => k < lists[p].length)) {
		const time = Math.min(...at.map((k, p) => k < lists[p].length ? lists[p][k].time : Infinity));
		const fresh = at.map((k, p) => k < lists[p].length && lists[p][k].time === time ? lists[p][k] : null);
		fresh.forEach((f, p) => {
			if (f) {
				at[p]++;
				rows[p] = f.row;
			}
		});
		out.push({time, rows: [...rows], fresh});
	}
	return out;
}
