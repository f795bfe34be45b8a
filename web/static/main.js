// The page: the address is the state; every change makes another address, and the answer to it is streamed in.

import { State } from './state.js';
import { Answers } from './answers.js';
import { Sliders } from './sliders.js';
import { show } from './figures.js';
import * as past from './past.js';
import * as desk from './desk.js';

const $ = id => document.getElementById(id);
const settled = 500; // ms without a further move until one is a step to undo

let choices;
let state = new State(location.search);
let table; // the desk as the server last laid it
let waiting = null; // a move that is not yet a step
let latest = null; // the picture shown

const answers = new Answers({ picture, queued, fault, ended });
const sliders = new Sliders($('sliders'), (name, at, done) => {
  state = state.move(name, at);
  ask();
  clearTimeout(waiting);
  waiting = setTimeout(step, done && at === null ? 0 : settled);
});

/** step makes what was moved a step that can be undone. */
function step() {
  if (waiting === null) return;
  clearTimeout(waiting);
  waiting = null;
  if (String(state) === String(new State(location.search))) return;
  past.push(String(state));
  links();
}

/** go changes the state at once. */
function go(next) {
  step();
  state = next;
  if (String(state) !== String(new State(location.search))) past.push(String(state));
  lay();
  ask();
}

function ask() {
  stale(true);
  say('Working on it …');
  answers.ask(String(state));
}

function stale(on) {
  document.body.classList.toggle('stale', on && latest !== null);
  $('parts').setAttribute('aria-busy', String(on));
  $('stop').hidden = !on;
}

function say(words) {
  $('status').textContent = latest && document.body.classList.contains('stale') ? `${words} What stands here is from before.` : words;
}

function picture(p) {
  latest = p;
  document.body.classList.remove('stale');
  $('title').textContent = p.title;
  document.title = `${p.title} · whatbout`;
  $('sentence').textContent = p.sentence;
  $('worth').textContent = p.worth;
  text('prices', (p.prices ?? []).join(' '));
  notes(p);
  $('faults').hidden = true;
  $('progress').value = p.final ? 1 : p.rough ? 0 : p.draws / p.of;
  const bouts = p.bouts.toLocaleString('en').replaceAll(',', '\u202f');
  if (p.nothing) $('status').textContent = 'Nothing to play.';
  else if (p.final) $('status').textContent = `${p.draws} of ${p.of} draws, ${bouts} bouts: all that was asked for.`;
  else $('status').textContent = p.rough ? `A first glance of ${bouts} bouts; more are on their way.` : `${p.draws} of ${p.of} draws, ${bouts} bouts; it gets finer.`;
  if (p.final) {
    $('spoken').textContent = `${p.sentence} ${p.worth}`;
    stale(false);
  }
}

function notes(p) {
  const part = { id: 'notes', heading: 'What to know', items: p.notes ?? [] };
  show([...(p.parts ?? []), part], $('parts'));
  $('again').textContent = `The same again: ${p.again}`;
}

function queued({ place }) {
  say(place === 1 ? 'One answer is before yours.' : `${place} answers are before yours.`);
  $('spoken').textContent = $('status').textContent;
}

function fault(list) {
  $('faults').replaceChildren(...list.map(words => Object.assign(document.createElement('li'), { textContent: words })));
  $('faults').hidden = false;
  if (latest === null) $('sentence').textContent = 'There is no answer to this address.';
  say('No answer to this. Undo, choose something else, or begin anew.');
}

function ended() {
  $('stop').hidden = true;
  $('parts').setAttribute('aria-busy', 'false');
}

function text(id, words) {
  $(id).textContent = words;
  $(id).hidden = words === '';
}

/** lay asks what lies on the table in this state and lays it. */
async function lay() {
  buttons();
  links();
  const query = String(state);
  const answer = await fetch(`/desk?${query}`).catch(() => null);
  if (query !== String(state) && waiting === null) return; // it has changed since
  if (!answer) return;
  const body = await answer.json();
  if (!answer.ok) {
    fault(body.faults);
    return;
  }
  table = body;
  const moved = state.moved();
  for (const s of table.sliders) if (moved.has(s.name)) Object.assign(s, { at: moved.get(s.name), moved: true });
  sliders.show(table.sliders);
  selects();
  ticked();
}

function selects() {
  $('fighter').value = table.keys[0];
  $('opponent').value = table.keys[1];
  $('rules').value = state.get('rules') || 'mma-3x5';
  $('plan').value = state.get('plan');
  $('reply-plan').value = state.get('reply-plan');
  $('seed').value = state.get('seed') || 1;
  $('draws').value = state.get('draws') || 400;
  $('bouts').value = state.get('bouts') || 24;
  $('plan-legend').textContent = `What ${table.names[0]} does`;
  const shown = new Set(table.sliders.map(s => s.name));
  desk.options($('add'), table.dials.filter(d => !shown.has(d.key)), shown.size < 7 ? 'Another slider …' : 'Seven are enough');
  $('add').disabled = shown.size >= 7;
}

function ticked() {
  const without = new Set(state.all('without'));
  desk.ticks($('own-rules'), table.rules.map(r => ({ id: `own-rule-${r.number}`, key: String(r.number), name: r.name, on: !without.has(String(r.number)) })),
    (key, on) => go(state.toggle('without', key, !on)));
  $('own').hidden = table.rules.length === 0;
  $('own-count').textContent = `: ${table.rules.length - without.size} of ${table.rules.length} followed`;
  for (const [list, key, count] of [['own-phrases', 'rule', 'phrases-count'], ['reply-phrases', 'reply-rule', 'reply-count']]) {
    const on = new Set(state.all(key));
    desk.ticks($(list), choices.phrases.map(p => ({ id: `${list}-${p.key}`, key: p.key, name: p.name, note: p.note, on: on.has(p.key) })),
      (phrase, yes) => go(state.toggle(key, phrase, yes)));
    $(count).textContent = on.size > 0 ? ` (${on.size} ticked)` : '';
  }
  find();
}

function find() {
  const words = $('find').value.toLowerCase();
  for (const li of $('own-phrases').children) li.hidden = !li.textContent.toLowerCase().includes(words);
}

function buttons() {
  $('undo').disabled = !past.canUndo();
  $('redo').disabled = !past.canRedo();
  const pinned = state.get('pin') === 'yes';
  $('pin').textContent = pinned ? 'Unpin' : 'Pin';
  text('pinned', pinned ? 'Compared with what was pinned, not with as usual.' : 'Pin this to compare what comes next with it.');
  const at = new State(String(state)).toString();
  text('look', choices.questions.find(q => String(new State(q.at)) === at)?.look ?? '');
}

function links() {
  const query = String(state);
  for (const [id, path] of [['report', '/report.html?'], ['plan-file', '/plan.yaml?'], ['fighter-file', '/profile.yaml?'], ['opponent-file', '/profile.yaml?who=opponent&']]) {
    $(id).href = path + query;
  }
  $('watch-link').href = `/replay/?${query}${query && '&'}draw=${$('watch-nth').valueAsNumber - 1 || 0}`;
  buttons();
}

async function upload(file) {
  const answer = await fetch(`/upload?name=${encodeURIComponent(file.name)}`, { method: 'POST', headers: { 'Content-Type': 'application/yaml' }, body: file });
  const body = await answer.json();
  if (!answer.ok) {
    fault(body.faults);
    return;
  }
  await choose();
  go(body.kind === 'plan' ? state.with('plan', body.key).with('without') : meet(body.key));
}

/** meet puts another fighter in; what was moved belonged to the one before. */
const meet = (key, corner = 'fighter') => state.with(corner, key).with('set').unpin();

async function choose() {
  choices = await (await fetch('/choices')).json();
  for (const corner of ['fighter', 'opponent']) desk.options($(corner), choices.people);
  desk.options($('rules'), choices.rules);
  desk.options($('plan'), choices.plans, 'nothing: as usual');
  desk.options($('reply-plan'), choices.plans, 'nothing: as usual');
  desk.questions($('questions'), choices.questions);
  $('asks').hidden = choices.questions.length === 0;
  $('cautions').textContent = choices.cautions;
  $('watch').hidden = !choices.replay;
}

function listen() {
  for (const id of ['fighter', 'opponent']) $(id).addEventListener('change', e => go(meet(e.target.value, id)));
  $('plan').addEventListener('change', e => go(state.with('plan', e.target.value).with('without')));
  for (const id of ['rules', 'reply-plan', 'seed', 'draws', 'bouts']) $(id).addEventListener('change', e => go(state.with(id, e.target.value)));
  $('add').addEventListener('change', e => e.target.value && go(state.with('show', ...table.sliders.map(s => s.name), e.target.value)));
  $('reset').addEventListener('click', () => go(state.with('set')));
  $('pin').addEventListener('click', () => go(state.get('pin') ? state.unpin() : state.pin()));
  $('undo').addEventListener('click', () => { step(); history.back(); });
  $('redo').addEventListener('click', () => history.forward());
  $('stop').addEventListener('click', () => { answers.stop(); stale(false); say('Stopped before all was played. Intervals are meant for a number of draws chosen beforehand: take these with care.'); });
  $('watch-nth').addEventListener('input', links);
  $('find').addEventListener('input', find);
  $('upload').addEventListener('change', e => e.target.files[0] && upload(e.target.files[0]));
  $('desk').addEventListener('submit', e => e.preventDefault());
  $('questions').addEventListener('click', e => {
    const link = e.target.closest('a[data-at]');
    if (!link || e.ctrlKey || e.metaKey || e.shiftKey) return;
    e.preventDefault();
    go(new State(link.dataset.at));
  });
  $('report').addEventListener('click', () => {
    $('report-said').textContent = ' It is being played; the download begins by itself.';
    setTimeout(() => { $('report-said').textContent = ''; }, 60000);
  });
  $('link').addEventListener('click', async () => {
    step();
    const said = await navigator.clipboard?.writeText(location.href).then(() => 'The link is copied.', () => '') || 'Copy the link from the address bar.';
    $('link').textContent = said === 'The link is copied.' ? 'Copied' : 'See the address bar';
    $('spoken').textContent = said;
    setTimeout(() => { $('link').textContent = 'Copy link'; }, 3000);
  });
  past.onMove(() => {
    clearTimeout(waiting);
    waiting = null;
    state = new State(location.search);
    lay();
    ask();
  });
}

await choose();
listen();
if (location.search === '') {
  state = new State(choices.start);
  past.replace(String(state));
  $('asks').open = true;
}
lay();
ask();
