// Sending files: drop them anywhere on the sheet, see what goes out, and wait with a word.

import { tell } from './tell';
import { decimal, say } from './words';

/** What one sending may hold, in bytes; the server has the same limit. */
const MOST_BYTES = 100_000_000;

/** Enhances every `form[data-send]`. `once` stops the second submit. */
export function send(): void {
  for (const form of document.querySelectorAll<HTMLFormElement>('form[data-send]')) {
    const input = form.querySelector<HTMLInputElement>('input[type=file]');
    if (!input) continue;
    const shown = () => {
      list(form, [...(input.files ?? [])]);
      return fits(form, input);
    };
    input.addEventListener('change', shown);
    form.addEventListener('submit', (event) => {
      if (shown()) return;
      event.preventDefault();
      input.focus();
    });
    form.addEventListener('once:away', () => busy(form, true));
    form.addEventListener('once:back', () => busy(form, false));
    drops(form, input);
    shown(); // the browser may have kept the choice over a reload
  }
}

function drops(form: HTMLFormElement, input: HTMLInputElement): void {
  const zone = form.closest<HTMLElement>('[data-drop]') ?? document.querySelector<HTMLElement>('[data-drop]');
  if (!zone) return;
  const mark = (over: boolean) => zone.classList.toggle('is-over', over);
  // Beside the zone a dropped file would replace the page; nobody wants that here.
  document.addEventListener('dragover', (event) => {
    if (!event.dataTransfer?.types.includes('Files')) return;
    event.preventDefault();
    const inside = event.target instanceof Node && zone.contains(event.target);
    event.dataTransfer.dropEffect = inside ? 'copy' : 'none';
    mark(inside);
  });
  document.addEventListener('dragleave', (event) => {
    if (!event.relatedTarget) mark(false);
  });
  document.addEventListener('drop', (event) => {
    mark(false);
    if (!event.dataTransfer?.types.includes('Files')) return;
    event.preventDefault();
    const inside = event.target instanceof Node && zone.contains(event.target);
    if (inside && event.dataTransfer.files.length > 0) {
      input.files = taken(event.dataTransfer.files, input.multiple);
      input.dispatchEvent(new Event('change', { bubbles: true }));
    }
  });
}

function taken(files: FileList, several: boolean): FileList {
  const first = files[0];
  if (several || files.length < 2 || !first) return files;
  const one = new DataTransfer();
  one.items.add(first);
  return one.files;
}

function list(form: HTMLFormElement, files: File[]): void {
  const place = form.querySelector('[data-files]');
  place?.replaceChildren(
    ...files.map((file) => {
      const line = document.createElement(place.matches('ul, ol') ? 'li' : 'p');
      line.textContent = `${file.name}, ${size(file.size)}`;
      return line;
    }),
  );
  if (files.length > 0) tell(files.map((file) => `${file.name}, ${size(file.size)}`).join('; '));
}

/** Says in words what is too large; true if all can go out. */
function fits(form: HTMLFormElement, input: HTMLInputElement): boolean {
  const words = tooLarge([...(input.files ?? [])]);
  const place = form.querySelector<HTMLElement>('[data-too-large]');
  if (place) {
    place.textContent = words;
    place.hidden = words === '';
  }
  if (words === '') input.removeAttribute('aria-invalid');
  else input.setAttribute('aria-invalid', 'true');
  return words === '';
}

function tooLarge(files: File[]): string {
  const big = files.find((file) => file.size > MOST_BYTES);
  if (big) {
    return say("client-file-too-large").with("name", big.name).with("size", size(big.size)).text;
  }
  const all = files.reduce((sum, file) => sum + file.size, 0);
  if (all > MOST_BYTES) {
    return say("client-files-too-large").with("size", size(all)).text;
  }
  return '';
}

/** `612 bytes`, `84 kB`, `1.2 MB`. Never rounded down to the limit. */
export function size(bytes: number): string {
  if (bytes < 1_000) return (bytes === 1 ? say("client-byte") : say("client-bytes").with("n", bytes)).text;
  if (bytes < 999_500) return `${Math.round(bytes / 1_000)} kB`;
  return `${decimal(Math.ceil(bytes / 100_000) / 10)} MB`;
}

function busy(form: HTMLFormElement, away: boolean): void {
  const button = form.querySelector<HTMLButtonElement>('button[data-busy]');
  const text = button && [...button.childNodes].findLast((node) => node instanceof Text && node.data.trim() !== '');
  if (!button || !(text instanceof Text)) return;
  if (away) {
    // Not `disabled`: the button would lose the focus, and its value would not be sent.
    button.setAttribute('aria-disabled', 'true');
    button.dataset['rest'] ??= text.data;
    text.data = button.dataset['busy'] ?? text.data;
    tell(text.data);
  } else {
    button.removeAttribute('aria-disabled');
    text.data = button.dataset['rest'] ?? text.data;
  }
}
