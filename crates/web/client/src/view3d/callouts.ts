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

/** A point of the stage, in CSS px; one that yields makes way for those that don't. */
export interface Spot {
  x: number;
  y: number;
  yields?: boolean;
}

/** Moves spots that lie on each other apart, by as little as it takes. */
export function apart(spots: Spot[], least: number): void {
  for (let round = 0; round < 8; round += 1) {
    for (const [i, a] of spots.entries()) {
      for (const b of spots.slice(i + 1)) {
        const [dx, dy] = [b.x - a.x, b.y - a.y];
        const distance = Math.hypot(dx, dy);
        if (distance >= least) continue;
        const push = least - distance;
        const share = a.yields === b.yields ? 0.5 : a.yields ? 1 : 0;
        const [ux, uy] = distance > 0.5 ? [dx / distance, dy / distance] : [1, 0];
        a.x -= ux * push * share;
        a.y -= uy * push * share;
        b.x += ux * push * (1 - share);
        b.y += uy * push * (1 - share);
      }
    }
  }
}

/** Lays the call-outs' middles on their spots, clear of each other and inside the stage. */
export function lay(callouts: readonly Callout[], spots: Spot[], width: number, height: number): void {
  callouts.forEach(({ element }, i) => {
    const spot = spots[i];
    if (spot) spot.yields = element.matches('.is-behind:not(:focus)');
  });
  apart(spots, callouts[0]?.element.offsetWidth ?? 0);
  callouts.forEach(({ element }, i) => {
    const { x, y } = spots[i] ?? { x: 0, y: 0 };
    const [halfW, halfH] = [element.offsetWidth / 2, element.offsetHeight / 2];
    const left = Math.min(Math.max(x - halfW, 0), Math.max(0, width - 2 * halfW));
    const top = Math.min(Math.max(y - halfH, 0), Math.max(0, height - 2 * halfH));
    element.style.transform = `translate(${left.toFixed(1)}px, ${top.toFixed(1)}px)`;
  });
}

/** As the page had it, for when there is no 3D. */
export function unlay(callout: Callout): void {
  callout.element.style.removeProperty('transform');
  callout.element.classList.remove('is-behind');
}

/**
 * Directions from which a call-out's place may be seen, the best first: straight on to its surface,
 * then slanting outward, then from all around. A place in a groove needs the later ones.
 */
export function* directions(callout: Callout, geometry: BufferGeometry, middle: Vector3): Generator<Vector3> {
  const straight = (callout.outward ??= surfaceNormal(callout.place, geometry, middle));
  yield straight;
  const outward = callout.place.clone().sub(middle).setZ(0);
  if (outward.length() > 1e-6) yield outward.normalize().add(straight).normalize();
  for (const slant of [0.5, -0.5, 0]) {
    for (let turn = 0; turn < 8; turn += 1) {
      const angle = (turn * Math.PI) / 4;
      yield new Vector3(Math.sin(angle), -Math.cos(angle), slant).normalize();
    }
  }
}

/**
 * Which way the part's surface looks at a place: the mean over the triangles nearest to it, so that
 * a place on an edge is seen from the corner between its faces.
 */
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
