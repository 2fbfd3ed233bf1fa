// Work at the bench with or without a network: what is ticked is kept on the tablet first and sent
// then, in order, each once. Loaded only by pages of the bench.

import { goOn, goesOn, hold } from './hold';
import htmx from './htmx';
import { keep } from './bench/keep';
import { measuring, withinLimits } from './bench/measuring';
import { type Outcome, sendAll } from './bench/sending';
import { isHanded, showOn } from './bench/sheet';
import { add, all, channel, clock, remove } from './bench/store';
import { list } from './bench/unsent';
import { tell } from './tell';
import { say } from './words';

/** While something is not sent, it is tried again this often. */
const AGAIN_MS = 15_000;
/** A form whose page is open waits so long for the answer before it leaves. */
const PATIENCE_MS = 4_000;
/** A sheet that was made longer ago than this when it is opened came from the tablet itself. */
const OLD_MS = 60_000;

let down = false;

/** Takes over the page's `form[data-queue]`s, if this browser can keep anything. */
export async function bench(): Promise<void> {
  try {
    await all();
  } catch {
    return; // A private window, perhaps: the forms go as they always did.
  }
  document.addEventListener('submit', taken, true);
  measuring();
  const again = () => void sent(false);
  addEventListener('online', again);
  addEventListener('offline', () => noNetwork(true));
  document.addEventListener('partpledge:network', (event) => {
    const { up } = (event as CustomEvent<{ up: boolean }>).detail;
    if (!up) noNetwork(true);
    else if (down) again();
  });
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState !== 'hidden') again();
  });
  channel.addEventListener('message', (event) => (event.data === 'held' ? noNetwork(true) : void show()));
  setInterval(() => void all().then((deeds) => (deeds.length > 0 || down) && again()), AGAIN_MS);
  htmx.on('htmx:load', (event) => {
    const element: unknown = (event as CustomEvent).detail.elt;
    if (element instanceof HTMLElement && element.id === 'sheet') void show();
  });
  const made = Number(document.getElementById('sheet')?.dataset['now'] ?? NaN);
  down = (await clock()) - made > OLD_MS;
  await show();
  goOn(document.getElementById('sheet'));
  await sent(false);
  const code = document.getElementById('unsent')?.dataset['bench'];
  // What can't be kept now is kept with the next page.
  if (code) keep(code).catch(() => undefined);
}

/** A form was sent: it is kept first. */
function taken(event: SubmitEvent): void {
  const form = event.target;
  if (!(form instanceof HTMLFormElement)) return;
  // What is taken back leads to the sheet again, to the same row.
  const row = form.closest<HTMLElement>('[data-row]')?.dataset['row'];
  if (!form.matches('[data-queue]')) return void (row && !form.matches('[hx-post]') && goesOn(row));
  event.preventDefault();
  event.stopImmediatePropagation();
  if (!saysHow(form) || !withinLimits(form)) return;
  if (form.ariaBusy === 'true') return;
  form.ariaBusy = 'true';
  queued(form).catch(() => form.submit());
}

/** A box is handed over by its code, or with a reason: with neither the choice is asked for at once. */
function saysHow(form: HTMLFormElement): boolean {
  const [code, why] = ['code', 'without'].map((name) => form.elements.namedItem(name));
  if (!(code instanceof HTMLInputElement) || !(why instanceof HTMLSelectElement)) return true;
  const missing = !code.value.trim() && !why.value;
  why.setCustomValidity(missing ? say("client-code-missing").text : '');
  form.addEventListener('input', () => why.setCustomValidity(''), { once: true });
  return form.reportValidity();
}

async function queued(form: HTMLFormElement): Promise<void> {
  const fields = new URLSearchParams(new FormData(form) as unknown as Record<string, string>);
  const at = await clock();
  fields.set('occurred_at', String(at));
  const reason = fields.get('reason');
  // What is sent is the same in every tongue; what was chosen is told as the page has it.
  const chosen = form.querySelector('input[name=reason]:checked')?.closest('label')?.textContent?.trim();
  const says = [form.dataset['queue'], chosen ?? reason].filter(Boolean).join(': ');
  const printer = fields.get('use') === null ? null : fields.get('printer');
  // The form of a printer may lie here for days and be sent more than once: each time it is another deed.
  if (printer !== null) fields.set('key', crypto.randomUUID());
  const told = `${reason === null ? fields.get('act') : 'fail'}:${fields.get('plate')}`;
  const id = printer === null ? told : `use:${printer}`;
  const url = new URL(form.action).pathname;
  const n = await add({ url, body: String(fields), id, says, at, state: 'waits' });
  channel.postMessage('changed');
  const back = form.dataset['back'];
  if (!back) await show();
  else goesOn('');
  const outcome = await Promise.race([sent(true), pause(PATIENCE_MS)]);
  if (!back) return;
  const still = (await all()).find((deed) => deed.n === n);
  if (outcome === 'some-left' && still?.state === 'refused') {
    // The page is open still: the server shows the form again, with what is wrong with it.
    await remove(n);
    form.submit();
  } else {
    location.assign(back);
  }
}

function pause(ms: number): Promise<'late'> {
  return new Promise((resolve) => setTimeout(() => resolve('late'), ms));
}

/** Sends what is kept, and shows what came of it. `asked`: somebody has just pressed something. */
async function sent(asked: boolean): Promise<Outcome> {
  const waiting = async () => (await all()).filter((deed) => deed.state !== 'refused').length;
  const before = await waiting();
  if (before === 0) {
    if (down) await lookAgain();
    return 'sent';
  }
  const outcome = await sendAll(asked);
  noNetwork(outcome === 'no-network');
  if (outcome === 'no-network') {
    await wakeWhenBack();
  } else {
    const after = await waiting();
    const refused = (await all()).length - after;
    const done = refused > 0 ? say("client-some-refused") : say("client-all-sent");
    const left = after === 0 ? done : say("client-not-yet-sent").with("n", after);
    if (after !== before) tell(left.text);
    htmx.trigger(document.body, 'live');
  }
  await show();
  return outcome;
}

/** Nothing is to be sent: a page tells whether the network is back. */
async function lookAgain(): Promise<void> {
  try {
    noNetwork(!(await fetch('/worker.js', { cache: 'no-store' })).ok);
    if (!down) htmx.trigger(document.body, 'live');
  } catch {
    noNetwork(true);
  }
}

/** Asks the browser to wake the worker when there is a network again, where it can do that. */
async function wakeWhenBack(): Promise<void> {
  if (!navigator.serviceWorker?.controller) return;
  const there = (await navigator.serviceWorker.ready) as unknown as { sync?: { register(tag: string): Promise<void> } };
  await there.sync?.register('send').catch(() => undefined);
}

function noNetwork(is: boolean): void {
  if (down === is) return;
  down = is;
  void show();
}

/** The list and the sheet as they are with what is kept here. */
async function show(): Promise<void> {
  const [place, sheet] = ['unsent', 'sheet'].map((id) => document.getElementById(id));
  if (!place) return;
  const deeds = await all();
  const here = deeds.filter((deed) => deed.url.startsWith(`/run-sheets/${place.dataset['bench']}/`));
  // A box that is handed over by now needs no second try with another code.
  const over = here.filter((deed) => deed.state === 'refused' && sheet && isHanded(sheet, deed));
  for (const deed of over) await remove(deed.n ?? 0);
  const left = here.filter((deed) => !over.includes(deed));
  const made = Number(sheet?.dataset['now']);
  const now = await clock();
  const backs = [place, sheet].flatMap((one) => (one ? [hold(one)] : []));
  list(place, { deeds: left, down, made }, () => void sent(true), takenOff);
  if (sheet) showOn(sheet, left, now);
  // The list has gone, and its button with it: on with the sheet.
  backs.forEach((back, i) => back(i === 0 && place.hidden ? sheet : undefined));
}

/** What was ticked by mistake and not sent is as if it had not been: the sheet is shown anew. */
function takenOff(): void {
  channel.postMessage('changed');
  htmx.trigger(document.body, 'live');
  void show();
}
