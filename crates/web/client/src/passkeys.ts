// Passkeys: between a form and the device. Its form is hidden until it is known that the browser can.

import { say } from './words';

/** What the server says is wrong. */
interface Wrong {
  field: string;
  text: string;
}

/** Brings every `form[data-passkey]` to life; with `data-passkey-make` it makes one, else it finds one. */
export function passkeys(): void {
  // Browsers since about 2025 read and write the JSON themselves; to others there are no passkeys here.
  if (!('PublicKeyCredential' in window) || !('parseRequestOptionsFromJSON' in PublicKeyCredential)) return;
  document.querySelectorAll<HTMLElement>('[data-no-passkey]').forEach((text) => (text.hidden = true));
  for (const form of document.querySelectorAll<HTMLFormElement>('form[data-passkey]')) {
    form.hidden = false;
    let busy = false;
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      if (busy) return;
      busy = true;
      wrong(form, { field: '', text: '' });
      answer(form)
        .catch((error: unknown) => wrong(form, { field: '', text: why(error) }))
        .finally(() => (busy = false));
    });
  }
}

/** Asks the server what to ask the device, and sends what the device answers as the form. */
async function answer(form: HTMLFormElement): Promise<void> {
  const body = new URLSearchParams([...new FormData(form)].map(([name, value]) => [name, String(value)]));
  const asked = await fetch(form.dataset['passkey'] ?? '', { method: 'POST', body });
  // Signed out meanwhile: the page knows what to say.
  if (!asked.headers.get('content-type')?.startsWith('application/json')) return location.reload();
  if (!asked.ok) return wrong(form, (await asked.json()) as Wrong);
  const credential = await ask(form.hasAttribute('data-passkey-make'), await asked.json());
  const field = form.elements.namedItem('answer');
  if (!(credential instanceof PublicKeyCredential) || !(field instanceof HTMLInputElement)) throw new DOMException();
  field.value = JSON.stringify(credential.toJSON());
  // It has done its work.
  form.querySelectorAll<HTMLInputElement>('input[type=password]').forEach((input) => (input.value = ''));
  form.submit();
}

function ask(make: boolean, options: unknown): Promise<Credential | null> {
  return make
    ? navigator.credentials.create({
        publicKey: PublicKeyCredential.parseCreationOptionsFromJSON(options as PublicKeyCredentialCreationOptionsJSON),
      })
    : navigator.credentials.get({
        publicKey: PublicKeyCredential.parseRequestOptionsFromJSON(options as PublicKeyCredentialRequestOptionsJSON),
      });
}

function why(error: unknown): string {
  // Only `fetch` and what it brought fail otherwise.
  if (!(error instanceof DOMException)) return say("client-passkey-no-answer").text;
  const known = error.name === 'InvalidStateError';
  return (known ? say("client-passkey-known") : say("client-passkey-not-done")).text;
}

function wrong(form: HTMLFormElement, { field, text }: Wrong): void {
  const place = form.querySelector<HTMLElement>('[data-passkey-said]');
  if (place) place.textContent = text;
  for (const input of form.querySelectorAll('input')) {
    const bad = field !== '' && input.id === field;
    if (bad) input.setAttribute('aria-invalid', 'true');
    else input.removeAttribute('aria-invalid');
    input.closest('.field')?.classList.toggle('field--bad', bad);
    if (bad) input.focus();
  }
}
