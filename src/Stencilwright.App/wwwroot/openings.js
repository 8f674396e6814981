// What the page of openings needs in the browser: rows of a long table, the strip's height, samples of strokes, charts.
// Sizes are set through the style object: style attributes are forbidden by the page's policy.

import { hatch, inks, sample } from '/drawing.js';
import uPlot from '/lib/uplot.js';

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

/** Two charts: openings by area ratio, told apart by hatches as in the drawing, and paste by kind of part. */
export function charts(ratioPlace, volumePlace, page) {
  let data = null, made = [];
  const size = place => ({ width: Math.max(160, place.clientWidth), height: Math.max(120, place.clientHeight) });
  const draw = () => {
    for (const chart of made) chart.destroy();
    made = data ? [ratioChart(ratioPlace, size(ratioPlace), data[0], page), volumeChart(volumePlace, size(volumePlace), data[1], page)] : [];
  };
  const sizes = new ResizeObserver(() => made.forEach((chart, i) => chart.setSize(size([ratioPlace, volumePlace][i]))));
  sizes.observe(ratioPlace);
  sizes.observe(volumePlace);
  const themes = new MutationObserver(draw);
  themes.observe(document.documentElement, { attributes: true, attributeFilter: ['data-theme'] });
  const dark = matchMedia('(prefers-color-scheme: dark)');
  dark.addEventListener('change', draw);
  return {
    show(ratios, volumes) { data = [ratios, volumes]; draw(); },
    dispose() { sizes.disconnect(); themes.disconnect(); dark.removeEventListener('change', draw); for (const chart of made) chart.destroy(); },
  };
}

const FONT = '12px "Open Sans", sans-serif';
const axis = (ink, more) => ({ stroke: ink.quiet, font: FONT, labelFont: FONT, grid: { stroke: ink.grid, width: 1 }, ticks: { stroke: ink.grid, width: 1, size: 4 }, ...more });

// A hatch on paper, so that what lies behind does not show through.
function opaque(ink, colour, direction) {
  const tile = hatch(colour, direction, 6, devicePixelRatio || 1);
  const on = document.createElement('canvas');
  on.width = on.height = tile.width;
  const c = on.getContext('2d');
  c.fillStyle = ink.paper;
  c.fillRect(0, 0, on.width, on.height);
  c.drawImage(tile, 0, 0);
  return u => u.ctx.createPattern(on, 'repeat');
}

function ratioChart(place, size, { from, step, prints, marginal, fails, limits, label, count }, page) {
  const ink = inks();
  const x = from.map(f => f + step / 2);
  // A bar of nothing would still have an outline.
  const sums = [prints.map((p, i) => p + marginal[i] + fails[i]), marginal.map((m, i) => m && m + fails[i]), fails].map(s => s.map(v => v || null));
  const bars = uPlot.paths.bars({ size: [0.86, 60], align: 0 });
  const none = { show: false };
  const chart = new uPlot({
    ...size, legend: none, cursor: { drag: { x: false, y: false }, points: none, y: false },
    scales: { x: { time: false, range: [from[0], from.at(-1) + step] }, y: { range: (u, low, high) => [0, Math.max(1, high * 1.08)] } },
    axes: [axis(ink, { label, labelSize: 18, size: 24 }), axis(ink, { size: 44 })],
    series: [{}, { paths: bars, points: none, label: count, stroke: ink.ink, width: 1, fill: ink.paper },
      { paths: bars, points: none, stroke: ink.marginal, width: 1, fill: opaque(ink, ink.marginal, 1) },
      { paths: bars, points: none, stroke: ink.fails, width: 2, fill: opaque(ink, ink.fails, 0) }],
    hooks: { draw: [u => limitLines(u, limits, ink)] },
  }, [x, ...sums], place);
  chart.over.addEventListener('click', e => page.invokeMethodAsync('Bin', Math.floor((chart.posToVal(e.offsetX, 'x') - from[0]) / step)));
  return chart;
}

function limitLines(u, limits, ink) {
  const c = u.ctx, k = devicePixelRatio || 1;
  c.save();
  c.strokeStyle = c.fillStyle = ink.ink; c.lineWidth = 1.25 * k; c.setLineDash([6 * k, 3 * k]);
  c.font = `${12 * k}px "Open Sans", sans-serif`; c.textBaseline = 'top'; c.textAlign = 'left';
  const places = limits.map(limit => u.valToPos(limit, 'x', true));
  for (const at of places) { c.beginPath(); c.moveTo(at, u.bbox.top); c.lineTo(at, u.bbox.top + u.bbox.height); c.stroke(); }
  // Each figure right of its line.
  const isNarrow = places.some((at, i) => i > 0 && at - places[i - 1] < 40 * k);
  limits.forEach((limit, i) => {
    // Where lines stand too near for a figure between them the first has its own on the left.
    const isLeft = isNarrow && i === 0;
    c.textAlign = isLeft ? 'right' : 'left';
    c.fillText(limit.toFixed(2), places[i] + (isLeft ? -4 : 4) * k, u.bbox.top + 2 * k);
  });
  c.restore();
}

// 1, 2 and 5 times powers of ten, or the powers alone where there are many.
function decades(low, high) {
  const steps = Math.log10(high / low) > 2.5 ? [1] : [1, 2, 5];
  const found = [];
  for (let power = Math.floor(Math.log10(low)); power <= Math.ceil(Math.log10(high)); power++) {
    for (const step of steps) if (step * 10 ** power >= low && step * 10 ** power <= high) found.push(step * 10 ** power);
  }
  return found;
}

// From least to most a thin line, one standard deviation each way a bar, the mean a tick. Kinds differ by powers of ten, so
// the scale is one of ratios, on which a bar from nought would have no length that means anything.
function volumeChart(place, size, { names, mean, spread, least, most, label }, page) {
  const ink = inks();
  const x = names.map((_, i) => i);
  const low = Math.min(...least.concat(mean).filter(v => v > 0), 1), high = Math.max(...most, low * 2);
  const none = { show: false };
  const chart = new uPlot({
    ...size, padding: [8, 80, 0, 0], legend: none, cursor: { drag: { x: false, y: false }, points: none, y: false },
    scales: { x: { time: false, range: [-0.6, names.length - 0.4] }, y: { distr: 3, range: [low / 1.6, high * 1.6] } },
    axes: [axis(ink, { splits: x, values: () => names, rotate: names.length > 4 ? -30 : 0, size: names.length > 4 ? 64 : 28, gap: 2, grid: none }), axis(ink, { label, labelSize: 18, size: 52, splits: () => decades(low / 1.6, high * 1.6), values: (u, at) => at.map(v => Number(v.toPrecision(1)).toString()), filter: (u, at) => at })],
    series: [{}, { paths: () => null, points: none, label }],
    hooks: {
      draw: [u => {
        const c = u.ctx, k = devicePixelRatio || 1;
        const y = v => u.valToPos(Math.max(v, low / 1.6), 'y', true);
        c.save();
        for (const i of x) {
          if (!(mean[i] > 0)) continue;
          const at = u.valToPos(i, 'x', true), half = Math.min(9 * k, u.bbox.width / names.length / 3);
          c.strokeStyle = ink.ink; c.lineWidth = k;
          c.beginPath(); c.moveTo(at, y(least[i])); c.lineTo(at, y(most[i])); c.stroke();
          const [top, bottom] = [y(mean[i] + spread[i]), y(mean[i] - spread[i])];
          c.fillStyle = ink.plum; c.globalAlpha = 0.28; c.fillRect(at - half, top, 2 * half, bottom - top); c.globalAlpha = 1;
          c.strokeRect(at - half, top, 2 * half, bottom - top);
          c.lineWidth = 2.5 * k;
          c.beginPath(); c.moveTo(at - half - 3 * k, y(mean[i])); c.lineTo(at + half + 3 * k, y(mean[i])); c.stroke();
        }
        c.restore();
      }],
    },
  }, [x, mean], place);
  chart.over.addEventListener('click', e => page.invokeMethodAsync('Kind', Math.round(chart.posToVal(e.offsetX, 'x'))));
  return chart;
}
