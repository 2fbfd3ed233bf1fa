// The height that a page is about: the layer that is shown and the cut of the 3D view agree on it.

type From = 'layer' | 'cut';
const NAME = 'partpledge:height';

/** Says that somebody has moved to a height above the bed, in mm. */
export function tellHeight(mm: number, from: From): void {
  document.dispatchEvent(new CustomEvent(NAME, { detail: { mm, from } }));
}

/** Hears of it, one's own word included. */
export function followHeight(act: (mm: number, from: From) => void, signal?: AbortSignal): void {
  const heard = (event: Event) => {
    const { mm, from } = (event as CustomEvent<{ mm: number; from: From }>).detail;
    act(mm, from);
  };
  document.addEventListener(NAME, heard, signal ? { signal } : {});
}
