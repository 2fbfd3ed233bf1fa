// Live pages: the server says that something changed, and the parts of the page that care reload.

import { anew } from './anew';
import { hold } from './hold';
import htmx from './htmx';
import { tell } from './tell';
import { UNASKED } from './unasked';

/** Changes come in bursts; one reload is enough for all of them. */
const SETTLE_MS = 200;
const FIRST_RETRY_MS = 2_000;
const LAST_RETRY_MS = 60_000;

/** Opens the stream that `<body data-live>` names. */
export function live(): void {
  const address = document.body.dataset['live'];
  if (!address) return;
  const stream = new Stream(new URL(address, location.href), soon(reload, SETTLE_MS));
  sayUnasked();
  anew();
  announceSwaps();
  keepWhatIsInHand();
  const look = () => (document.visibilityState === 'hidden' ? stream.close() : stream.open());
  look();
  document.addEventListener('visibilitychange', () => {
    look();
    // What was missed while nobody looked, clocks included.
    if (document.visibilityState !== 'hidden') reload();
  });
  addEventListener('pagehide', () => stream.close());
  addEventListener('pageshow', (event) => {
    if (event.persisted) look();
  });
}

function reload(): void {
  htmx.trigger(document.body, 'live');
}

function sayUnasked(): void {
  htmx.on('htmx:configRequest', (event) => {
    const { headers, triggeringEvent } = (event as CustomEvent).detail;
    if (triggeringEvent?.type === 'live') Object.assign(headers, UNASKED);
  });
}

function soon(act: () => void, ms: number): () => void {
  let timer = 0;
  return () => {
    clearTimeout(timer);
    timer = window.setTimeout(act, ms);
  };
}

/**
 * The event stream. It reconnects by itself and not by the browser's own rule, which would ask
 * again from the entry the page began with.
 */
class Stream {
  private source: EventSource | null = null;
  private timer = 0;
  private wait = FIRST_RETRY_MS;

  constructor(
    private readonly url: URL,
    private readonly changed: () => void,
  ) {}

  open(): void {
    if (this.source) return;
    clearTimeout(this.timer);
    const source = new EventSource(this.url);
    this.source = source;
    source.addEventListener('open', () => {
      this.wait = FIRST_RETRY_MS;
      tellNetwork(true);
    });
    source.addEventListener('change', (event) => {
      this.reached(entryOf(event.data));
      this.changed();
    });
    source.addEventListener('minute', () => this.changed());
    source.addEventListener('error', () => {
      tellNetwork(false);
      this.again();
    });
  }

  close(): void {
    clearTimeout(this.timer);
    this.source?.close();
    this.source = null;
  }

  private again(): void {
    this.close();
    this.timer = window.setTimeout(() => this.open(), this.wait);
    this.wait = Math.min(this.wait * 2, LAST_RETRY_MS);
  }

  private reached(entry: number | null): void {
    const before = Number(this.url.searchParams.get('after') ?? 0);
    if (entry !== null && entry > before) this.url.searchParams.set('after', String(entry));
  }
}

/** For pages that go on without a network. */
function tellNetwork(up: boolean): void {
  document.dispatchEvent(new CustomEvent('partpledge:network', { detail: { up } }));
}

function entryOf(data: unknown): number | null {
  try {
    const { entry } = JSON.parse(String(data)) as { entry?: unknown };
    return typeof entry === 'number' ? entry : null;
  } catch {
    return null;
  }
}

/** Reads out the `data-say` of a swapped part, once for each new text. */
function announceSwaps(): void {
  const known = new Map<string, string>();
  const saying = (root: ParentNode & Element) =>
    [root, ...root.querySelectorAll<HTMLElement>('[data-say]')].flatMap((element) => {
      const text = element instanceof HTMLElement ? element.dataset['say'] : undefined;
      if (!text || known.get(element.id) === text) return [];
      known.set(element.id, text);
      return [text];
    });
  saying(document.body); // what the page began with is no news
  htmx.on('htmx:load', (event) => {
    const element: unknown = (event as CustomEvent).detail.elt;
    if (!(element instanceof Element) || element === document.body) return;
    const news = saying(element);
    if (news.length > 0) tell(news.join(' '));
  });
}

/**
 * A part in which somebody is typing or choosing is not pulled from under their hands; it reloads
 * when they have left it. What they had typed or chosen, opened details and the focus stay.
 */
function keepWhatIsInHand(): void {
  let left: Element | null = null;
  htmx.on('htmx:beforeRequest', (event) => {
    const { elt, requestConfig } = (event as CustomEvent).detail;
    if (requestConfig?.triggeringEvent?.type !== 'live' || !(elt instanceof Element)) return;
    const active = document.activeElement;
    if (active?.matches('input, select, textarea') && elt.contains(active)) {
      event.preventDefault();
      left = elt;
    }
  });
  document.addEventListener('focusout', () => {
    if (left && !left.contains(document.activeElement)) {
      left = null;
      reload();
    }
  });
  htmx.on('htmx:beforeSwap', (event) => {
    const { target, shouldSwap } = (event as CustomEvent).detail;
    // An answer that is not put in is followed by no swap: another one's would put old values back.
    if (!shouldSwap || !(target instanceof Element)) return;
    const back = hold(target);
    document.body.addEventListener('htmx:afterSwap', () => back(target.isConnected ? target : document.getElementById(target.id)), { once: true });
  });
}
