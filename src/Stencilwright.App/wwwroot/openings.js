// What the page of openings needs in the browser: rows of a long table, the strip's height, samples of strokes, charts.
// Sizes are set through the style object: style attributes are forbidden by the page's policy.

import { sample } from '/drawing.js';

const ROW_PX = 28;
const SPARE = 12;              // rows ready above and below those in view

/** A table of which only the rows in view exist; `page.Look(first, count)` brings others. */
export function table(scroller, page) {
  const body = scroller.querySelector('tbody');
  const head = scroller.querySelector('thead');
  const stopped = new AbortController();
  let asked = '';
  const room = () => {
    const { first, count, total } = body.dataset;
    const [above, below] = [body.firstElementChild, body.lastElementChild];
    above.firstElementChild.style.height = `${first * ROW_PX}px`;
    below.firstElementChild.style.height = `${Math.max(0, total - first - count) * ROW_PX}px`;
    above.hidden = first === '0';
  };
  const look = () => {
    const total = Number(body.dataset.total);
    const seen = Math.ceil(scroller.clientHeight / ROW_PX);
    const top = Math.floor(scroller.scrollTop / ROW_PX);
    const first = Math.max(0, Math.min(top - SPARE, total - seen - 2 * SPARE));
    const count = seen + 2 * SPARE;
    const [has, have] = [Number(body.dataset.first), Number(body.dataset.count)];
    const isThere = has <= Math.max(0, top - 2) && has + have >= Math.min(total, top + seen + 2);
    const wish = `${first} ${count}`;
    if (isThere || wish === asked) return;
    asked = wish;
    page.invokeMethodAsync('Look', first, count).catch(() => { });
  };
  const changes = new MutationObserver(() => { room(); asked = ''; look(); });
  changes.observe(body, { attributes: true, attributeFilter: ['data-first', 'data-count', 'data-total'] });
  const sizes = new ResizeObserver(look);
  sizes.observe(scroller);
  scroller.addEventListener('scroll', look, { signal: stopped.signal, passive: true });
  scroller.addEventListener('keydown', e => {
    if (['ArrowDown', 'ArrowUp', 'PageDown', 'PageUp', 'Home', 'End'].includes(e.key) || (e.key === 'a' && (e.ctrlKey || e.metaKey))) e.preventDefault();
  }, { signal: stopped.signal });
  room();
  look();
  return {
    reveal(at) {
      const top = at * ROW_PX, seen = scroller.clientHeight - head.offsetHeight;
      if (top < scroller.scrollTop) scroller.scrollTop = top;
      else if (top + ROW_PX > scroller.scrollTop + seen) scroller.scrollTop = top + ROW_PX - seen;
      look();
    },
    dispose() { stopped.abort(); changes.disconnect(); sizes.disconnect(); },
  };
}

/** Lets a person drag the edge between drawing and strip, or move it with the arrow keys. */
export function edge(handle, area) {
  const set = px => {
    const most = area.clientHeight - 160;
    const height = Math.round(Math.min(Math.max(px, 96), Math.max(most, 96)));
    area.style.setProperty('--strip', `${height}px`);
    handle.setAttribute('aria-valuenow', height);
  };
  const now = () => handle.parentElement.getBoundingClientRect().height;
  handle.addEventListener('pointerdown', e => {
    e.preventDefault();
    handle.setPointerCapture(e.pointerId);
    const [from, height] = [e.clientY, now()];
    const move = m => set(height + from - m.clientY);
    handle.addEventListener('pointermove', move);
    handle.addEventListener('pointerup', () => handle.removeEventListener('pointermove', move), { once: true });
  });
  handle.addEventListener('keydown', e => {
    const by = { ArrowUp: 32, ArrowDown: -32 }[e.key];
    if (by) { e.preventDefault(); set(now() + by); }
  });
}

/** Draws every sample of a stroke in a part of the page, again when the paper changes. */
export function samples(root) {
  const draw = () => { for (const canvas of root.querySelectorAll('canvas[data-sample]')) sample(canvas, canvas.dataset.sample); };
  draw();
  new MutationObserver(draw).observe(document.documentElement, { attributes: true, attributeFilter: ['data-theme'] });
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', draw);
}
