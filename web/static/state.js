// The state is the query of the address. Here it is a list of [key, value]; the server says what it means.

const order = ['fighter', 'opponent', 'plan', 'without', 'rule', 'set', 'reply-plan', 'reply-without', 'reply-rule', 'rules', 'seed', 'draws', 'bouts', 'show',
  'pin', 'pin-plan', 'pin-without', 'pin-rule', 'pin-set'];

export class State {
  constructor(query = '') {
    this.pairs = [...new URLSearchParams(query)].filter(([, value]) => value !== '');
  }

  get(key) {
    return this.pairs.find(([k]) => k === key)?.[1] ?? '';
  }

  all(key) {
    return this.pairs.filter(([k]) => k === key).map(([, value]) => value);
  }

  /** with gives a state with a key replaced by values. */
  with(key, ...values) {
    const out = new State();
    out.pairs = [...this.pairs.filter(([k]) => k !== key), ...values.filter(v => v !== '').map(v => [key, v])];
    return out;
  }

  toggle(key, value, on) {
    const others = this.all(key).filter(v => v !== value);
    return this.with(key, ...(on ? [...others, value] : others));
  }

  /** moved gives the values of the dials that are moved, by name. */
  moved() {
    return new Map(this.all('set').map(word => {
      const at = word.lastIndexOf(':');
      return [word.slice(0, at), Number(word.slice(at + 1))];
    }));
  }

  move(name, at) {
    const moved = this.moved();
    if (at === null) moved.delete(name); else moved.set(name, at);
    return this.with('set', ...[...moved].map(([n, x]) => `${n}:${x}`));
  }

  /** pin keeps the way of fighting and what is moved as the baseline. */
  pin() {
    let out = this.unpin().with('pin', 'yes');
    for (const key of ['plan', 'without', 'rule', 'set']) out = out.with(`pin-${key}`, ...this.all(key));
    return out;
  }

  unpin() {
    const out = new State();
    out.pairs = this.pairs.filter(([k]) => k !== 'pin' && !k.startsWith('pin-'));
    return out;
  }

  /** toString writes equal states alike. */
  toString() {
    const rank = key => { const i = order.indexOf(key); return i < 0 ? order.length : i; };
    const sorted = [...this.pairs].sort(([a, x], [b, y]) => rank(a) - rank(b) || (a === 'show' ? 0 : a === 'without' ? x - y : x < y ? -1 : x > y ? 1 : 0));
    return sorted.map(([k, v]) => `${k}=${encodeURIComponent(v).replaceAll('%3A', ':').replaceAll('%2F', '/')}`).join('&');
  }
}
