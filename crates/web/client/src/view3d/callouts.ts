// Call-outs: the page's own links and buttons, laid over the places on the part that they are about.

import { Triangle, Vector3, type BufferGeometry } from 'three';

/** One call-out and its place on the part, in mm. */
export interface Callout {
  readonly element: HTMLElement;
  readonly place: Vector3;
  /** Which way the surface looks there; reckoned when it is first asked for. */
  outward: Vector3 | null;
}

export function findCallouts(host: HTMLElement): Callout[] {
  const found: Callout[] = [];
  for (const element of host.querySelectorAll<HTMLElement>('[data-callout]')) {
    const { x, y, z } = element.dataset;
    const place = new Vector3(Number(x), Number(y), Number(z));
    const whole = x && y && z && [place.x, place.y, place.z].every(Number.isFinite);
    if (whole) found.push({ element, place, outward: null });
  }
  return found;
}

/** Lays a call-out's middle on a point of the stage, in CSS px, and keeps it inside. */
export function lay(callout: Callout, x: number, y: number, width: number, height: number): void {
  const { element } = callout;
  const [halfW, halfH] = [element.offsetWidth / 2, element.offsetHeight / 2];
  const left = Math.min(Math.max(x - halfW, 0), Math.max(0, width - 2 * halfW));
  const top = Math.min(Math.max(y - halfH, 0), Math.max(0, height - 2 * halfH));
  element.style.transform = `translate(${left.toFixed(1)}px, ${top.toFixed(1)}px)`;
}

/** As the page had it, for when there is no 3D. */
export function unlay(callout: Callout): void {
  callout.element.style.removeProperty('transform');
  callout.element.classList.remove('is-behind');
}

/**
 * Which way the part's surface looks at a call-out: the mean over the triangles nearest to it, so
 * that a place on an edge is seen from the corner between its faces.
 */
export function outward(callout: Callout, geometry: BufferGeometry, middle: Vector3): Vector3 {
  return (callout.outward ??= surfaceNormal(callout.place, geometry, middle));
}

function surfaceNormal(place: Vector3, geometry: BufferGeometry, middle: Vector3): Vector3 {
  const corners = geometry.getAttribute('position');
  const [triangle, on, normal] = [new Triangle(), new Vector3(), new Vector3()];
  const sum = new Vector3();
  let least = Infinity;
  for (let at = 0; at + 2 < corners.count; at += 3) {
    triangle.setFromAttributeAndIndices(corners, at, at + 1, at + 2);
    triangle.closestPointToPoint(place, on);
    const distance = on.distanceTo(place);
    if (distance > least + NEAR_MM) continue;
    if (distance < least - NEAR_MM) sum.set(0, 0, 0);
    least = Math.min(least, distance);
    sum.add(triangle.getNormal(normal));
  }
  if (sum.length() > 0.1) return sum.normalize();
  const out = place.clone().sub(middle);
  return out.length() > 0 ? out.normalize() : new Vector3(0, -1, 0);
}

/** Triangles as near as this to the nearest count as touching the place. */
const NEAR_MM = 0.01;
