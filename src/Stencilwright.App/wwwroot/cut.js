// Plays a sheet's cut back in true proportion of time, and lays the heat under it. The way that was gone is drawn once into
// a picture of its own, which grows with time and is drawn anew, in slices, when the view has moved or time has run back.

import { STYLES } from './drawing.js';

const SLICE_MS = 8;
const REST_MS = 120;
const ARROW_LEAST_PX = 26;
const MOST_WEIGHT_PX = 4.5;
const WEIGHT_PX = 1.3;
const SCORE = 0;

Object.assign(STYLES, {
  waiting: { stroke: 'quiet', weight: 0.6, alpha: 0.6 },
  'board-under': { stroke: 'quiet', weight: 1, dash: [8, 4], alpha: 0.8 },
  'frame-stock': { hatch: ['frame', -1, 14], alpha: 0.45 },
});

export function extend(drawing) { return new Player(drawing); }

class Player {
  constructor(drawing) {
    this.drawing = drawing;
    this.time = 0;
    this.rate = 10;
    this.showStarts = false;
    this.showTravel = true;
    this.heat = null;
    drawing.overlays.push(c => this.#draw(c));
    drawing.canvas.addEventListener('keydown', e => this.#key(e), { signal: drawing.stopped.signal });
  }

  /** Ties the player to its controls; `page` is told where time rests. */
  attach(page, controls, words, time) {
    Object.assign(this, { page, controls, words });
    const on = (element, name, act) => element?.addEventListener(name, act, { signal: this.drawing.stopped.signal });
    on(controls.play, 'click', () => this.toggle());
    on(controls.back, 'click', () => this.step(-1));
    on(controls.next, 'click', () => this.step(1));
    on(controls.slider, 'input', () => { this.pause(true); this.seek(Number(controls.slider.value)); });
    on(controls.slider, 'change', () => this.#tell());
    on(controls.slider, 'keydown', e => { if (e.key === ' ') { e.preventDefault(); this.toggle(); } });
    on(controls.rate, 'change', () => { this.rate = Number(controls.rate.value); });
    on(controls.starts, 'change', () => { this.showStarts = controls.starts.checked; this.#stale(); });
    on(controls.travel, 'change', () => { this.showTravel = controls.travel.checked; this.#stale(); });
    this.rate = Number(controls.rate?.value ?? 10);
    this.wanted = time ?? undefined;
    // The scene may have come before the controls.
    this.scene = null;
    this.drawing.redrawOverlays();
  }

  /** Shows a picture of heat: levels 1 to 255, 0 where there is no film; null takes it away. */
  setHeat(levels, shape, counts, limits) {
    this.heat = levels ? { levels, ...shape, counts, limits, inks: null } : null;
    this.drawing.redraw();
    this.#scale();
  }

  toggle() { this.playing ? this.pause() : this.play(); }

  play() {
    if (!this.scene || this.playing) return;
    if (this.time >= this.total) this.time = 0;
    this.playing = true;
    this.last = performance.now();
    this.#shown();
    const tick = now => {
      if (!this.playing || this.drawing.stopped.signal.aborted) return;
      this.seek(this.time + (now - this.last) / 1000 * this.rate);
      this.last = now;
      if (this.time >= this.total) this.pause(); else requestAnimationFrame(tick);
    };
    requestAnimationFrame(tick);
  }

  pause(silent) {
    if (!this.playing) return;
    this.playing = false;
    this.#shown();
    if (!silent) this.#tell();
  }

  seek(time) {
    this.time = Math.min(this.total, Math.max(0, time));
    this.#shown();
    this.drawing.redrawOverlays();
  }

  /** To the start of the next path, or of the one before. */
  step(by) {
    this.pause(true);
    const at = this.#pathAt(this.time);
    const here = this.starts[at] ?? this.total;
    this.seek(by > 0 ? (this.time < here - 1e-9 ? here : this.starts[at + 1] ?? this.total) : this.time > here + 1e-9 ? here : this.starts[Math.max(0, at - 1)] ?? 0);
    this.#tell();
  }

  #key(e) {
    if (e.ctrlKey || e.metaKey || e.altKey || !this.scene) return;
    const act = { ' ': () => this.toggle(), '.': () => this.step(1), ',': () => this.step(-1), Home: () => { this.seek(0); this.#tell(); }, End: () => { this.seek(this.total); this.#tell(); } }[e.key];
    if (!act) return;
    e.preventDefault();
    act();
  }

  #tell() { this.page?.invokeMethodAsync('Rested', this.time).catch(() => { }); }

  #load() {
    const scene = this.drawing.scene;
    if (!scene || scene === this.scene) return;
    this.scene = scene;
    const { starts, ends, firsts, kinds, motion } = scene.values;
    Object.assign(this, { starts, ends, firsts, kinds });
    [this.cutSpeed, this.scoreSpeed, this.travelSpeed, this.acceleration] = motion;
    this.total = ends.at(-1) ?? 0;
    this.paths = this.drawing.layer('paths').shapes;
    this.cache = this.making = null;
    this.time = Math.min(this.wanted ?? this.total, this.total);
    this.wanted = undefined;
    if (this.controls?.slider) {
      this.controls.slider.max = this.total;
      this.controls.slider.step = Math.max(0.001, this.total / 2000);
    }
    this.#shown();
  }

  #shown() {
    const { slider, clock, now, play } = this.controls ?? {};
    if (!slider || !this.scene) return;
    if (document.activeElement !== slider || this.playing) slider.value = this.time;
    const text = `${clockOf(this.time)} / ${clockOf(this.total)}`;
    if (clock.textContent !== text) clock.textContent = text;
    const p = this.#pathAt(this.time);
    const what = this.time >= this.total ? this.words.done : this.time < this.starts[p] ? this.words.travel : this.kinds[p] === SCORE ? this.words.score : this.words.beam;
    const line = `${what} \u00b7 ${this.words.path} ${Math.min(this.paths.length, p + 1)} / ${this.paths.length}`;
    if (now.textContent !== line) now.textContent = line;
    slider.setAttribute('aria-valuetext', `${clockOf(this.time)}, ${what}`);
    const label = this.playing ? this.words.pause : this.words.play;
    if (play.textContent !== label) { play.textContent = label; play.setAttribute('aria-pressed', this.playing); }
  }

  // ---- geometry

  /** The path that is cut at a time, or is travelled to; their number when all is done. */
  #pathAt(time) {
    let [low, high] = [0, this.paths.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.ends[this.firsts[middle + 1] - 1] > time) high = middle; else low = middle + 1;
    }
    return low;
  }

  /** A segment of a path: ends and bulge. */
  #segment(p, k) {
    const n = this.scene.packed, from = this.paths[p].from + 1;
    const count = Math.abs(n[from]);
    const a = from + 1 + 3 * k, b = from + 1 + 3 * ((k + 1) % count);
    return [n[a], n[a + 1], n[b], n[b + 1], n[a + 2]];
  }

  #startOf(p) { const f = this.paths[p].from + 2; return [this.scene.packed[f], this.scene.packed[f + 1]]; }

  #endOf(p) {
    if (p < 0) return [0, 0];
    const [, , x, y] = this.#segment(p, this.firsts[p + 1] - this.firsts[p] - 1);
    return [x, y];
  }

  /** How far a move from rest to rest has come: faster, even, slower. */
  #moved(length, t) {
    const [v, a] = [this.travelSpeed, this.acceleration];
    const ramp = Math.min(v / a, Math.sqrt(length / a));
    const whole = length >= v * v / a ? length / v + v / a : 2 * Math.sqrt(length / a);
    if (t <= ramp) return a * t * t / 2;
    if (t >= whole - ramp) return length - a * Math.max(0, whole - t) ** 2 / 2;
    return a * ramp * ramp / 2 + a * ramp * (t - ramp);
  }

  // ---- drawing

  #stale() { this.cache = this.making = null; this.drawing.redrawOverlays(); }

  #draw(c) {
    this.#load();
    if (!this.scene || !this.paths) return;
    if (this.heat) this.#heat(c);
    this.#gone(c);
    this.#head(c);
  }

  #key4(view) { const d = this.drawing; return [view.x, view.y, view.scale, d.canvas.width, d.canvas.height, d.inks.beam].join(' '); }

  // The way gone so far: blit the picture, add what is new, or make a new one.
  #gone(c) {
    const d = this.drawing, now = performance.now();
    const upTo = this.#pathAt(this.time);
    const key = this.#key4(d.view);
    if (key !== this.seenKey) { this.seenKey = key; this.since = now; }
    const fits = this.cache && this.cache.key === key && this.cache.upTo <= upTo;
    if (fits) this.#fill(this.cache, upTo, now + SLICE_MS);
    else {
      // While a hand moves the view the old picture moves with it.
      if (this.making?.key !== key || this.making.upTo > upTo) this.making = now - this.since > REST_MS || !this.cache || this.cache.key === key ? this.#sheet(key) : null;
      if (this.making && this.#fill(this.making, upTo, now + SLICE_MS)) { this.cache = this.making; this.making = null; }
      else requestAnimationFrame(() => d.redrawOverlays());
    }
    if (fits && this.cache.upTo < upTo) requestAnimationFrame(() => d.redrawOverlays());
    const shown = this.cache ?? this.making;
    if (!shown) return;
    const k = d.view.scale / shown.view.scale;
    const [w, h] = [d.canvas.width / d.ratio, d.canvas.height / d.ratio];
    const [x, y] = d.toScreen(shown.view.x - w / 2 / shown.view.scale, shown.view.y + h / 2 / shown.view.scale);
    c.save();
    c.setTransform(1, 0, 0, 1, 0, 0);
    c.drawImage(shown.canvas, x * d.ratio, y * d.ratio, shown.canvas.width * k, shown.canvas.height * k);
    c.restore();
  }

  #sheet(key) {
    const d = this.drawing;
    const canvas = document.createElement('canvas');
    canvas.width = d.canvas.width;
    canvas.height = d.canvas.height;
    const context = canvas.getContext('2d');
    d.enter(context);
    return { canvas, context, key, view: { ...d.view }, upTo: 0 };
  }

  /** Draws whole paths up to one, as many as time allows; says whether all are drawn. */
  #fill(sheet, upTo, until) {
    const c = sheet.context, s = sheet.view.scale;
    while (sheet.upTo < upTo) {
      const p = sheet.upTo++;
      if (this.showTravel) this.#travel(c, this.#endOf(p - 1), this.#startOf(p), s, true);
      this.#beam(c, p, Infinity, s);
      if (this.showStarts) this.#start(c, p, s);
      if (p % 8 === 0 && performance.now() > until) return false;
    }
    return true;
  }

  // Solid, and thicker where the beam spends more time on a millimetre than at its full speed; scores dotted.
  #beam(c, p, time, scale) {
    const score = this.kinds[p] === SCORE;
    const speed = score ? this.scoreSpeed : this.cutSpeed;
    c.strokeStyle = score ? this.drawing.inks.score : this.kinds[p] > 2 ? this.drawing.inks.frameCut : this.drawing.inks.beam;
    c.lineCap = 'round';
    c.setLineDash(score ? [0.5 / scale, 3 / scale] : []);
    let began = this.starts[p];
    for (let i = this.firsts[p]; i < this.firsts[p + 1] && began < time; i++) {
      const ended = this.ends[i];
      const [x1, y1, x2, y2, bulge] = this.#segment(p, i - this.firsts[p]);
      const part = Math.min(1, (time - began) / Math.max(1e-9, ended - began));
      const length = Math.hypot(x2 - x1, y2 - y1) * (bulge ? arcShare(bulge) : 1);
      const slow = (ended - began) * speed / Math.max(1e-6, length);
      c.lineWidth = (score ? 1.4 : Math.min(MOST_WEIGHT_PX, WEIGHT_PX * Math.max(1, slow))) / scale;
      c.beginPath();
      c.moveTo(x1, y1);
      line(c, x1, y1, x2, y2, bulge, part);
      c.stroke();
      began = ended;
    }
    c.setLineDash([]);
    c.lineCap = 'butt';
  }

  #travel(c, [x1, y1], [x2, y2], scale, arrow) {
    const px = Math.hypot(x2 - x1, y2 - y1) * scale;
    if (px < 2) return;
    c.strokeStyle = c.fillStyle = this.drawing.inks.quiet;
    c.lineWidth = 0.7 / scale;
    c.setLineDash([4 / scale, 3 / scale]);
    c.beginPath();
    c.moveTo(x1, y1);
    c.lineTo(x2, y2);
    c.stroke();
    c.setLineDash([]);
    if (!arrow || px < ARROW_LEAST_PX) return;
    const [ux, uy] = [(x2 - x1) / px, (y2 - y1) / px];
    const [mx, my] = [(x1 + x2) / 2 + 3 * ux, (y1 + y2) / 2 + 3 * uy];
    c.beginPath();
    c.moveTo(mx, my);
    c.lineTo(mx - 7 * ux - 2.5 * uy, my - 7 * uy + 2.5 * ux);
    c.lineTo(mx - 7 * ux + 2.5 * uy, my - 7 * uy - 2.5 * ux);
    c.fill();
  }

  #start(c, p, scale) {
    const [x, y] = this.#startOf(p), d = this.drawing;
    c.fillStyle = d.inks.paper;
    c.strokeStyle = this.kinds[p] === SCORE ? d.inks.score : this.kinds[p] > 2 ? d.inks.frameCut : d.inks.beam;
    c.lineWidth = 1.2 / scale;
    c.beginPath();
    c.arc(x, y, 2.6 / scale, 0, 2 * Math.PI);
    c.fill();
    c.stroke();
  }

  // The beam itself, and the part of its way that is not done.
  #head(c) {
    const p = this.#pathAt(this.time), s = this.drawing.view.scale;
    if (p >= this.paths.length) return;
    const [from, to] = [this.#endOf(p - 1), this.#startOf(p)];
    let at, on = this.time >= this.starts[p];
    if (on) {
      if (this.showTravel) this.#travel(c, from, to, s, true);
      this.#beam(c, p, this.time, s);
      at = this.#beamAt(p);
    } else {
      const began = p ? this.ends[this.firsts[p] - 1] : 0;
      const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
      const share = length > 0 ? this.#moved(length, this.time - began) / length : 1;
      at = [from[0] + (to[0] - from[0]) * share, from[1] + (to[1] - from[1]) * share];
      this.#travel(c, from, at, s, false);
    }
    const inks = this.drawing.inks;
    c.lineWidth = 1.5 / s;
    c.strokeStyle = on ? (this.kinds[p] === SCORE ? inks.score : this.kinds[p] > 2 ? inks.frameCut : inks.beam) : inks.quiet;
    c.fillStyle = on ? c.strokeStyle : inks.paper;
    c.beginPath();
    c.arc(...at, 4.5 / s, 0, 2 * Math.PI);
    c.fill();
    c.stroke();
    c.beginPath();
    for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) { c.moveTo(at[0] + 8 * dx / s, at[1] + 8 * dy / s); c.lineTo(at[0] + 15 * dx / s, at[1] + 15 * dy / s); }
    c.stroke();
  }

  #beamAt(p) {
    let began = this.starts[p];
    for (let i = this.firsts[p]; i < this.firsts[p + 1]; i++) {
      const ended = this.ends[i];
      if (ended >= this.time) return pointOn(this.#segment(p, i - this.firsts[p]), Math.min(1, (this.time - began) / Math.max(1e-9, ended - began)));
      began = ended;
    }
    return this.#endOf(p);
  }

  // ---- heat

  #heat(c) {
    const h = this.heat, d = this.drawing;
    if (h.inks !== d.inks) {
      h.inks = d.inks;
      const canvas = document.createElement('canvas');
      [canvas.width, canvas.height] = [h.columns, h.rows];
      const context = canvas.getContext('2d');
      const image = context.createImageData(h.columns, h.rows);
      const colours = d.colours.map(t => [1, 3, 5].map(i => parseInt(t.slice(i, i + 2), 16)));
      for (let row = 0; row < h.rows; row++) {
        for (let column = 0; column < h.columns; column++) {
          const level = h.levels[row * h.columns + column];
          const to = 4 * ((h.rows - 1 - row) * h.columns + column);
          const [r, g, b] = colours[Math.min(63, Math.floor((level - 1) / 4))] ?? [0, 0, 0];
          // Film that stays cold stays as it is.
          image.data.set([r, g, b, level === 0 ? 0 : Math.min(236, (level - 1) * 12)], to);
        }
      }
      context.putImageData(image, 0, 0);
      h.picture = canvas;
      this.#scale();
    }
    c.save();
    c.translate(h.x, h.y + h.rows * h.cell);
    c.scale(1, -1);
    c.imageSmoothingEnabled = true;
    c.drawImage(h.picture, 0, 0, h.columns * h.cell, h.rows * h.cell);
    c.restore();
    // The paths that wait are covered by it: once more over it.
    c.strokeStyle = d.inks.ink;
    c.globalAlpha = 0.55;
    c.lineWidth = 0.6 / d.view.scale;
    if (this.paths.length < 4000) for (const shape of this.paths) c.stroke(d.path(shape));
    c.globalAlpha = 1;
  }

  // The scale from paper to plum, the film's distribution over it, and the limits marked on it.
  #scale() {
    const canvas = this.controls?.scale, h = this.heat, d = this.drawing;
    if (!canvas || !h) return;
    const ratio = devicePixelRatio || 1, [w, tall] = [canvas.clientWidth || 280, canvas.clientHeight || 84];
    [canvas.width, canvas.height] = [w * ratio, tall * ratio];
    const c = canvas.getContext('2d');
    c.scale(ratio, ratio);
    c.font = '12px "Open Sans", sans-serif';
    const [left, right, top, bottom] = [8, w - 24, 18, tall - 32];
    const x = value => left + (right - left) * (value - h.low) / (h.high - h.low);
    d.colours.forEach((colour, i) => { c.fillStyle = colour; c.fillRect(left + (right - left) * i / 64, bottom, (right - left) / 64 + 0.6, 10); });
    c.strokeStyle = d.inks.quiet; c.lineWidth = 1; c.strokeRect(left, bottom, right - left, 10);
    // Areas differ by thousands: roots keep the small ones in sight.
    const most = Math.max(...h.counts, 1), bar = (right - left) / h.counts.length;
    c.fillStyle = d.inks.quiet;
    h.counts.forEach((n, i) => { const height = (bottom - top) * Math.sqrt(n / most); c.fillRect(left + bar * i, bottom - height, Math.max(1, bar - 1), height); });
    c.fillStyle = d.inks.ink; c.strokeStyle = d.inks.ink;
    c.textAlign = 'center';
    for (const limit of h.limits) {
      c.beginPath(); c.moveTo(x(limit), top - 4); c.lineTo(x(limit), bottom + 14); c.stroke();
      c.fillText(limit.toFixed(0), x(limit), tall - 5);
    }
    c.textAlign = 'left';
    c.fillText(`${h.low.toFixed(0)} \u00b0C`, left, tall - 5);
  }
}

// Length of an arc over that of its chord: the angle turned through is four times the bulge's arc tangent.
function arcShare(bulge) {
  const angle = 4 * Math.atan(Math.abs(bulge));
  return angle / 2 / Math.sin(Math.min(angle / 2, Math.PI - 1e-9));
}

function arcOf(x1, y1, x2, y2, bulge) {
  const k = (1 / bulge - bulge) / 4;
  const [cx, cy] = [(x1 + x2) / 2 - (y2 - y1) * k, (y1 + y2) / 2 + (x2 - x1) * k];
  return [cx, cy, Math.hypot(x1 - cx, y1 - cy), Math.atan2(y1 - cy, x1 - cx), 4 * Math.atan(bulge)];
}

/** Draws a share of a segment from its start, where the context stands. */
function line(c, x1, y1, x2, y2, bulge, share) {
  if (bulge === 0) { c.lineTo(x1 + (x2 - x1) * share, y1 + (y2 - y1) * share); return; }
  const [cx, cy, r, from, sweep] = arcOf(x1, y1, x2, y2, bulge);
  c.arc(cx, cy, r, from, from + sweep * share, sweep < 0);
}

function pointOn([x1, y1, x2, y2, bulge], share) {
  if (bulge === 0) return [x1 + (x2 - x1) * share, y1 + (y2 - y1) * share];
  const [cx, cy, r, from, sweep] = arcOf(x1, y1, x2, y2, bulge);
  return [cx + r * Math.cos(from + sweep * share), cy + r * Math.sin(from + sweep * share)];
}

function clockOf(seconds) {
  const whole = Math.round(seconds);
  const two = n => String(n).padStart(2, '0');
  return whole < 3600 ? `${Math.floor(whole / 60)}:${two(whole % 60)}` : `${Math.floor(whole / 3600)}:${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}`;
}
