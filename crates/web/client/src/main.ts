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

// Only the bench goes on without a network.
if (document.querySelector('[data-bench], [data-queue]')) {
  // Without it the forms go as they always did.
  import('./bench').then(({ bench }) => bench()).catch(() => undefined);
}

// Only the pages to sign in and of one's account have it.
if (document.querySelector('form[data-passkey]')) {
  // Without it the form stays hidden, and the password is there.
  import('./passkeys').then(({ passkeys }) => passkeys()).catch(() => undefined);
}

// The 3D view is the one heavy thing, so only a page that shows a part fetches it.
if (document.querySelector('[data-part-view]')) {
  import('./view3d').then(
    ({ view3d }) => view3d(),
    // The still picture is there already; without the module it simply stays.
    () => undefined,
  );
}
