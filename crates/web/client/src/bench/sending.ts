// Sends what is kept, in order, each until the server has said yes or no. Used by pages and by the
// worker alike; the server's keys make it harmless when a deed goes out twice.

import { UNASKED } from '../unasked';
import { type Deed, all, change, channel, remove } from './store';

const PATIENCE_MS = 20_000;

/** What came of it: all is out, no network, nobody signed in, or some are still here. */
export type Outcome = 'sent' | 'no-network' | 'sign-in' | 'some-left';

interface Heard {
  answer: 'done' | 'later' | 'refused';
  title?: string;
  what_to_do?: string;
}

/**
 * Sends all that waits. One page or worker at a time. `asked` is whether somebody has just pressed
 * something; what goes out by a timer, or when the network is back, keeps nobody signed in.
 */
export function sendAll(asked: boolean): Promise<Outcome> {
  return navigator.locks.request('partpledge-send', async () => {
    let left = false;
    for (const deed of await all()) {
      if (deed.state === 'refused') {
        left = true;
        continue;
      }
      const heard = await send(deed, asked);
      if (heard === 'no-network') return heard;
      if (heard === 'sign-in') {
        await change({ ...deed, state: 'sign-in' });
        channel.postMessage('changed');
        return heard;
      }
      await settle(deed, heard);
      left ||= heard.answer !== 'done';
      channel.postMessage('changed');
    }
    return left ? 'some-left' : 'sent';
  });
}

async function settle(deed: Deed, heard: Heard): Promise<void> {
  if (heard.answer === 'done') {
    // What was refused before and is done now is over: a wrong code, then the right one.
    const over = (one: Deed) => one.id === deed.id && one.url === deed.url && one.state === 'refused';
    for (const one of (await all()).filter(over)) await remove(one.n ?? 0);
    return remove(deed.n ?? 0);
  }
  const said = { title: heard.title ?? '', whatToDo: heard.what_to_do ?? '' };
  return change({ ...deed, ...said, state: heard.answer });
}

async function send(deed: Deed, asked: boolean): Promise<Heard | 'no-network' | 'sign-in'> {
  let answer: Response;
  try {
    answer = await fetch(deed.url, {
      method: 'POST',
      body: deed.body,
      headers: {
        accept: 'application/json',
        'content-type': 'application/x-www-form-urlencoded',
        ...(asked ? {} : UNASKED),
      },
      // Nobody is signed in: the server would lead us to its start page.
      redirect: 'manual',
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
  } catch {
    return 'no-network';
  }
  if (answer.type === 'opaqueredirect') return 'sign-in';
  try {
    const heard = (await answer.json()) as Heard | { answer: 'sign-in' };
    return heard.answer === 'sign-in' ? 'sign-in' : heard;
  } catch {
    // A page: another role is worn. Else not our server's words, but of something before it.
    return answer.status === 403 ? 'sign-in' : 'no-network';
  }
}
