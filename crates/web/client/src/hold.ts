// A part of a page is made anew under people's hands: the focus, what they chose and what they opened stay.

/** Where an element is, to be found again: its row and what it is. */
interface Place {
  id: string;
  row: string | undefined;
  tag: string;
  what: string;
}

type Field = HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement;

const PRESSED = 'input[type=radio], input[type=checkbox]';

function what(of: Element): string {
  if (of.matches('[data-row]')) return 'row';
  const text = of.matches('input, select, textarea') ? '' : (of.textContent ?? '').trim();
  const form = of.closest('form')?.querySelector<HTMLInputElement>('input[name=act]')?.value;
  // Those of one question differ in what they stand for alone.
  const value = of.matches(PRESSED) ? of.getAttribute('value') : null;
  return [of.getAttribute('name'), of.getAttribute('href'), form, text, value].join('|');
}

function placeOf(element: Element): Place {
  const row = element.closest<HTMLElement>('[data-row]')?.dataset['row'];
  return { id: element.id, row, tag: element.tagName, what: what(element) };
}

function rowIn(root: Element, row: string | undefined): HTMLElement | null {
  return row === undefined ? null : root.querySelector<HTMLElement>(`[data-row="${CSS.escape(row)}"]`);
}

function found(root: Element, place: Place): HTMLElement | null {
  const here = place.row === undefined ? root : rowIn(root, place.row);
  if (!here) return null;
  if (here instanceof HTMLElement && here.tagName === place.tag && what(here) === place.what) return here;
  const all = [...here.querySelectorAll<HTMLElement>(place.tag)];
  const named = place.id ? all.find((one) => one.id === place.id) : undefined;
  return named ?? all.find((one) => what(one) === place.what) ?? null;
}

/** Whether somebody has changed a field that is not on its way to the server. A file can't be put into another field. */
function changed(field: Field): boolean {
  if (field.type === 'hidden' || field.type === 'file' || field.form?.ariaBusy === 'true') return false;
  if (field instanceof HTMLSelectElement) {
    const first = [...field.options].find((one) => one.defaultSelected) ?? field.options[0];
    return field.value !== first?.value;
  }
  if (field instanceof HTMLInputElement && field.matches(PRESSED)) return field.checked !== field.defaultChecked;
  return field.value !== field.defaultValue;
}

function putBack(root: Element, place: Place, value: string, checked: boolean): void {
  const field = found(root, place);
  if (field instanceof HTMLSelectElement) {
    // What can't be chosen any more is not.
    if ([...field.options].some((one) => one.value === value)) field.value = value;
  } else if (field instanceof HTMLTextAreaElement) {
    field.value = value;
  } else if (field instanceof HTMLInputElement) {
    if (field.matches(PRESSED)) field.checked = checked;
    else field.value = value;
  }
}

/** Puts the focus on what can't have it by itself, so that the next Tab goes on from there. */
function put(on: HTMLElement, seen: boolean): void {
  if (!on.matches('a[href], button, input, select, textarea, summary')) on.tabIndex = -1;
  // With keys the place is brought into sight; under a finger nothing may jump.
  on.focus({ preventScroll: !seen });
}

const GOES_ON = 'partpledge-goes-on';

/** Who works with keys leaves this page for a moment: on the next, the focus goes to that row, or to what is to be done now. */
export function goesOn(row: string): void {
  if (document.activeElement?.matches(':focus-visible')) sessionStorage.setItem(GOES_ON, row);
}

/** Puts the focus where `goesOn` wanted it, once. */
export function goOn(sheet: Element | null): void {
  const row = sessionStorage.getItem(GOES_ON);
  if (row === null || !sheet) return;
  sessionStorage.removeItem(GOES_ON);
  const on = rowIn(sheet, row) ?? sheet.querySelector<HTMLElement>('.job--now');
  if (on && document.activeElement === document.body) put(on, true);
}

/**
 * Holds what people have in hand in `root`; what it gives back puts it into the part that took its place.
 * The focus goes to the same control; if that has done its work, to what is to be done now, or to its own row.
 */
export function hold(root: Element): (into?: Element | null) => void {
  const active = document.activeElement;
  const focus = active instanceof HTMLElement && root.contains(active) ? placeOf(active) : null;
  // The row of what was to be done now: with a new sheet that may be another.
  const onNow = active?.matches('.job--now') ?? false;
  const seen = active?.matches(':focus-visible') ?? false;
  const opened = [...root.querySelectorAll('details[open] > summary')];
  const open = opened.map((summary) => placeOf(summary.parentElement?.id ? summary.parentElement : summary));
  const fields = [...root.querySelectorAll<Field>('input, select, textarea')].filter(changed);
  const values = fields.map((field) => ({
    place: placeOf(field),
    value: field.value,
    checked: field instanceof HTMLInputElement && field.checked,
  }));
  return (into = root) => {
    if (!into) return;
    if (into !== root) {
      for (const one of open) found(into, one)?.closest('details')?.setAttribute('open', '');
      for (const { place, value, checked } of values) putBack(into, place, value, checked);
    }
    // A row that was to be done now may have been done meanwhile and still be there.
    const over = onNow && !active?.matches('.job--now');
    if (!focus || (active?.isConnected && !over)) return;
    // Somebody has it elsewhere by now.
    if (document.activeElement && document.activeElement !== document.body && !into.contains(document.activeElement)) return;
    const now = into.querySelector<HTMLElement>('.job--now');
    const on = (onNow ? now : null) ?? found(into, focus) ?? now ?? rowIn(into, focus.row) ?? into;
    if (on instanceof HTMLElement && on !== document.activeElement) put(on, seen);
  };
}
