// The run sheet as it is with what was done here and is not sent: ticked lines, and what they open.

import htmx from '../htmx';
import { say } from '../words';
import type { Deed } from './store';

/** Whether the server's own sheet has a box as handed over. */
export function isHanded(sheet: HTMLElement, deed: Deed): boolean {
  return deed.id.startsWith('hand:') && sheet.querySelector(`[data-over="${deed.id}"]`) !== null;
}

/** Shows every deed on the sheet, in the order in which they were done; `now` is the server's clock, ms of UTC. */
export function showOn(sheet: HTMLElement, deeds: Deed[], now: number): void {
  for (const deed of deeds) {
    if (deed.state !== 'refused') show(sheet, deed);
  }
  const next = sheet.querySelector<HTMLElement>('.job--ready');
  if (sheet.querySelector('.job--now') || !next || deeds.length === 0 || !sheet.dataset['day']) return;
  next.classList.replace('job--ready', 'job--now');
  const here = document.createElement('span');
  here.className = 'here';
  const at = Number(next.dataset['at'] ?? 0);
  here.textContent = (at > now ? say("client-next-at").with("time", time(at)) : say("client-do-now")).text;
  const tag = document.createElement('p');
  tag.className = 'nowtag';
  tag.append(here);
  next.prepend(tag);
}

/** What was said of a printer and is not sent: no more can be said of it until then. */
function used(sheet: HTMLElement, deed: Deed): void {
  const printer = deed.id.slice('use:'.length);
  const lines = [...sheet.querySelectorAll<HTMLElement>('li[data-printer]')];
  const line = lines.find((one) => one.dataset['printer'] === printer);
  if (!line) return;
  line.querySelectorAll('form, a.do, .tick').forEach((one) => one.remove());
  const words = document.createElement('p');
  words.className = 'tick tick--still';
  words.textContent = `${deed.says}. ${say("client-done").with("time", time(deed.at)).text}`;
  line.append(words);
}

function show(sheet: HTMLElement, deed: Deed): void {
  if (deed.id.startsWith('use:')) return used(sheet, deed);
  const [act, plate] = deed.id.split(':');
  const failed = act === 'fail';
  // A printer out of use: the plate goes elsewhere, and nothing of it has failed.
  if (failed && !/(?:^|&)running=1/.test(deed.body)) return;
  const does = failed ? ['start', 'look', 'off'].map((one) => `${one}:${plate}`) : [deed.id];
  for (const one of does) {
    const line = sheet.querySelector<HTMLElement>(`[data-does="${one}"]:not(.job--done)`);
    const at = time(deed.at);
    const says = failed ? say("client-failed").with("time", at) : say("client-done").with("time", at);
    if (line) done(line, says.text);
  }
  const opens = failed ? `off:${plate}` : deed.id;
  if (failed && !/(?:^|&)good[^=]*=[1-9]/.test(deed.body)) return;
  for (const folded of sheet.querySelectorAll<HTMLTemplateElement>(`template[data-after="${opens}"]`)) {
    const box = folded.closest<HTMLElement>('[data-does^="box:"]');
    if (!box || !held(sheet, deed, box.dataset['does'] ?? '')) unfold(folded);
  }
}

/** Whether the copies of a box are held, or none is good: then it can't be closed before somebody says more. */
function held(sheet: HTMLElement, deed: Deed, box: string): boolean {
  const [act, plate] = deed.id.split(':');
  const share = box.slice('box:'.length);
  const told = [...new URLSearchParams(deed.body)];
  if (act === 'fail') {
    // What was counted as good of a plate that failed is held until it is measured.
    const measured = sheet.querySelector<HTMLElement>(`[data-does="off:${plate}"]`)?.dataset['measures'];
    const good = told.some(([name, many]) => name === `good-${share}` && Number(many) > 0);
    return !good || (measured ?? '').split(' ').includes(share);
  }
  const counted = told.find(([name]) => name === `good-${share}`);
  if (counted) return Number(counted[1]) === 0;
  const found = told.filter(([name]) => name.startsWith(`copy-${share}-`)).map(([, one]) => one);
  return found.length > 0 && (found.includes('rework') || !found.includes('good'));
}

function done(line: HTMLElement, says: string): void {
  line.querySelector('.nowtag')?.remove();
  line.classList.remove('job--now', 'job--ready', 'job--waits');
  line.classList.add('job--done', 'job--unsent');
  const box = document.createElement('span');
  box.className = 'tick__box tick__box--done';
  box.ariaHidden = 'true';
  const words = document.createElement('span');
  words.textContent = says;
  const tick = document.createElement('p');
  tick.className = 'tick tick--still';
  tick.append(box, words);
  const pen = line.querySelector('.pen');
  line.querySelector('.job__acts')?.replaceChildren(tick, ...(pen ? [pen] : []));
}

function unfold(folded: HTMLTemplateElement): void {
  const line = folded.closest<HTMLElement>('.job');
  if (!line || line.classList.contains('job--done')) return;
  line.querySelector('.tick--still')?.remove();
  const form = document.importNode(folded.content, true);
  folded.replaceWith(form);
  line.classList.replace('job--waits', 'job--ready');
  htmx.process(line);
}

/** `13:10`, as the region's clocks show it, whatever the tablet's zone. */
export function time(ms: number): string {
  const zone = document.getElementById('sheet')?.dataset['zone'];
  return new Intl.DateTimeFormat('en-GB', {
    hour: '2-digit',
    minute: '2-digit',
    ...(zone ? { timeZone: zone } : {}),
  }).format(ms);
}
