// The part in 3D, on pages that show one. Loaded lazily: three.js lives in this chunk only.

import htmx from './htmx';
import './view3d/view3d.css';
import { View } from './view3d/view';

/** Gives every `[data-part-view]` element its 3D view. */
export function view3d(): void {
  const views = new Map<HTMLElement, View>();
  const start = (root: Element) => {
    for (const host of [root, ...root.querySelectorAll('[data-part-view]')]) {
      if (!(host instanceof HTMLElement) || !host.matches('[data-part-view]')) continue;
      if (!views.has(host)) views.set(host, new View(host));
    }
  };
  start(document.body);
  htmx.on('htmx:load', (event) => start((event as CustomEvent).detail.elt));
  htmx.on('htmx:beforeCleanupElement', (event) => {
    const gone = (event as CustomEvent).detail.elt;
    if (gone instanceof HTMLElement) {
      views.get(gone)?.dispose();
      views.delete(gone);
    }
  });
  addEventListener('pagehide', (event) => {
    if (event.persisted) return;
    views.forEach((view) => view.dispose());
    views.clear();
  });
}
