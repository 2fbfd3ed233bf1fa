// What hands do on the canvas: one finger turns, two move and bring nearer, a short touch is a tap.

import { bounded, type Pose } from './turn';

const DEG_PER_PX = 0.5;
/** A pointer that has moved less than this has tapped, px. */
const TAP_PX = 6;

/** What a view does when hands ask for it. */
export interface Handled {
  pose(): Pose;
  jump(pose: Pose): void;
  /** Half the stage's shorter side, px. */
  half(): number;
  /** At a point of the stage in px; `coarse` for a finger. */
  tap(x: number, y: number, coarse: boolean): void;
}

/** Listens to the canvas until the signal comes. */
export function hands(canvas: HTMLCanvasElement, view: Handled, signal: AbortSignal): void {
  const pointers = new Map<number, PointerEvent>();
  let travelled = 0;
  /** Middle of the fingers, and how far apart two of them are. */
  const grip = () => {
    const [a, b] = [...pointers.values()];
    if (!a) return { x: 0, y: 0, apart: 0 };
    if (!b) return { x: a.clientX, y: a.clientY, apart: 0 };
    return {
      x: (a.clientX + b.clientX) / 2,
      y: (a.clientY + b.clientY) / 2,
      apart: Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY),
    };
  };
  canvas.addEventListener('pointerdown', (event) => {
    canvas.setPointerCapture(event.pointerId);
    travelled = pointers.size > 0 ? TAP_PX : 0;
    pointers.set(event.pointerId, event);
  }, { signal });
  canvas.addEventListener('pointermove', (event) => {
    if (!pointers.has(event.pointerId)) return;
    const before = grip();
    pointers.set(event.pointerId, event);
    const now = grip();
    const [dx, dy] = [now.x - before.x, now.y - before.y];
    travelled += Math.hypot(dx, dy);
    const pose = view.pose();
    const across = pointers.size > 1 || event.shiftKey || (event.buttons & 6) !== 0;
    if (!across) {
      // A tap with a shaking hand turns nothing.
      if (travelled < TAP_PX && event.pointerType !== 'mouse') return;
      view.jump(bounded({ ...pose, azimuth: pose.azimuth - dx * DEG_PER_PX, height: pose.height + dy * DEG_PER_PX }));
      return;
    }
    const zoom = before.apart > 0 && now.apart > 0 ? (pose.zoom * now.apart) / before.apart : pose.zoom;
    const step = view.half() * pose.zoom;
    view.jump(bounded({ ...pose, zoom, x: pose.x - dx / step, y: pose.y + dy / step }));
  }, { signal });
  for (const end of ['pointerup', 'pointercancel'] as const) {
    canvas.addEventListener(end, (event) => {
      const alone = pointers.delete(event.pointerId) && pointers.size === 0;
      if (end !== 'pointerup' || !alone || travelled >= TAP_PX || event.button > 0) return;
      const { left, top } = canvas.getBoundingClientRect();
      view.tap(event.clientX - left, event.clientY - top, event.pointerType !== 'mouse');
    }, { signal });
  }
  canvas.addEventListener('wheel', (event) => {
    if (!event.ctrlKey) return; // the page scrolls
    event.preventDefault();
    const pose = view.pose();
    view.jump(bounded({ ...pose, zoom: pose.zoom * Math.exp(-event.deltaY / 300) }));
  }, { signal, passive: false });
  // One finger up and down scrolls the page; with two, the page would scroll under the part.
  canvas.addEventListener('touchmove', (event) => {
    if (event.touches.length > 1 && event.cancelable) event.preventDefault();
  }, { signal, passive: false });
}
