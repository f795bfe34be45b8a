// Asks for answers, one at a time. While a slider moves, an answer that has not shown anything yet is let to show its first picture before
// the next is asked for, so that something moves along; everything else is cancelled at once.

const patience = 400; // ms for a first picture

export class Answers {
  constructor(see) {
    this.see = see; // {picture, queued, fault, ended}
    this.running = null;
    this.next = null;
  }

  ask(query) {
    if (this.running?.query === query && this.next === null) return; // it is on its way
    if (this.running && !this.running.shown && performance.now() - this.running.began < patience) {
      this.next = query;
      this.later ??= setTimeout(() => this.turn(), patience);
      return;
    }
    this.begin(query);
  }

  stop() {
    this.next = null;
    clearTimeout(this.later);
    this.later = null;
    this.running?.control.abort();
    this.running = null;
  }

  turn() {
    if (this.next === null) return;
    this.begin(this.next);
  }

  begin(query) {
    this.stop();
    const run = { query, control: new AbortController(), shown: false, began: performance.now() };
    this.running = run;
    this.play(run, query).catch(error => {
      if (run === this.running && error.name !== 'AbortError') this.see.fault(['whatbout does not answer. If it was ended, start it again and reload this page.']);
    }).finally(() => {
      if (run !== this.running) return;
      this.running = null;
      if (this.next === null) this.see.ended(); else this.turn();
    });
  }

  async play(run, query) {
    const answer = await fetch(`/answer?${query}`, { signal: run.control.signal });
    if (!answer.ok) {
      this.see.fault((await answer.json()).faults);
      return;
    }
    for await (const [event, data] of events(answer.body)) {
      if (run !== this.running) return;
      run.shown ||= event === 'picture';
      this.see[event](event === 'fault' ? data.faults : data);
      if (run.shown && this.next !== null) this.turn();
    }
  }
}

/** events reads server-sent events. */
async function* events(body) {
  const reader = body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = '';
  for (;;) {
    const { value, done } = await reader.read();
    if (done) return;
    const parts = (rest + value).split('\n\n');
    rest = parts.pop();
    for (const part of parts) {
      const name = /^event: (.*)$/m.exec(part)?.[1];
      const data = /^data: (.*)$/m.exec(part)?.[1];
      if (name && data) yield [name, JSON.parse(data)];
    }
  }
}
