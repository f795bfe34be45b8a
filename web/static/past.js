// Undo and redo are the browser's own back and forward, so that both ways agree. Every entry keeps its number.

const key = 'whatbout-top';
let at = history.state?.at ?? 0;
let top = Math.max(at, history.state ? Number(sessionStorage.getItem(key) ?? 0) : 0);
history.replaceState({ at }, '');

export function push(query) {
  at += 1;
  top = at;
  sessionStorage.setItem(key, String(top));
  history.pushState({ at }, '', query ? `/?${query}` : '/');
}

export function replace(query) {
  history.replaceState({ at }, '', query ? `/?${query}` : '/');
}

export const canUndo = () => at > 0;
export const canRedo = () => at < top;

/** onMove calls see when the browser went back or forward. */
export function onMove(see) {
  addEventListener('popstate', event => {
    at = event.state?.at ?? 0;
    see();
  });
}
