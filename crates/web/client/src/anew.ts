// Somebody has changed their language on another page: one that lies open is loaded anew when a part of it
// comes in the other language, so that its scripts speak it too. What somebody has typed is not thrown away.

import htmx from './htmx';

/** Looks at every part that is about to be put in. */
export function anew(): void {
  htmx.on('htmx:beforeSwap', (event) => {
    const { detail } = event as CustomEvent;
    const answer: unknown = detail.xhr;
    if (!detail.shouldSwap || !(answer instanceof XMLHttpRequest)) return;
    const tongue = answer.getResponseHeader('content-language');
    if (!tongue || tongue === document.documentElement.lang) return;
    // A page that a form's answer shows may have an address that nothing can be read from.
    const here = new URL(answer.responseURL, location.href).pathname === location.pathname;
    if (!here || isHalfFilled()) return;
    detail.shouldSwap = false;
    // Not `reload`, which would ask whether a form is to be sent once more.
    location.replace(location.pathname + location.search);
  });
}

/** Whether something was typed or chosen that a new page would not have. */
function isHalfFilled(): boolean {
  const fields = document.querySelectorAll('input, select, textarea');
  // With what was wrong comes what was typed.
  return document.querySelector('.errors') !== null || [...fields].some(isChanged);
}

function isChanged(field: Element): boolean {
  if (field instanceof HTMLSelectElement) {
    const chosen = [...field.options].findIndex((option) => option.defaultSelected);
    return field.selectedIndex !== Math.max(chosen, field.size > 1 ? -1 : 0);
  }
  if (field instanceof HTMLTextAreaElement) return field.value !== field.defaultValue;
  if (!(field instanceof HTMLInputElement) || field.type === 'hidden') return false;
  const pressed = field.type === 'checkbox' || field.type === 'radio';
  return pressed ? field.checked !== field.defaultChecked : field.value !== field.defaultValue;
}
