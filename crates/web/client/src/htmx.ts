// htmx under our content security policy: no eval, no style or script of its own, this host only.

import htmx from 'htmx.org';

Object.assign(htmx.config, {
  allowEval: false,
  allowScriptTags: false,
  includeIndicatorStyles: false,
  selfRequestsOnly: true,
  // htmx would copy `style` as an attribute, which the policy forbids; the 3D view sets styles.
  attributesToSettle: ['class', 'width', 'height'],
  // Pages of the region don't belong in the browser's storage.
  historyCacheSize: 0,
  refreshOnHistoryMiss: true,
});

export default htmx;
