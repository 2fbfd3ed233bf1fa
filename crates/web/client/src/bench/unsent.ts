// The list above the run sheet: what is not sent yet, why, and what to do.

import { say } from '../words';
import { type Deed, remove } from './store';
import { time } from './sheet';

function reason(state: Deed['state']): string {
  switch (state) {
    case 'waits': return '';
    case 'later': return say("client-later").text;
    case 'sign-in': return say("client-sign-in-to-send").text;
    case 'refused': return say("client-refused").text;
  }
}

/** What the list says above. */
export interface Situation {
  deeds: Deed[];
  down: boolean;
  /** When the sheet that is shown was made. */
  made: number;
}

/** Fills the list, or hides it when there is nothing to say. */
export function list(place: HTMLElement, now: Situation, again: () => void, changed: () => void): void {
  const { deeds, down } = now;
  place.hidden = deeds.length === 0 && !down;
  if (place.hidden) return place.replaceChildren();
  const waiting = deeds.filter((deed) => deed.state !== 'refused').length;
  const named = waiting > 0 ? say("client-unsent").with("n", waiting) : say("client-not-taken").with("n", deeds.length);
  const head = element('h2', (deeds.length > 0 ? named : say("client-no-network")).text);
  head.id = 'unsent-h';
  const lines = document.createElement('ul');
  lines.className = 'unsent__list';
  lines.append(...deeds.map((deed) => line(deed, changed)));
  const acts = document.createElement('div');
  acts.className = 'dos';
  if (deeds.some((deed) => deed.state === 'sign-in')) {
    const link = element('a', say("client-sign-in").text);
    link.href = '/start';
    link.className = 'do do--main';
    acts.append(link);
  }
  acts.append(button((deeds.length > 0 ? say("client-send-now") : say("client-try-again")).text, again));
  place.replaceChildren(head, element('p', words(now)), ...(deeds.length > 0 ? [lines] : []), acts);
}

function words({ deeds, down, made }: Situation): string {
  if (deeds.some((deed) => deed.state === 'sign-in')) {
    return say("client-signed-out").text;
  }
  if (down) {
    return say("client-as-it-was").with("time", time(made)).text;
  }
  const refused = deeds.some((deed) => deed.state === 'refused');
  return (refused ? say("client-some-refused") : say("client-by-themselves")).text;
}

function line(deed: Deed, changed: () => void): HTMLElement {
  const item = document.createElement('li');
  item.append(element('b', time(deed.at)), ` ${deed.says}. `);
  if (deed.state !== 'waits') {
    const said = [reason(deed.state), deed.title, deed.whatToDo].filter(Boolean).join(' ');
    item.append(element('span', said));
  }
  const off = button(say("client-take-off").text, () => void remove(deed.n ?? 0).then(changed));
  off.classList.add('unsent__off');
  off.append(hush(`: ${deed.says}`));
  item.append(off);
  return item;
}

function hush(text: string): HTMLElement {
  const span = element('span', text);
  span.className = 'hush';
  return span;
}

function button(text: string, act: () => void): HTMLButtonElement {
  const made = element('button', text);
  made.type = 'button';
  made.className = 'do';
  made.addEventListener('click', act);
  return made;
}

function element<K extends keyof HTMLElementTagNameMap>(tag: K, text: string): HTMLElementTagNameMap[K] {
  const made = document.createElement(tag);
  made.textContent = text;
  return made;
}
