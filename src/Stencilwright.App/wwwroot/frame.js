// Taking hold of a board or of a blank's edge on the drawing of frame and film.

import { STYLES } from './drawing.js';

const GRAB_PX = 7;

Object.assign(STYLES, {
  neighbour: { stroke: 'quiet', weight: 1.25, dash: [12, 3, 2, 3, 2, 3] },
  'near-edge': { fill: 'paper', hatch: ['marginal', 1, 5], stroke: 'marginal', weight: 1.75 },
  tape: { fill: 'film', stroke: 'quiet', weight: 1, dash: [6, 3] },
  'score-mark': { stroke: 'score', weight: 1, dash: [1, 1.6] },
});

export function extend(drawing) { return new Hands(drawing); }

class Hands {
  constructor(drawing) {
    this.drawing = drawing;
    this.ghost = null;
    drawing.onGrab = (x, y, e) => drawing.tool === 'measure' ? null : this.#grab(x, y, e);
    drawing.overlays.push(c => this.#draw(c));
    drawing.canvas.addEventListener('pointermove', e => this.#cursor(e), { signal: drawing.stopped.signal });
  }

  /** Who is told, and to which step in millimetres a hand is held. */
  attach(page, stepMm) { this.page = page; this.stepMm = stepMm; }

  #box(name) { return this.drawing.layer(name)?.shapes[0]?.box; }

  /** What lies under a place: an edge of a blank first, then a board. */
  #under(x, y) {
    const near = GRAB_PX / this.drawing.view.scale;
    for (const sheet of ['frame', 'film']) {
      const b = this.#box(sheet + '-blank');
      if (!b || x < b[0] - near || x > b[2] + near || y < b[1] - near || y > b[3] + near) continue;
      const sides = { left: Math.abs(x - b[0]), right: Math.abs(x - b[2]), bottom: Math.abs(y - b[1]), top: Math.abs(y - b[3]) };
      const [side, distance] = Object.entries(sides).reduce((m, s) => s[1] < m[1] ? s : m);
      if (distance < near) return { sheet, side, box: b };
      const board = this.#box(sheet + '-board');
      if (board && x > board[0] && x < board[2] && y > board[1] && y < board[3]) return { sheet, side: null, box: board };
    }
    return null;
  }

  #cursor(e) {
    if (!this.drawing.scene || e.buttons) return;
    const found = this.drawing.tool === 'measure' ? null : this.#under(...this.drawing.toSheet(e.offsetX, e.offsetY));
    this.drawing.canvas.style.cursor = !found ? '' : !found.side ? 'move' : found.side === 'left' || found.side === 'right' ? 'ew-resize' : 'ns-resize';
  }

  #held(mm) { return Math.round(mm / this.stepMm) * this.stepMm; }

  #grab(x, y, e) {
    const found = this.page && this.#under(x, y);
    if (!found) return null;
    const b = found.box;
    const at = (px, py) => {
      const [dx, dy] = [this.#held(px - x), this.#held(py - y)];
      if (!found.side) return { ...found, dx, dy, box: [b[0] + dx, b[1] + dy, b[2] + dx, b[3] + dy] };
      const grow = { left: [-dx, 0], right: [dx, 0], bottom: [0, -dy], top: [0, dy] }[found.side];
      const [w, h] = [Math.max(10, this.#held(b[2] - b[0] + grow[0])), Math.max(10, this.#held(b[3] - b[1] + grow[1]))];
      const box = [found.side === 'left' ? b[2] - w : b[0], found.side === 'bottom' ? b[3] - h : b[1], found.side === 'left' ? b[2] : b[0] + w, found.side === 'bottom' ? b[3] : b[1] + h];
      return { ...found, w: grow[0] ? w : b[2] - b[0], h: grow[1] ? h : b[3] - b[1], box };
    };
    return {
      move: (px, py) => { this.ghost = at(px, py); },
      drop: (px, py, moved) => {
        this.ghost = null;
        if (!moved) return;
        const end = at(px, py);
        if (end.side) this.page.invokeMethodAsync('Sized', end.sheet, end.w, end.h);
        else if (end.dx || end.dy) this.page.invokeMethodAsync('Moved', end.sheet, end.dx, end.dy);
      },
    };
  }

  #draw(c) {
    if (!this.ghost) return;
    const d = this.drawing, g = this.ghost, [x0, y0, x1, y1] = g.box;
    c.strokeStyle = d.inks.accent;
    c.lineWidth = 2 / d.view.scale;
    c.setLineDash([8 / d.view.scale, 4 / d.view.scale]);
    c.strokeRect(x0, y0, x1 - x0, y1 - y0);
    c.setLineDash([]);
    c.save();
    c.setTransform(d.ratio, 0, 0, d.ratio, 0, 0);
    const out = 22 / d.view.scale;
    if (g.side) {
      if (g.side === 'left' || g.side === 'right') d.dimension(c, [x0, y1], [x1, y1], [x0, y1 + out], [x1, y1 + out], x1 - x0);
      else d.dimension(c, [x1, y0], [x1, y1], [x1 + out, y0], [x1 + out, y1], y1 - y0);
    } else {
      const blank = this.#box(g.sheet + '-blank');
      const [mx, my] = [(x0 + x1) / 2, (y0 + y1) / 2];
      for (const [from, to] of [[[blank[0], my], [x0, my]], [[x1, my], [blank[2], my]], [[mx, blank[1]], [mx, y0]], [[mx, y1], [mx, blank[3]]]]) {
        const mm = Math.hypot(to[0] - from[0], to[1] - from[1]);
        if (mm * d.view.scale > 24) d.dimension(c, from, to, from, to, mm);
      }
    }
    c.restore();
  }
}
