// The entry: each module looks for its own elements and does nothing where there are none.

import './htmx';
import { layer } from './layer';
import { live } from './live';
import { once } from './once';
import { send } from './send';

layer();
live();
once();
send();

// The 3D view is the one heavy thing, so only a page that shows a part fetches it.
if (document.querySelector('[data-part-view]')) {
  import('./view3d').then(
    ({ view3d }) => view3d(),
    // The still picture is there already; without the module it simply stays.
    () => undefined,
  );
}
