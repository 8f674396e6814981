// Draws sheets of lines and arcs in the manner of a technical drawing. Line weights and hatches keep their size at every
// zoom. What stands still is drawn once into a picture a little larger than the view, in slices of a few milliseconds; while
// the view moves, that picture moves with it, and is drawn anew when the movement rests.

const SLICE_MS = 7;            // of a frame, while the view moves
const STILL_SLICE_MS = 24;     // while it stands still
const NEW_SLICE_MS = 70;       // where a person waits for a new scene
const MARGIN = 0.35;           // of the view, on each side of the picture
const SOLID_BELOW_PX = 4;      // smaller shapes become solid marks
const LEAST_SCALE = 0.2;       // pixels a millimetre
const OFF_CENTRE = 0.75; // What a place beside the middle is worth for a drawing shown whole.
const MOST_SCALE = 4000;
const PICK_PX = 6;
const MANY_SELECTED = 150;     // more are drawn into the picture that moves with the view
const DETAIL_PX = 12;          // artwork, design, beam and as-cut of smaller shapes would be one blot
const MESSAGE_IDS = 3000;      // a message to the program has a size that it may not exceed

/** Reads what SceneBuilder packs; where nothing moved, the shapes of the scene before are kept with their paths. */
function unpack(bytes, before) {
  const length = new DataView(bytes.buffer, bytes.byteOffset).getInt32(0, true);
  const head = JSON.parse(new TextDecoder().decode(bytes.subarray(4, 4 + length)));
  const start = bytes.byteOffset + 4 + length;
  const packed = start % 4 === 0
    ? new Float32Array(bytes.buffer, start, (bytes.byteLength - 4 - length) / 4)
    : new Float32Array(bytes.slice(4 + length).buffer);
  const isSame = before?.packed.length === packed.length && packed.every((v, i) => v === before.packed[i])
    && head.layers.length === before.layers.length && head.layers.every((l, n) => l.start === before.layers[n].start && l.count === before.layers[n].count);
  if (isSame) {
    head.layers.forEach((layer, n) => { layer.shapes = before.layers[n].shapes; });
    return { ...head, packed, isSame };
  }
  const forms = head.forms.map(at => ({ at, box: boxOf(packed, at), path: null }));
  for (const layer of head.layers) {
    layer.shapes = [];
    for (let i = 0, at = layer.start; i < layer.count; i++) {
      const form = packed[at] < 0 ? forms[-1 - packed[at]] : null;
      // A form lies about its first vertex: its shape begins there, and stands at its own place.
      const [x, y] = form ? [packed[at + 1], packed[at + 2]] : [0, 0];
      const [x0, y0, x1, y1] = form ? form.box : boxOf(packed, at);
      layer.shapes.push({ form, from: form ? form.at : at, x, y, box: [x0 + x, y0 + y, x1 + x, y1 + y], path: null, numbers: packed });
      at = form ? at + 3 : endOf(packed, at);
    }
  }
  return { ...head, packed, isSame };
}

// Where the next shape begins.
function endOf(numbers, at) {
  let contours = numbers[at++];
  while (contours-- > 0) at += 1 + 3 * Math.abs(numbers[at]);
  return at;
}

function boxOf(numbers, at) {
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  let contours = numbers[at++];
  while (contours-- > 0) {
    const n = Math.abs(numbers[at++]);
    for (let k = 0; k < n; k++, at += 3) grow(box, numbers, at, k + 1 < n ? at + 3 : at - 3 * (n - 1));
  }
  return box;
}

// A bend reaches no further from its chord's middle than half the chord times the larger of 1 and the bulge.
function grow(box, numbers, at, next) {
  const [x, y, b] = [numbers[at], numbers[at + 1], numbers[at + 2]];
  if (b !== 0) {
    const [x2, y2] = [numbers[next], numbers[next + 1]];
    const half = Math.hypot(x2 - x, y2 - y) / 2 * Math.max(1, Math.abs(b));
    const [mx, my] = [(x + x2) / 2, (y + y2) / 2];
    box[0] = Math.min(box[0], mx - half); box[1] = Math.min(box[1], my - half);
    box[2] = Math.max(box[2], mx + half); box[3] = Math.max(box[3], my + half);
  }
  box[0] = Math.min(box[0], x); box[1] = Math.min(box[1], y);
  box[2] = Math.max(box[2], x); box[3] = Math.max(box[3], y);
}

/** Adds a shape to a path; arcs stay arcs. The bulge is the tangent of a quarter of the angle turned through. */
export function trace(path, numbers, from) {
  let at = from;
  let contours = numbers[at++];
  while (contours-- > 0) {
    const closed = numbers[at] > 0;
    const n = Math.abs(numbers[at++]);
    path.moveTo(numbers[at], numbers[at + 1]);
    for (let k = 0; k < (closed ? n : n - 1); k++) {
      const a = at + 3 * k;
      const b = at + 3 * ((k + 1) % n);
      segment(path, numbers[a], numbers[a + 1], numbers[b], numbers[b + 1], numbers[a + 2]);
    }
    if (closed) path.closePath();
    at += 3 * n;
  }
}

function segment(path, x1, y1, x2, y2, bulge) {
  if (bulge === 0) { path.lineTo(x2, y2); return; }
  const k = (1 / bulge - bulge) / 4;
  const cx = (x1 + x2) / 2 - (y2 - y1) * k;
  const cy = (y1 + y2) / 2 + (x2 - x1) * k;
  path.arc(cx, cy, Math.hypot(x1 - cx, y1 - cy), Math.atan2(y1 - cy, x1 - cx), Math.atan2(y2 - cy, x2 - cx), bulge < 0);
}

/** Colours of the drawing, from the page's own style, so that light and dark follow it. */
export function inks() {
  const style = getComputedStyle(document.documentElement);
  const get = name => style.getPropertyValue('--' + name).trim();
  return {
    paper: get('paper'), ink: get('ink'), quiet: get('quiet'), film: get('film'), board: get('board'), frame: get('frame'),
    beam: get('beam'), score: get('score'), frameCut: get('frame-cut'), marginal: get('marginal'), fails: get('fails'),
    accent: get('accent'), plum: get('plum'), grid: get('hair'),
  };
}

// Even steps to the eye: straight through OKLab. Source: B. Ottosson, "A perceptual color space for image processing", 2020 (from memory).
export function scaleColours(from, to, count) {
  const a = oklab(from), b = oklab(to);
  return Array.from({ length: count }, (_, i) => { const t = i / (count - 1); return unlab(a.map((v, k) => v + (b[k] - v) * t)); });
}
const linear = c => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
const gamma = c => c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055;
function oklab(hex) {
  const [r, g, b] = [1, 3, 5].map(i => linear(parseInt(hex.slice(i, i + 2), 16) / 255));
  const l = Math.cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b);
  const m = Math.cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b);
  const s = Math.cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b);
  return [0.2104542553 * l + 0.793617785 * m - 0.0040720468 * s, 1.9779984951 * l - 2.428592205 * m + 0.4505937099 * s, 0.0259040371 * l + 0.7827717662 * m - 0.808675766 * s];
}
function unlab([L, A, B]) {
  const l = (L + 0.3963377774 * A + 0.2158037573 * B) ** 3, m = (L - 0.1055613458 * A - 0.0638541728 * B) ** 3, s = (L - 0.0894841775 * A - 1.291485548 * B) ** 3;
  const rgb = [4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s, -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s, -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s];
  return '#' + rgb.map(c => Math.round(255 * Math.min(1, Math.max(0, gamma(c)))).toString(16).padStart(2, '0')).join('');
}

const HATCHES = new Map();
/** A hatch as a pattern: direction 1 rises, -1 falls, 0 both. */
export function hatch(colour, direction, spacing, ratio) {
  const key = `${colour} ${direction} ${spacing} ${ratio}`;
  let tile = HATCHES.get(key);
  if (!tile) {
    const size = Math.round(spacing * ratio);
    tile = document.createElement('canvas');
    tile.width = tile.height = size;
    const c = tile.getContext('2d');
    c.strokeStyle = colour; c.lineWidth = ratio; c.lineCap = 'square';
    c.beginPath();
    for (const d of direction === 0 ? [1, -1] : [direction]) {
      for (const k of [-1, 0, 1]) { c.moveTo(k * size, d > 0 ? size : 0); c.lineTo((k + 1) * size, d > 0 ? 0 : size); }
    }
    c.stroke();
    HATCHES.set(key, tile);
  }
  return tile;
}

/**
 * Styles: fill and stroke are names of inks; weight in pixels; dash in pixels; hatch is [ink, direction, spacing].
 * `open` areas show the paper through the film.
 */
export const STYLES = {
  film: { fill: 'film', stroke: 'ink', weight: 1.25 },
  board: { stroke: 'ink', weight: 1.25, dash: [8, 4] },
  'board-section': { hatch: ['board', 1, 9], stroke: 'ink', weight: 1.25 },
  'frame-section': { hatch: ['frame', -1, 11], stroke: 'ink', weight: 1.25 },
  pocket: { fill: 'paper', stroke: 'ink', weight: 1.25 },
  blank: { stroke: 'quiet', weight: 1, dash: [2, 3] },
  opening: { fill: 'paper', stroke: 'ink', weight: 1 },
  artwork: { stroke: 'ink', weight: 1, dash: [1.5, 3] },
  design: { stroke: 'ink', weight: 0.75 },
  beam: { stroke: 'beam', weight: 1.1, dash: [9, 3, 2, 3] },
  'as-cut': { stroke: 'ink', weight: 1.75 },
  score: { stroke: 'score', weight: 1.1, dash: [1.5, 3] },
  'frame-cut': { stroke: 'frameCut', weight: 1.5 },
  tape: { hatch: ['quiet', 1, 6], stroke: 'quiet', weight: 1, dash: [6, 3] },
  place: { stroke: 'accent', weight: 1, dash: [6, 3] },
  paste: { fill: 'marginal', stroke: 'ink', weight: 0.75, alpha: 0.55 },
  copper: { fill: 'frame', alpha: 0.45 },
  mask: { hatch: ['frameCut', 1, 7], stroke: 'frameCut', weight: 0.75 },
  legend: { fill: 'quiet', alpha: 0.6 },
  drill: { fill: 'paper', stroke: 'ink', weight: 1 },
  outline: { stroke: 'ink', weight: 1.75 },
  mark: { stroke: 'fails', weight: 2 },
};

export class Drawing {
  constructor(canvas, report, options = {}) {
    this.canvas = canvas;
    this.report = report;                      // (name, ...values): tells the page
    this.options = { pick: null, unit: 'mm', perUnit: 1, decimals: 3, colourBy: 'verdict', hidden: [], range: null, details: 'selected', ...options };
    this.context = canvas.getContext('2d');
    this.view = { x: 0, y: 0, scale: 4 };      // place at the middle of the canvas, pixels a millimetre
    this.back = null;                          // { canvas, view, w, h }
    this.sheets = [0, 1].map(() => document.createElement('canvas'));
    this.selected = new Set();
    this.hovered = null;
    this.tool = 'select';
    this.measure = null;
    this.stopped = new AbortController();
    this.details = [];                         // layers over one another of openings
    this.overlays = [];                        // functions (context, drawing) of pages
    this.slowest = 0;
    this.movedAt = -Infinity;
    this.#listen();
    this.sizes = new ResizeObserver(() => this.#resize());
    this.sizes.observe(canvas);
    this.themes = new MutationObserver(() => this.restyle());
    this.themes.observe(document.documentElement, { attributes: true, attributeFilter: ['data-theme'] });
    matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => this.restyle(), { signal: this.stopped.signal });
    this.restyle();
    this.#resize();
  }

  dispose() {
    this.stopped.abort();
    this.sizes.disconnect();
    this.themes.disconnect();
    this.scene = null;
    cancelAnimationFrame(this.pending);
  }

  /** Takes a new scene; the view stays where it was unless this is the first, or `fit` is asked for. */
  setScene(bytes, fit, revision) {
    const first = !this.scene;
    const before = this.scene;
    this.scene = unpack(bytes, before);
    this.picked = this.scene.layers.find(l => l.name === this.options.pick) ?? null;
    this.index = new Map();
    this.picked?.ids?.forEach((id, i) => this.index.set(id, i));
    if (!this.scene.isSame) this.grid = null;
    this.selected = new Set([...this.selected].filter(id => this.index.has(id)));
    const range = this.range;
    this.#scaleOf();
    this.isNew = true;
    if (first || fit) this.fit();
    else if (!this.scene.isSame || String(range) !== String(this.range) || this.#looksOther(before.values)) this.redraw();
    else this.#frame();
    this.canvas.dataset.ready = (Number(this.canvas.dataset.ready ?? 0) + 1).toString();
    if (revision) this.confirm(revision);
  }

  // Whether openings have another colour or hatch than with the values before.
  #looksOther(before) {
    const { values } = this.scene;
    return ['verdict', this.options.colourBy].some(by => values[by]?.some((v, i) => v !== before[by]?.[i]));
  }

  /** Says which result is shown: a new one may have the same scene. */
  confirm(revision) { this.canvas.dataset.revision = revision; }

  /** Takes what is drawn over one another for openings, selected ones or all: layers named as in DETAILS, each shape with its owner's id. */
  setDetails(bytes) {
    this.details = unpack(bytes).layers.filter(layer => DETAILS.includes(layer.name));
    for (const layer of this.details) layer.byOwner = ownersOf(layer.ids ?? []);
    if (this.#showsAll()) this.redraw(); else this.#frame();
  }

  #showsAll() { return this.options.details === 'all' || this.options.colourBy === 'change'; }

  set(options) {
    Object.assign(this.options, options);
    if (this.scene) this.#scaleOf();
    this.redraw();
  }

  select(ids) { this.#take(new Set(ids)); }

  #take(selected) {
    const isMany = Math.max(selected.size, this.selected.size) > MANY_SELECTED;
    this.selected = selected;
    if (isMany) this.redraw(); else this.#frame();
  }

  setTool(tool) {
    this.tool = tool;
    this.measure = null;
    this.canvas.dataset.tool = tool;
    this.#frame();
  }

  fit() {
    if (!this.scene) return;
    const [x0, y0, x1, y1] = this.scene.window;
    const [w, h] = this.#size();
    // The largest of the places that nothing laid over the drawing hides: all of it, beside what is laid there, or between.
    const at = this.canvas.getBoundingClientRect();
    const over = [...this.canvas.parentElement.querySelectorAll('.tools, .line-legend')].map(e => e.getBoundingClientRect()).filter(r => r.width > 0)
      .map(r => ({ left: r.left - at.left, right: r.right - at.left, top: r.top - at.top, bottom: r.bottom - at.top }));
    const top = Math.max(0, ...over.filter(r => r.top < h / 2).map(r => r.bottom));
    const bottom = Math.min(h, ...over.filter(r => r.top >= h / 2).map(r => r.top));
    const right = Math.max(0, ...over.map(r => r.right));
    let best = null;
    for (const [left, up, end, down, worth] of [[0, 0, w, h, 1], [right, 0, w, h, OFF_CENTRE], [0, top, w, bottom, 1]]) {
      const scale = Math.min((end - left) / Math.max(x1 - x0, 1e-3), (down - up) / Math.max(y1 - y0, 1e-3)) * 0.9;
      const [cx, cy, half, tall] = [(left + end) / 2, (up + down) / 2, (x1 - x0) * scale / 2, (y1 - y0) * scale / 2];
      const hidden = over.some(r => r.left < cx + half && r.right > cx - half && r.top < cy + tall && r.bottom > cy - tall);
      if (scale > 0 && !hidden && (!best || scale * worth > best.scale * best.worth)) best = { scale, cx, cy, worth };
    }
    if (!best) return this.#look(x0, y0, x1, y1, 0.9);
    const scale = Math.min(MOST_SCALE, Math.max(LEAST_SCALE, best.scale));
    this.view = { x: (x0 + x1) / 2 - (best.cx - w / 2) / scale, y: (y0 + y1) / 2 + (best.cy - h / 2) / scale, scale };
    this.redraw();
  }

  /** Brings shapes into view, moving no more than needed. */
  show(ids) {
    const boxes = ids.map(id => this.picked?.shapes[this.index.get(id)]?.box).filter(Boolean);
    if (boxes.length === 0) return;
    const box = [0, 1, 2, 3].map(k => boxes.reduce((m, b) => (k < 2 ? Math.min : Math.max)(m, b[k]), boxes[0][k]));
    const [w, h] = this.#size();
    const [sx0, sy0] = this.toScreen(box[0], box[3]);
    const [sx1, sy1] = this.toScreen(box[2], box[1]);
    if (sx0 < 20 || sy0 < 20 || sx1 > w - 20 || sy1 > h - 20 || sx1 - sx0 < 12) this.#look(...box, Math.min(0.25, 0.9));
    else this.#frame();
  }

  zoom(factor, sx, sy) {
    const [w, h] = this.#size();
    const [px, py] = [sx ?? w / 2, sy ?? h / 2];
    const [x, y] = this.toSheet(px, py);
    this.view.scale = Math.min(MOST_SCALE, Math.max(LEAST_SCALE, this.view.scale * factor));
    this.view.x = x - (px - w / 2) / this.view.scale;
    this.view.y = y + (py - h / 2) / this.view.scale;
    this.#moved();
  }

  pan(dx, dy) {
    this.view.x -= dx / this.view.scale;
    this.view.y += dy / this.view.scale;
    this.#moved();
  }

  toScreen(x, y) {
    const [w, h] = this.#size();
    return [w / 2 + (x - this.view.x) * this.view.scale, h / 2 - (y - this.view.y) * this.view.scale];
  }

  toSheet(sx, sy) {
    const [w, h] = this.#size();
    return [this.view.x + (sx - w / 2) / this.view.scale, this.view.y - (sy - h / 2) / this.view.scale];
  }

  length(mm) {
    const text = (mm / this.options.perUnit).toFixed(this.options.decimals).replace('-', '\u2212');
    return `${text}\u202f${this.options.unit}`;
  }

  restyle() {
    HATCHES.clear();
    this.inks = inks();
    this.colours = scaleColours(hex(this.inks.paper), hex(this.inks.plum), 64);
    this.redraw();
  }

  /** Draws all anew; the picture that is there stays until the new one is done. */
  redraw() {
    this.job = this.scene ? this.#render() : null;
    this.#frame();
  }

  /** Paints once more what lies over the picture that stands still. */
  redrawOverlays() { this.#frame(); }

  /** Path of a shape of a layer, made when first needed. */
  path(shape) {
    if (shape.path) return shape.path;
    const { form, numbers, from, x, y } = shape;
    shape.path = new Path2D();
    if (!form) { trace(shape.path, numbers, from); return shape.path; }
    if (!form.path) trace(form.path = new Path2D(), numbers, from);
    shape.path.addPath(form.path, { e: x, f: y });
    return shape.path;
  }

  layer(name) { return this.scene?.layers.find(l => l.name === name); }

  // ---- drawing

  #size() { return [this.canvas.clientWidth || 1, this.canvas.clientHeight || 1]; }

  #look(x0, y0, x1, y1, share) {
    const [w, h] = this.#size();
    const scale = Math.min(w / Math.max(x1 - x0, 1e-3), h / Math.max(y1 - y0, 1e-3)) * share;
    this.view = { x: (x0 + x1) / 2, y: (y0 + y1) / 2, scale: Math.min(MOST_SCALE, Math.max(LEAST_SCALE, scale)) };
    this.redraw();
  }

  #resize() {
    const ratio = devicePixelRatio || 1;
    const [w, h] = this.#size();
    this.ratio = ratio;
    this.canvas.width = Math.max(1, Math.round(w * ratio));
    this.canvas.height = Math.max(1, Math.round(h * ratio));
    if (this.scene && !this.fitted && w > 10) { this.fitted = true; this.fit(); } else this.redraw();
  }

  #moved() {
    this.job = null;
    this.movedAt = performance.now();
    clearTimeout(this.rest);
    this.rest = setTimeout(() => this.redraw(), 90);
    this.#frame();
  }

  #frame() {
    if (this.pending) return;
    this.pending = requestAnimationFrame(() => {
      this.pending = 0;
      const began = performance.now();
      if (this.job) this.#slice();
      this.#paint();
      this.slowest = Math.max(this.slowest, performance.now() - began);
      if (this.job) this.#frame();
    });
  }

  #slice() {
    const now = performance.now();
    const until = now + (now - this.movedAt < 400 ? SLICE_MS : this.isNew ? NEW_SLICE_MS : STILL_SLICE_MS);
    this.isNew = false;
    while (this.job && performance.now() < until) {
      if (this.job.next().done) this.job = null;
    }
  }

  #paint() {
    const c = this.context;
    c.setTransform(1, 0, 0, 1, 0, 0);
    c.fillStyle = this.inks.paper;
    c.fillRect(0, 0, this.canvas.width, this.canvas.height);
    if (this.back) {
      const { canvas, view, w, h } = this.back;
      const k = this.view.scale / view.scale;
      const [x, y] = this.toScreen(view.x - w / 2 / view.scale, view.y + h / 2 / view.scale);
      c.drawImage(canvas, Math.round(x * this.ratio), Math.round(y * this.ratio), w * k * this.ratio, h * k * this.ratio);
    }
    if (!this.scene) return;
    this.enter(c);
    for (const draw of this.overlays) draw(c, this);
    this.#details(c);
    this.#halo(c);
    c.setTransform(this.ratio, 0, 0, this.ratio, 0, 0);
    this.#dimensions(c);
    this.#labels(c);
    this.#measured(c);
    this.#rectangle(c);
  }

  /** Sets a context to millimetres of the sheet, y up. */
  enter(c, view = this.view, w = this.#size()[0], h = this.#size()[1]) {
    const s = view.scale * this.ratio;
    c.setTransform(s, 0, 0, -s, w / 2 * this.ratio - view.x * s, h / 2 * this.ratio + view.y * s);
  }

  *#render() {
    const [vw, vh] = this.#size();
    // Whole pixels, as many more on each side: what is only copied must not be blurred.
    const [w, h] = [vw + 2 * Math.ceil(vw * MARGIN), vh + 2 * Math.ceil(vh * MARGIN)];
    const view = { ...this.view };
    // Two sheets in turn: a fresh one costs more than all that is drawn on it.
    const canvas = this.sheets.find(sheet => sheet !== this.back?.canvas);
    const [cw, ch] = [Math.ceil(w * this.ratio), Math.ceil(h * this.ratio)];
    const c = canvas.getContext('2d');
    if (canvas.width === cw && canvas.height === ch) { c.setTransform(1, 0, 0, 1, 0, 0); c.clearRect(0, 0, cw, ch); } else [canvas.width, canvas.height] = [cw, ch];
    this.enter(c, view, w, h);
    const seen = [view.x - w / 2 / view.scale, view.y - h / 2 / view.scale, view.x + w / 2 / view.scale, view.y + h / 2 / view.scale];
    for (const layer of this.scene.layers) {
      if (this.options.hidden.includes(layer.name) ) continue;
      let n = 0;
      for (let i = 0; i < layer.shapes.length; i++) {
        const shape = layer.shapes[i];
        const b = shape.box;
        if (b[2] < seen[0] || b[0] > seen[2] || b[3] < seen[1] || b[1] > seen[3]) continue;
        this.#shape(c, layer, shape, i, view.scale);
        if (++n % 24 === 0) yield;
      }
      yield;
    }
    yield* this.#allDetails(c, seen, view.scale);
    if (this.selected.size > MANY_SELECTED) {
      let n = 0;
      for (const id of this.selected) {
        this.#around(c, id, this.inks.accent, 2, 2, 1, view.scale);
        if (++n % 60 === 0) yield;
      }
    }
    this.back = { canvas, view, w, h };
  }

  // Every opening's, where they are large enough to be told apart; a view of changes always shows what the artwork had.
  *#allDetails(c, seen, scale) {
    if (!this.#showsAll()) return;
    let n = 0;
    for (const layer of this.details) {
      for (const shape of layer.shapes) {
        const b = shape.box;
        if (b[2] < seen[0] || b[0] > seen[2] || b[3] < seen[1] || b[1] > seen[3] || Math.max(b[2] - b[0], b[3] - b[1]) * scale < DETAIL_PX) continue;
        this.stroke(c, STYLES[layer.name], shape, scale);
        if (++n % 24 === 0) yield;
      }
    }
  }

  #shape(c, layer, shape, i, scale) {
    if (layer === this.picked) { this.#opening(c, shape, i, scale); return; }
    this.stroke(c, STYLES[layer.style] ?? STYLES.design, shape, scale);
  }

  /** Draws a shape in a style; the context is in millimetres. */
  stroke(c, style, shape, scale = this.view.scale) {
    const path = this.path(shape);
    c.globalAlpha = style.alpha ?? 1;
    if (style.fill) { c.fillStyle = this.inks[style.fill] ?? style.fill; c.fill(path); }
    if (style.hatch) this.#hatch(c, path, style.hatch);
    if (style.stroke) {
      c.strokeStyle = this.inks[style.stroke] ?? style.stroke;
      c.lineWidth = style.weight / scale;
      c.setLineDash((style.dash ?? []).map(d => d / scale));
      c.stroke(path);
      c.setLineDash([]);
    }
    c.globalAlpha = 1;
  }

  #hatch(c, path, [ink, direction, spacing]) {
    const pattern = c.createPattern(hatch(this.inks[ink] ?? ink, direction, spacing, this.ratio), 'repeat');
    pattern.setTransform(c.getTransform().inverse());
    c.fillStyle = pattern;
    c.fill(path);
  }

  #opening(c, shape, i, scale) {
    const verdict = this.scene.values.verdict?.[i] ?? 0;
    const by = this.options.colourBy;
    const small = Math.min(shape.box[2] - shape.box[0], shape.box[3] - shape.box[1]) * scale < SOLID_BELOW_PX;
    const ink = verdict === 2 ? this.inks.fails : verdict === 1 ? this.inks.marginal : this.inks.ink;
    if (small) {
      const least = 1.6 / scale;
      const [w, h] = [Math.max(least, shape.box[2] - shape.box[0]), Math.max(least, shape.box[3] - shape.box[1])];
      c.fillStyle = by === 'verdict' ? ink : this.#colour(i);
      c.fillRect((shape.box[0] + shape.box[2] - w) / 2, (shape.box[1] + shape.box[3] - h) / 2, w, h);
      if (by !== 'verdict') {
        // The lightest of a scale would be lost on the film.
        c.strokeStyle = this.inks.quiet; c.lineWidth = 0.75 / scale;
        c.strokeRect((shape.box[0] + shape.box[2] - w) / 2, (shape.box[1] + shape.box[3] - h) / 2, w, h);
      }
      return;
    }
    const path = this.path(shape);
    c.fillStyle = by === 'verdict' ? this.inks.paper : this.#colour(i);
    c.fill(path);
    if (by === 'verdict' && verdict > 0) this.#hatch(c, path, [ink, verdict === 1 ? 1 : 0, 6]);
    // What grew is told from what shrank by a hatch.
    if (by === 'change' && this.scene.values.change?.[i] > 0.05) this.#hatch(c, path, ['ink', -1, 6]);
    c.strokeStyle = by === 'verdict' ? ink : this.inks.ink;
    // A quarter of a small opening at most, so that its inside is seen; never a hair.
    const narrow = Math.min(shape.box[2] - shape.box[0], shape.box[3] - shape.box[1]) * scale;
    c.lineWidth = Math.max(0.4, Math.min(by === 'verdict' && verdict === 2 ? 2 : 1, narrow / 4)) / scale;
    c.stroke(path);
  }

  #scaleOf() {
    const values = this.scene.values[this.options.colourBy];
    if (!values) { this.range = null; return; }
    if (this.options.range) { this.range = this.options.range; return; }
    const known = values.filter(v => v !== null).sort((a, b) => a - b);
    // The outermost hundredth would squeeze all others together.
    const at = q => known[Math.min(known.length - 1, Math.floor(q * known.length))] ?? 0;
    this.range = [at(0.01), at(0.99)];
  }

  #colour(i) {
    const value = this.scene.values[this.options.colourBy]?.[i];
    if (value === null || value === undefined || !this.range) return this.inks.paper;
    const [low, high] = this.range;
    const t = high > low ? ((this.options.colourBy === 'change' ? Math.abs(value) : value) - low) / (high - low) : 0.5;
    return this.colours[Math.round(63 * Math.min(1, Math.max(0, t)))];
  }

  // Artwork, design, beam and as-cut over one another for what is selected.
  #details(c) {
    if (this.options.details === 'all' || this.selected.size > MANY_SELECTED) return;
    for (const layer of this.details) {
      for (const id of this.selected) for (const k of layer.byOwner.get(id) ?? []) this.stroke(c, STYLES[layer.name], layer.shapes[k]);
    }
  }

  // Selection is an outline outside the shape, hover a halo: neither changes the fill.
  #around(c, id, ink, weight, gap, alpha, scale) {
    const shape = this.picked?.shapes[this.index.get(id)];
    if (!shape || shape.box[0] > shape.box[2]) return;
    const g = gap / scale, b = shape.box, least = 7 / scale;
    const [w, h] = [Math.max(least, b[2] - b[0]) + 2 * g, Math.max(least, b[3] - b[1]) + 2 * g];
    c.globalAlpha = alpha; c.strokeStyle = ink; c.lineWidth = weight / scale;
    c.beginPath();
    c.roundRect((b[0] + b[2] - w) / 2, (b[1] + b[3] - h) / 2, w, h, g);
    c.stroke();
    c.globalAlpha = 1;
  }

  #halo(c) {
    if (this.hovered && !this.selected.has(this.hovered)) this.#around(c, this.hovered, this.inks.accent, 5, 3.5, 0.35, this.view.scale);
    if (this.selected.size > MANY_SELECTED) return;
    for (const id of this.selected) this.#around(c, id, this.inks.accent, 2, 4, 1, this.view.scale);
  }

  #dimensions(c) {
    for (const [x1, y1, x2, y2, offset] of this.scene.dimensions) {
      const length = Math.hypot(x2 - x1, y2 - y1);
      if (length * this.view.scale < 26) continue;
      const [nx, ny] = [-(y2 - y1) / length * offset, (x2 - x1) / length * offset];
      this.dimension(c, [x1, y1], [x2, y2], [x1 + nx, y1 + ny], [x2 + nx, y2 + ny], length);
    }
  }

  /** A dimension by ISO 129-1 (from memory): extension lines, a line with ticks, the figure above it. */
  dimension(c, from, to, a, b, mm) {
    const [fx, fy] = this.toScreen(...from), [tx, ty] = this.toScreen(...to);
    const [ax, ay] = this.toScreen(...a), [bx, by] = this.toScreen(...b);
    c.strokeStyle = this.inks.ink; c.lineWidth = 0.8; c.setLineDash([]);
    c.beginPath();
    const gap = (x0, y0, x1, y1) => {
      const d = Math.hypot(x1 - x0, y1 - y0);
      if (d < 8) return;
      const [ux, uy] = [(x1 - x0) / d, (y1 - y0) / d];
      c.moveTo(x0 + 3 * ux, y0 + 3 * uy); c.lineTo(x1 + 4 * ux, y1 + 4 * uy);
    };
    gap(fx, fy, ax, ay); gap(tx, ty, bx, by);
    c.moveTo(ax, ay); c.lineTo(bx, by);
    for (const [x, y] of [[ax, ay], [bx, by]]) { c.moveTo(x - 4, y + 4); c.lineTo(x + 4, y - 4); }
    c.stroke();
    let turn = Math.atan2(by - ay, bx - ax);
    // Read from below, or from the right.
    if (turn > Math.PI / 2 - 1e-6) turn -= Math.PI; else if (turn < -Math.PI / 2 - 1e-6) turn += Math.PI;
    c.save();
    c.translate((ax + bx) / 2, (ay + by) / 2); c.rotate(turn);
    c.font = '12px "Open Sans", sans-serif'; c.textAlign = 'center'; c.textBaseline = 'alphabetic';
    // A dimension has no zeros at its end (ISO 129-1, from memory); a length that was measured keeps them.
    const text = this.length(mm).replace(/(\.\d*?)0+(?=\u202f)/, '$1').replace('.\u202f', '\u202f');
    const w = c.measureText(text).width;
    c.fillStyle = this.inks.paper; c.globalAlpha = 0.8; c.fillRect(-w / 2 - 2, -16, w + 4, 13); c.globalAlpha = 1;
    c.fillStyle = this.inks.ink; c.fillText(text, 0, -5);
    c.restore();
  }

  #labels(c) {
    c.font = '12px "Open Sans", sans-serif'; c.textAlign = 'center'; c.textBaseline = 'middle';
    for (const { x, y, text, style } of this.scene.labels) {
      const [sx, sy] = this.toScreen(x, y);
      const w = c.measureText(text).width;
      if (style.startsWith('flag')) { this.#flag(c, sx, sy, text, w, style === 'flag-error' ? this.inks.fails : this.inks.marginal); continue; }
      c.fillStyle = this.inks.paper; c.globalAlpha = 0.85; c.fillRect(sx - w / 2 - 3, sy - 8, w + 6, 16); c.globalAlpha = 1;
      c.fillStyle = style === 'quiet' ? this.inks.quiet : this.inks.ink;
      c.fillText(text, sx, sy);
    }
  }

  // A numbered flag beside the place it speaks of.
  #flag(c, x, y, text, width, ink) {
    c.strokeStyle = ink; c.lineWidth = 1.25; c.fillStyle = this.inks.paper; c.setLineDash([]);
    c.beginPath(); c.moveTo(x, y); c.lineTo(x + 8, y - 10); c.stroke();
    c.beginPath(); c.roundRect(x + 8, y - 19, width + 8, 16, 3); c.fill(); c.stroke();
    c.fillStyle = this.inks.ink; c.fillText(text, x + 12 + width / 2, y - 11);
  }

  #measured(c) {
    if (!this.measure) return;
    const { from, to } = this.measure;
    const end = to ?? this.pointer ?? from;
    const mm = Math.hypot(end[0] - from[0], end[1] - from[1]);
    if (mm * this.view.scale > 3) this.dimension(c, from, end, from, end, mm);
  }

  #rectangle(c) {
    if (!this.frameFrom) return;
    const [x0, y0] = this.frameFrom, [x1, y1] = this.frameTo;
    c.strokeStyle = this.inks.accent; c.setLineDash([4, 3]); c.lineWidth = 1;
    c.strokeRect(Math.min(x0, x1), Math.min(y0, y1), Math.abs(x1 - x0), Math.abs(y1 - y0));
    c.setLineDash([]);
  }

  // ---- hands

  /** The shape under a place of the canvas, or the nearest within a few pixels. */
  pickAt(sx, sy) {
    if (!this.picked) return null;
    this.grid ??= new BoxGrid(this.picked.shapes);
    const [x, y] = this.toSheet(sx, sy);
    const r = PICK_PX / this.view.scale;
    let best = null, least = Infinity;
    for (const i of this.grid.near(x - r, y - r, x + r, y + r)) {
      const b = this.picked.shapes[i].box;
      const dx = Math.max(b[0] - x, 0, x - b[2]), dy = Math.max(b[1] - y, 0, y - b[3]);
      const d = Math.hypot(dx, dy) + 1e-3 * (b[2] - b[0]) * (b[3] - b[1]);
      if (d <= r + 1e-3 * (b[2] - b[0]) * (b[3] - b[1]) && d < least) [best, least] = [i, d];
    }
    return best === null ? null : this.picked.ids[best];
  }

  /** The nearest corner or middle of a side within a few pixels, for measuring. */
  #snap(sx, sy) {
    const [x, y] = this.toSheet(sx, sy);
    let best = [x, y], least = 8 / this.view.scale;
    for (const layer of this.scene.layers) {
      if (this.options.hidden.includes(layer.name) ) continue;
      for (const shape of layer.shapes) {
        const b = shape.box;
        if (x < b[0] - least || x > b[2] + least || y < b[1] - least || y > b[3] + least) continue;
        const numbers = shape.numbers;
        let at = shape.from, contours = numbers[at++];
        while (contours-- > 0) {
          const n = Math.abs(numbers[at++]);
          for (let k = 0; k < n; k++) {
            const a = at + 3 * k, e = at + 3 * ((k + 1) % n);
            const [ax, ay, ex, ey] = [numbers[a] + shape.x, numbers[a + 1] + shape.y, numbers[e] + shape.x, numbers[e + 1] + shape.y];
            for (const p of [[ax, ay], [(ax + ex) / 2, (ay + ey) / 2]]) {
              const d = Math.hypot(p[0] - x, p[1] - y);
              if (d < least) [best, least] = [p, d];
            }
          }
          at += 3 * n;
        }
      }
    }
    return best;
  }

  #listen() {
    const on = (name, handle, more) => this.canvas.addEventListener(name, handle, { signal: this.stopped.signal, ...more });
    const touches = new Map();
    let drag = null;
    on('wheel', e => {
      e.preventDefault();
      const r = this.canvas.getBoundingClientRect();
      this.zoom(Math.exp(-e.deltaY * (e.deltaMode === 1 ? 0.05 : 0.0016)), e.clientX - r.left, e.clientY - r.top);
    }, { passive: false });
    on('pointerdown', e => {
      this.canvas.setPointerCapture(e.pointerId);
      touches.set(e.pointerId, [e.offsetX, e.offsetY]);
      if (touches.size === 2) { drag = { pinch: true }; this.frameFrom = null; return; }
      const take = e.button === 0 && this.onGrab?.(...this.toSheet(e.offsetX, e.offsetY), e);
      drag = { x: e.offsetX, y: e.offsetY, moved: false, button: e.button, frame: e.shiftKey && e.button === 0 && !!this.picked, take };
    });
    on('pointermove', e => {
      const [x, y] = [e.offsetX, e.offsetY];
      this.pointer = this.scene && this.tool === 'measure' ? this.#snap(x, y) : null;
      if (drag?.pinch && touches.size === 2) {
        const before = [...touches.values()];
        touches.set(e.pointerId, [x, y]);
        const after = [...touches.values()];
        const gap = p => Math.hypot(p[0][0] - p[1][0], p[0][1] - p[1][1]) || 1;
        const mid = p => [(p[0][0] + p[1][0]) / 2, (p[0][1] + p[1][1]) / 2];
        const [m0, m1] = [mid(before), mid(after)];
        this.pan(m1[0] - m0[0], m1[1] - m0[1]);
        this.zoom(gap(after) / gap(before), ...m1);
        return;
      }
      touches.has(e.pointerId) && touches.set(e.pointerId, [x, y]);
      if (!drag) { if (this.scene) this.#hover(this.tool === 'measure' ? null : this.pickAt(x, y)); if (this.measure && !this.measure.to) this.#frame(); return; }
      if (!drag.moved && Math.hypot(x - drag.x, y - drag.y) < 4) return;
      if (drag.take) { drag.moved = true; drag.take.move?.(...this.toSheet(x, y)); this.#frame(); return; }
      if (drag.frame) { this.frameFrom ??= [drag.x, drag.y]; this.frameTo = [x, y]; drag.moved = true; this.#frame(); return; }
      this.pan(x - (drag.moved ? drag.lx : drag.x), y - (drag.moved ? drag.ly : drag.y));
      Object.assign(drag, { moved: true, lx: x, ly: y });
    });
    const end = e => {
      touches.delete(e.pointerId);
      const d = drag;
      if (touches.size === 0) drag = null;
      if (!d || d.pinch || !this.scene) return;
      if (d.take) { d.take.drop?.(...this.toSheet(e.offsetX, e.offsetY), d.moved); this.#frame(); return; }
      if (d.frame && d.moved) {
        const [a, b] = [this.toSheet(...this.frameFrom), this.toSheet(...this.frameTo)];
        const box = [Math.min(a[0], b[0]), Math.min(a[1], b[1]), Math.max(a[0], b[0]), Math.max(a[1], b[1])];
        this.frameFrom = null;
        const ids = this.picked.shapes.flatMap((s, i) => s.box[0] >= box[0] && s.box[2] <= box[2] && s.box[1] >= box[1] && s.box[3] <= box[3] ? [this.picked.ids[i]] : []);
        this.#choose(ids, e.ctrlKey || e.metaKey ? 'add' : 'only');
        return;
      }
      if (d.moved || d.button !== 0) return;
      if (this.tool === 'measure') { this.#measureAt(e.offsetX, e.offsetY); return; }
      const id = this.pickAt(e.offsetX, e.offsetY);
      this.#choose(id ? [id] : [], e.ctrlKey || e.metaKey || e.shiftKey ? 'toggle' : 'only');
    };
    on('pointerup', end);
    on('pointercancel', e => { touches.delete(e.pointerId); drag = null; this.frameFrom = null; });
    on('pointerleave', () => this.#hover(null));
    on('dblclick', e => this.zoom(2, e.offsetX, e.offsetY));
    on('keydown', e => this.#key(e));
  }

  #measureAt(sx, sy) {
    const p = this.#snap(sx, sy);
    if (!this.measure || this.measure.to) this.measure = { from: p, to: null };
    else {
      this.measure.to = p;
      this.report('Measured', Math.hypot(p[0] - this.measure.from[0], p[1] - this.measure.from[1]));
    }
    this.#frame();
  }

  #hover(id) {
    if (id === this.hovered) return;
    this.hovered = id;
    this.canvas.classList.toggle('over', !!id);
    this.#frame();
    clearTimeout(this.told);
    this.told = setTimeout(() => this.report('Hovered', id ?? ''), 30);
  }

  #choose(ids, how) {
    if (!this.picked) return;
    const next = how === 'only' ? new Set() : new Set(this.selected);
    for (const id of ids) how === 'toggle' && next.has(id) ? next.delete(id) : next.add(id);
    this.#take(next);
    const all = [...next];
    while (all.length > MESSAGE_IDS) this.report('ChosenPart', all.splice(0, MESSAGE_IDS));
    this.report('Chosen', all);
  }

  #key(e) {
    const step = e.shiftKey ? 240 : 60;
    const keys = {
      ArrowLeft: () => this.pan(step, 0), ArrowRight: () => this.pan(-step, 0),
      ArrowUp: () => this.pan(0, step), ArrowDown: () => this.pan(0, -step),
      '+': () => this.zoom(1.3), '=': () => this.zoom(1.3), '-': () => this.zoom(1 / 1.3), '0': () => this.fit(),
      n: () => this.#next(1), p: () => this.#next(-1),
      Escape: () => { this.measure = null; this.#choose([], 'only'); },
    };
    const act = e.ctrlKey || e.metaKey || e.altKey ? null : keys[e.key];
    if (!act || !this.scene) return;
    e.preventDefault();
    act();
  }

  #next(by) {
    const ids = this.picked?.ids;
    if (!ids?.length) return;
    const last = [...this.selected].at(-1);
    const at = last === undefined ? (by > 0 ? -1 : 0) : this.index.get(last);
    const id = ids[(at + by + ids.length) % ids.length];
    this.#choose([id], 'only');
    this.show([id]);
  }
}

// What is drawn over one another for an opening, from the bottom to the top.
const DETAILS = ['artwork', 'design', 'as-cut', 'beam'];

function ownersOf(ids) {
  const owners = new Map();
  ids.forEach((id, k) => { const own = owners.get(id); if (own) own.push(k); else owners.set(id, [k]); });
  return owners;
}

/** Draws a sample of a style into a small canvas, with the drawing's own strokes: for legends. */
export function sample(canvas, kind) {
  const ratio = devicePixelRatio || 1;
  const [w, h] = [canvas.clientWidth || 40, canvas.clientHeight || 16];
  [canvas.width, canvas.height] = [Math.round(w * ratio), Math.round(h * ratio)];
  const c = canvas.getContext('2d');
  c.setTransform(ratio, 0, 0, ratio, 0, 0);
  const ink = inks(), style = STYLES[kind];
  c.strokeStyle = ink[style.stroke]; c.lineWidth = style.weight; c.setLineDash(style.dash ?? []);
  c.beginPath(); c.moveTo(1, h / 2); c.lineTo(w - 1, h / 2); c.stroke();
}

function hex(colour) { return /^#[0-9a-f]{6}$/i.test(colour) ? colour : '#808080'; }

/** Boxes by squares of a grid, for finding those near a place. */
class BoxGrid {
  constructor(shapes) {
    this.shapes = shapes;
    this.box = shapes.reduce((m, s) => [Math.min(m[0], s.box[0]), Math.min(m[1], s.box[1]), Math.max(m[2], s.box[2]), Math.max(m[3], s.box[3])], [Infinity, Infinity, -Infinity, -Infinity]);
    const side = Math.max(1, Math.ceil(Math.sqrt(shapes.length)));
    this.n = side;
    this.dx = Math.max(1e-6, (this.box[2] - this.box[0]) / side);
    this.dy = Math.max(1e-6, (this.box[3] - this.box[1]) / side);
    this.cells = new Map();
    shapes.forEach((s, i) => this.#each(...s.box, key => { const cell = this.cells.get(key); if (cell) cell.push(i); else this.cells.set(key, [i]); }));
  }

  #each(x0, y0, x1, y1, visit) {
    const at = (v, low, d) => Math.min(this.n - 1, Math.max(0, Math.floor((v - low) / d)));
    for (let i = at(x0, this.box[0], this.dx); i <= at(x1, this.box[0], this.dx); i++) {
      for (let k = at(y0, this.box[1], this.dy); k <= at(y1, this.box[1], this.dy); k++) visit(i * this.n + k);
    }
  }

  near(x0, y0, x1, y1) {
    const found = new Set();
    this.#each(x0, y0, x1, y1, key => this.cells.get(key)?.forEach(i => found.add(i)));
    return found;
  }
}

/** Makes a drawing and ties it to a component of the page. */
export function create(canvas, page, options) {
  const drawing = new Drawing(canvas, (name, ...values) => page.invokeMethodAsync(name, ...values).catch(() => { }), options);
  canvas.drawing = drawing;
  return drawing;
}
