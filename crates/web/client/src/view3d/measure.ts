// Measuring between two points of the part: by pointer, finger, or a cross that arrow keys move.

import type { Vector3 } from 'three';
import { decimal, say } from '../words';
import type { Scene } from './scene';

const SVG = 'http://www.w3.org/2000/svg';
/** A corner this near is taken, px: for a mouse or keys, and for a finger. */
const [SNAP_PX, SNAP_FINGER_PX] = [14, 26];
const [STEP_PX, SMALL_STEP_PX] = [12, 1];
const ARROWS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** The controls of `[data-measure]`, and what is drawn over the part. */
export class Measure {
  active = false;
  private scene: Scene | null = null;
  private points: Vector3[] = [];
  private cross = { x: 0, y: 0 };
  private readonly field: HTMLElement | null;
  private readonly over = document.createElementNS(SVG, 'svg');

  constructor(
    host: HTMLElement,
    private readonly stage: HTMLElement,
    private readonly canvas: HTMLElement,
    signal: AbortSignal,
  ) {
    this.field = host.querySelector<HTMLElement>('[data-measure]');
    this.over.setAttribute('class', 'view3d__over');
    this.over.setAttribute('aria-hidden', 'true');
    const on = this.find('[data-measure-on]');
    on?.addEventListener('click', () => this.turn(!this.active), { signal });
    this.find('[data-measure-clear]')?.addEventListener('click', () => {
      this.clear();
      this.says(say("client-cleared").text);
      on?.focus();
    }, { signal });
    canvas.addEventListener('focus', () => this.lay(), { signal });
    canvas.addEventListener('blur', () => this.lay(), { signal });
  }

  /** The part is on the stage, and so far from the real one, mm; null when it has gone. */
  on(scene: Scene | null, withinMm: number | null = null): void {
    this.scene = scene;
    if (!scene) {
      this.over.remove();
      return;
    }
    this.stage.append(this.over);
    const within = this.find('[data-measure-within]');
    if (!within || withinMm === null) return;
    within.hidden = false;
    within.textContent = say("client-within").with("mm", decimal(Math.max(0.01, withinMm), 2)).text;
  }

  private find<E extends HTMLElement>(what: string): E | null {
    return this.field?.querySelector<E>(what) ?? null;
  }

  private turn(on: boolean): void {
    this.active = on;
    this.find('[data-measure-on]')?.setAttribute('aria-pressed', String(on));
    const how = this.find('[data-measure-how]');
    if (how) how.hidden = !on;
    this.stage.classList.toggle('is-measured', on);
    this.cross = { x: this.stage.clientWidth / 2, y: this.stage.clientHeight / 2 };
    if (on) this.says(say("client-first-place").text);
    else {
      this.clear();
      this.says('');
    }
  }

  private clear(): void {
    this.points = [];
    this.show();
    this.lay();
  }

  private says(text: string): void {
    const line = this.find('[data-measure-says]');
    if (line) line.textContent = text;
  }

  /** A key while measuring; true if it was one of ours. */
  key(event: KeyboardEvent): boolean {
    if (!this.active || event.ctrlKey || event.metaKey || event.altKey) return false;
    const way = ARROWS[event.key];
    if (way) {
      const step = event.shiftKey ? SMALL_STEP_PX : STEP_PX;
      const within = (value: number, most: number) => Math.min(most, Math.max(0, value));
      this.cross.x = within(this.cross.x + way[0] * step, this.stage.clientWidth);
      this.cross.y = within(this.cross.y + way[1] * step, this.stage.clientHeight);
      this.lay();
    } else if (event.key === 'Enter' || event.key === ' ') {
      this.tap(this.cross.x, this.cross.y, false);
    } else if (event.key === 'Escape') {
      this.turn(false);
      this.find('[data-measure-on]')?.focus();
    } else return false;
    return true;
  }

  /** A point of the stage, in px. */
  tap(x: number, y: number, coarse: boolean): void {
    if (!this.active || !this.scene) return;
    this.cross = { x, y };
    const place = this.scene.pick(x, y, coarse ? SNAP_FINGER_PX : SNAP_PX);
    if (!place) {
      this.says(say("client-nothing-there").text);
      this.lay();
      return;
    }
    if (this.points.length === 2) this.points = [];
    this.points.push(place);
    this.show();
    this.lay();
  }

  /** The numbers beside the view. */
  private show(): void {
    const [a, b] = this.points;
    const result = this.find('[data-measure-result]');
    const clear = this.find('[data-measure-clear]');
    if (clear) clear.hidden = !a;
    if (result) result.hidden = !b;
    if (a && !b) this.says(say("client-second-place").text);
    if (!a || !b) return;
    const apart = { all: a.distanceTo(b), x: Math.abs(a.x - b.x), y: Math.abs(a.y - b.y), z: Math.abs(a.z - b.z) };
    for (const [name, mm] of Object.entries(apart)) {
      const place = this.find(`[data-of="${name}"]`);
      if (place) place.textContent = millimetres(mm);
    }
    this.says(say("client-apart").with("mm", millimetres(apart.all)).text);
  }

  /** Draws the cross, the points and the line where they stand now. */
  lay(): void {
    this.over.replaceChildren();
    const { scene } = this;
    if (!scene || !this.active) return;
    const draw = (name: string, from: Record<string, number | string>, text = '') => {
      const made = document.createElementNS(SVG, name);
      Object.entries(from).forEach(([key, value]) => made.setAttribute(key, String(value)));
      made.textContent = text;
      this.over.append(made);
    };
    const spots = this.points.map((place) => scene.seen(place));
    const [a, b] = spots;
    if (a && b) {
      draw('path', { class: 'view3d__halo', d: `M${a.x} ${a.y}L${b.x} ${b.y}` });
      draw('path', { class: 'view3d__line', d: `M${a.x} ${a.y}L${b.x} ${b.y}` });
    }
    for (const { x, y } of spots) draw('path', { class: 'view3d__point', d: `M${x} ${y - 8}l8 8-8 8-8-8z` });
    if (a && b) {
      const [x, y] = this.inside((a.x + b.x) / 2 + 12, (a.y + b.y) / 2 - 10);
      draw('text', { class: 'view3d__says', x, y }, millimetres(this.points[0]?.distanceTo(this.points[1] ?? this.points[0]) ?? 0));
    }
    if (document.activeElement === this.canvas) {
      const { x, y } = this.cross;
      for (const kind of ['halo', 'cross']) {
        draw('path', { class: `view3d__${kind}`, d: `M${x - 18} ${y}h13m10 0h13M${x} ${y - 18}v13m0 10v13` });
      }
    }
  }

  /** A place for a word of some 80 px that is wholly on the stage. */
  private inside(x: number, y: number): [number, number] {
    const { clientWidth, clientHeight } = this.stage;
    return [Math.max(4, Math.min(x, clientWidth - 84)), Math.max(20, Math.min(y, clientHeight - 6))];
  }
}

/** With one digit, or two for what is small. */
function millimetres(mm: number): string {
  return `${decimal(mm, mm < 9.995 ? 2 : 1)} mm`;
}
