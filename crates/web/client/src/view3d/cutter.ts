// The plane that cuts the part open: a choice of direction, a slider in mm, and which side stays.

import { followHeight, tellHeight } from '../height';
import { tell } from '../tell';
import { decimal, say } from '../words';
import type { Cut } from './pick';
import type { Scene } from './scene';

const AXES = ['x', 'y', 'z'] as const;
/** A choice is read out when it has been left alone for this long. */
const SAY_MS = 500;

/** The controls of `[data-cut]`. */
export class Cutter {
  private readonly field: HTMLElement | null;
  private readonly range: HTMLInputElement | null;
  private scene: Scene | null = null;
  private keep: Cut['keep'] = 'low';
  private timer = 0;

  constructor(
    host: HTMLElement,
    private readonly changed: () => void,
    signal: AbortSignal,
  ) {
    this.field = host.querySelector<HTMLElement>('[data-cut]');
    this.range = this.find<HTMLInputElement>('input[type=range]');
    if (!this.field || !this.range) return;
    this.field.addEventListener('change', (event) => {
      if (event.target instanceof HTMLInputElement && event.target.type === 'radio') this.choose();
    }, { signal });
    this.range.addEventListener('input', () => {
      this.lay();
      if (this.axis() === 'z') tellHeight(this.at(), 'cut');
    }, { signal });
    this.find('[data-cut-flip]')?.addEventListener('click', () => {
      this.keep = this.keep === 'low' ? 'high' : 'low';
      this.lay();
      this.saySoon();
    }, { signal });
    followHeight((mm, from) => {
      if (from === 'cut' || this.axis() !== 'z' || !this.range) return;
      this.range.value = String(mm);
      this.lay();
    }, signal);
  }

  /** The part is on the stage; null when it has gone. */
  on(scene: Scene | null): void {
    this.scene = scene;
    if (scene) this.lay();
  }

  private find<E extends HTMLElement>(what: string): E | null {
    return this.field?.querySelector<E>(what) ?? null;
  }

  private chosen(): HTMLInputElement | null {
    return this.find<HTMLInputElement>('input[type=radio][data-axis]:checked');
  }

  private axis(): string {
    return this.chosen()?.dataset['axis'] ?? '';
  }

  /** In mm from the part's own edge: the bed, its left, its front. */
  private at(): number {
    return Number(this.range?.value ?? 0);
  }

  /** Another direction: the plane begins in the middle, or at the layer that is shown. */
  private choose(): void {
    const chosen = this.chosen();
    if (chosen && this.range) {
      this.range.max = chosen.dataset['long'] ?? '1';
      const layer = document.querySelector<HTMLElement>('[data-layer-form]')?.dataset['height'];
      const middle = Number(this.range.max) / 2;
      this.range.value = String(this.axis() === 'z' && layer ? Number(layer) : Math.round(10 * middle) / 10);
      const from = this.find('[data-cut-from]');
      if (from) from.textContent = chosen.dataset['from'] ?? '';
      // Where the viewer stands at first, the right and the front of the part are near: those go.
      this.keep = this.axis() === 'y' ? 'high' : 'low';
    }
    this.lay();
    if (this.axis() === 'z') tellHeight(this.at(), 'cut');
    this.saySoon();
  }

  private lay(): void {
    const place = this.find('[data-cut-at]');
    const axis = AXES.indexOf(this.axis() as 'x');
    if (place) place.hidden = axis < 0;
    const says = `${decimal(this.at(), 1)} mm`;
    const shown = this.find('[data-cut-says]');
    if (shown) shown.textContent = says;
    this.range?.setAttribute('aria-valuetext', says);
    if (!this.scene) return;
    const edge = axis < 0 ? 0 : this.scene.box.min.getComponent(axis);
    this.scene.setCut(axis < 0 ? null : { axis: axis as Cut['axis'], at: edge + this.at(), keep: this.keep });
    this.changed();
  }

  private saySoon(): void {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => tell(this.state()), SAY_MS);
  }

  private state(): string {
    const chosen = this.chosen();
    if (!chosen) return say("client-whole").text;
    const stays = {
      z: [say("client-lower-stays"), say("client-upper-stays")],
      x: [say("client-left-stays"), say("client-right-stays")],
      y: [say("client-front-stays"), say("client-back-stays")],
    }[this.axis()]?.[this.keep === 'low' ? 0 : 1];
    const cut = say("client-cut").with("mm", decimal(this.at(), 1)).with("from", chosen.dataset['from'] ?? '');
    return `${cut.text} ${stays?.text ?? ''}`;
  }
}
