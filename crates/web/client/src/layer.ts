// One layer of a part: the drawing follows the slider. Without script it is a form and links.

import { followHeight, tellHeight } from './height';
import { tell } from './tell';
import { decimal, say } from './words';

/** The drawing is fetched when the slider has rested for this long. */
const REST_MS = 120;

/** Enhances the page's `form[data-layer-form]`, if it has one. */
export function layer(): void {
  const form = document.querySelector<HTMLFormElement>('form[data-layer-form]');
  const range = form?.querySelector<HTMLInputElement>('input[type=range]');
  if (form && range) new Layers(form, range);
}

class Layers {
  private timer = 0;
  private asked: AbortController | null = null;
  private readonly first: number;
  private readonly rise: number;

  constructor(
    private readonly form: HTMLFormElement,
    private readonly range: HTMLInputElement,
  ) {
    this.first = Number(form.dataset['first']);
    this.rise = Number(form.dataset['rise']);
    form.querySelector<HTMLElement>('[data-layer-go]')?.setAttribute('hidden', '');
    range.autocomplete = 'off';
    range.addEventListener('input', () => {
      this.moved();
      tellHeight(this.height(), 'layer');
    });
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      void this.load();
    });
    document.addEventListener('click', (event) => this.clicked(event));
    followHeight((mm, from) => {
      if (from !== 'cut') return;
      range.value = String(this.at(mm));
      this.moved();
    });
    this.says();
  }

  /** Middle of the layer, mm above the bed. */
  private height(): number {
    const n = Number(this.range.value);
    return n <= 1 ? this.first / 2 : this.first + (n - 1.5) * this.rise;
  }

  /** The layer in which a height lies. */
  private at(mm: number): number {
    return mm < this.first ? 1 : Math.floor((mm - this.first) / this.rise + 1e-6) + 2;
  }

  /** Links to layers are followed in place. */
  private clicked(event: MouseEvent): void {
    const link = event.target instanceof Element ? event.target.closest<HTMLElement>('[data-layer-step], [data-layer-to]') : null;
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
    const { layerStep, layerTo } = link.dataset;
    event.preventDefault();
    this.range.value = String(layerTo ?? Number(this.range.value) + Number(layerStep));
    this.says();
    tellHeight(this.height(), 'layer');
    clearTimeout(this.timer);
    void this.load(layerStep);
    if (layerTo) {
      document.getElementById('layer')?.scrollIntoView({ block: 'nearest' });
      this.range.focus({ preventScroll: true });
    }
  }

  private moved(): void {
    this.says();
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.load(), REST_MS);
  }

  private says(): void {
    const { value, max } = this.range;
    const shown = this.form.querySelector('[data-layer-says]');
    if (shown) shown.textContent = say("client-layer").with("n", value).with("all", max).text;
    const mm = decimal(this.height(), 1);
    this.range.setAttribute('aria-valuetext', say("client-layer-height").with("n", value).with("all", max).with("mm", mm).text);
    this.form.dataset['height'] = String(Math.round(100 * this.height()) / 100);
  }

  /** Fetches the layer's own page and puts its drawing in the place of the old one. */
  private async load(step?: string): Promise<void> {
    this.asked?.abort();
    const asked = (this.asked = new AbortController());
    const query = new URLSearchParams(new FormData(this.form) as unknown as Record<string, string>);
    try {
      const answer = await fetch(`${this.form.dataset['plain']}?${query}`, { signal: asked.signal });
      const page = new DOMParser().parseFromString(await answer.text(), 'text/html');
      const [fresh, old] = [page, document].map((one) => one.querySelector<HTMLElement>('[data-layer-shown]'));
      if (!answer.ok || !fresh || !old) throw new Error('no layer');
      old.replaceWith(document.adoptNode(fresh));
      this.ownLinks(fresh);
      this.settled(fresh, step);
    } catch {
      if (!asked.signal.aborted) tell(say("client-layer-missing").text);
    }
  }

  /** Links go on leading to this page and not to the one that was asked. */
  private ownLinks(shown: HTMLElement): void {
    for (const link of shown.querySelectorAll<HTMLAnchorElement>('a[data-layer-step]')) {
      link.href = this.form.action + new URL(link.href, location.href).search;
    }
  }

  /** A link that was pressed has been replaced: its successor has the focus, and the layer is told. */
  private settled(shown: HTMLElement, step?: string): void {
    if (step === undefined) return;
    const links = shown.querySelectorAll<HTMLElement>('[data-layer-step]');
    const same = [...links].find((link) => link.dataset['layerStep'] === step) ?? links[0];
    same?.focus({ preventScroll: true });
    tell(shown.querySelector('.layer__says')?.textContent ?? '');
  }
}
