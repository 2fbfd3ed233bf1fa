// Forms that go out once: while the first submit is under way, a second is stopped.

const under = new WeakSet<HTMLFormElement>();

/** Guards every `form[data-once]` and `form[data-send]`, those that come with a swap too. */
export function once(): void {
  document.addEventListener(
    'submit',
    (event) => {
      const form = guarded(event);
      if (form && under.has(form)) {
        event.preventDefault();
        event.stopImmediatePropagation();
      }
    },
    true,
  );
  // At the very end, so that a form which another module refused is not marked.
  addEventListener('submit', (event) => {
    const form = guarded(event);
    if (!form) return;
    // htmx prevents the browser's submit and sends the form itself.
    if (event.defaultPrevented && !form.matches('[hx-post], [hx-get]')) return;
    under.add(form);
    form.dispatchEvent(new CustomEvent('once:away', { bubbles: true }));
  });
  document.addEventListener('htmx:afterRequest', (event) => {
    if (event.target instanceof HTMLFormElement) release(event.target);
  });
  // Back through the browser's page cache: the form is as it was, but it may go again.
  addEventListener('pageshow', (event) => {
    if (event.persisted) document.querySelectorAll('form').forEach(release);
  });
}

function guarded(event: Event): HTMLFormElement | null {
  const form = event.target;
  return form instanceof HTMLFormElement && form.matches('[data-once], [data-send]') ? form : null;
}

function release(form: HTMLFormElement): void {
  if (under.delete(form)) form.dispatchEvent(new CustomEvent('once:back', { bubbles: true }));
}
