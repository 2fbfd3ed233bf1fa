// Sizes that are measured on copies, judged while they are typed: a tablet without network can't ask.
// The server judges them again by the same rule, in whole thousandths of a millimetre.

import { decimal, say } from '../words';

/** Thousandths of a millimetre, from millimetres with a point or a comma; nothing for what is no size. */
export function micrometres(text: string): number | null {
  const read = /^\+?(\d{0,5})(?:[.,](\d{0,3}))?$/.exec(text.trim().replace(/\s*mm$/, ''));
  if (!read || !(read[1] || read[2])) return null;
  const size = Number(read[1] || 0) * 1_000 + Number((read[2] ?? '').padEnd(3, '0'));
  return size > 0 ? size : null;
}

/** `0.12 mm too large`, or nothing when it is on or between its limits. */
export function outside(um: number, least: number, most: number): string {
  if (um > most) return say("client-too-large").with("mm", decimal((um - most) / 1_000)).text;
  return um < least ? say("client-too-small").with("mm", decimal((least - um) / 1_000)).text : '';
}

/** What can be done about a copy outside its limits: one that was held or recalled is good or scrap. */
function says(by: string, copy: Element | null): string {
  const rework = copy?.querySelector('input[type="radio"][value="rework"]');
  return (rework ? say("client-outside").with("by", by) : say("client-outside-again").with("by", by)).text;
}

/** What is wrong with a size on a copy, in words; nothing when that copy may be what it is called. */
function wrong(input: HTMLInputElement, good: boolean): string {
  const text = input.value.trim();
  const { form } = input;
  if (!text) {
    if (!good) return '';
    // It was outside when it was measured last: no reason takes the place of another size.
    const again = form?.dataset['again']?.split(' ').includes(input.name);
    if (again) return say("client-was-outside").text;
    const not = form?.elements.namedItem(`not-${input.name}`);
    const told = not instanceof HTMLSelectElement && not.value !== '';
    const need = form?.dataset['unmeasured'] === undefined;
    return told || !need ? '' : say("client-measure-it").text;
  }
  const um = micrometres(text);
  if (um === null) return say("client-no-size").with("text", text).text;
  const by = outside(um, Number(input.dataset['least']), Number(input.dataset['most']));
  return by && good ? says(by, input.closest('[data-measured]')) : '';
}

function sizes(copy: Element): HTMLInputElement[] {
  return [...copy.querySelectorAll<HTMLInputElement>('input[data-least]')];
}

function isGood(copy: HTMLElement, form: HTMLFormElement): boolean {
  return new FormData(form).get(copy.dataset['measured'] ?? '') === 'good';
}

/** Whether all copies of a form that are called good are within their limits; the first that is not is shown. */
export function withinLimits(form: HTMLFormElement): boolean {
  for (const copy of form.querySelectorAll<HTMLElement>('[data-measured]')) {
    for (const input of sizes(copy)) input.setCustomValidity(wrong(input, isGood(copy, form)));
  }
  return form.reportValidity();
}

/** Says under each size that is outside, as soon as it is typed, by how much. */
export function measuring(): void {
  document.addEventListener('input', ({ target }) => {
    const copy = target instanceof Element && target.closest<HTMLElement>('[data-measured]');
    if (!copy) return;
    for (const input of sizes(copy)) {
      input.setCustomValidity('');
      const said = copy.querySelector<HTMLElement>(`[data-says="${input.name}"]`);
      const um = micrometres(input.value);
      const by = um === null ? '' : outside(um, Number(input.dataset['least']), Number(input.dataset['most']));
      if (!said) continue;
      said.hidden = !by;
      said.textContent = by && says(by, copy);
    }
  });
}
