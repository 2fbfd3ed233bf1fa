// Where a line of sight meets the part, and where a plane cuts it. Plain numbers, no screen in here.

import { Vector3 } from 'three';

/** A cut across the part: what lies beyond `at` (mm) along an axis, or before it, is away. */
export interface Cut {
  readonly axis: 0 | 1 | 2;
  readonly at: number;
  /** Which side stays. */
  readonly keep: 'low' | 'high';
}

/** A line of sight: from before the part, into it. `way` is one mm long. */
export interface Sight {
  readonly from: Vector3;
  readonly way: Vector3;
}

/** Whether a place is on the side that stays, up to rounding. */
export function stays(place: Vector3, cut: Cut | null, slack = 0): boolean {
  if (!cut) return true;
  const past = place.getComponent(cut.axis) - cut.at;
  return cut.keep === 'low' ? past <= slack : past >= -slack;
}

/** The first place on the line of sight where the part is, cut face included; null beside the part. */
export function firstHit(corners: Float32Array, sight: Sight, cut: Cut | null): Vector3 | null {
  const plane = cut ? planeAt(sight, cut) : null;
  let nearest = Infinity;
  let winding = 0;
  for (let at = 0; at + 8 < corners.length; at += 9) {
    const hit = crossing(corners, at, sight);
    if (hit === null) continue;
    const { t, outward } = hit;
    if (plane === null) {
      if (cut && !stays(along(sight, t), cut)) continue;
    } else {
      if (plane.entering ? t < plane.t : t > plane.t) continue;
      winding += outward ? 1 : -1;
    }
    if (t < nearest) nearest = t;
  }
  // What is left behind the plane has more ways out than in: the plane lies inside the part there.
  if (plane?.entering && winding !== 0) nearest = plane.t;
  return nearest < Infinity ? along(sight, nearest) : null;
}

export function along(sight: Sight, t: number): Vector3 {
  return sight.from.clone().addScaledVector(sight.way, t);
}

/** Where the line of sight meets the plane, and whether what stays lies behind it; null if beside. */
function planeAt({ from, way }: Sight, cut: Cut): { t: number; entering: boolean } | null {
  const slope = way.getComponent(cut.axis);
  if (Math.abs(slope) < 1e-9) return null;
  const t = (cut.at - from.getComponent(cut.axis)) / slope;
  return { t, entering: cut.keep === 'low' ? slope < 0 : slope > 0 };
}

/**
 * How far along the line of sight it crosses a triangle, and whether outwards.
 * T. Möller, B. Trumbore, Fast, Minimum Storage Ray/Triangle Intersection (1997), from memory.
 */
function crossing(c: Float32Array, at: number, { from, way }: Sight): { t: number; outward: boolean } | null {
  const n = (i: number) => c[at + i] as number;
  const [ax, ay, az] = [n(0), n(1), n(2)];
  const [ux, uy, uz] = [n(3) - ax, n(4) - ay, n(5) - az];
  const [vx, vy, vz] = [n(6) - ax, n(7) - ay, n(8) - az];
  const [px, py, pz] = [way.y * vz - way.z * vy, way.z * vx - way.x * vz, way.x * vy - way.y * vx];
  const det = ux * px + uy * py + uz * pz;
  if (Math.abs(det) < 1e-12) return null;
  const [sx, sy, sz] = [from.x - ax, from.y - ay, from.z - az];
  const u = (sx * px + sy * py + sz * pz) / det;
  if (u < 0 || u > 1) return null;
  const [qx, qy, qz] = [sy * uz - sz * uy, sz * ux - sx * uz, sx * uy - sy * ux];
  const v = (way.x * qx + way.y * qy + way.z * qz) / det;
  if (v < 0 || u + v > 1) return null;
  return { t: (vx * qx + vy * qy + vz * qz) / det, outward: det < 0 };
}

/** Where the plane cuts the skin: ends of pieces of line, six numbers a piece, in mm. */
export function cutLines(corners: Float32Array, cut: Cut): Float32Array {
  const out: number[] = [];
  for (let at = 0; at + 8 < corners.length; at += 9) {
    const over = [0, 3, 6].map((i) => (corners[at + i + cut.axis] as number) >= cut.at);
    if (over[0] === over[1] && over[1] === over[2]) continue;
    for (let i = 0; i < 3; i += 1) {
      const next = (i + 1) % 3;
      if (over[i] === over[next]) continue;
      const [a, b] = [at + 3 * i, at + 3 * next];
      const from = corners[a + cut.axis] as number;
      const share = (cut.at - from) / ((corners[b + cut.axis] as number) - from);
      for (let k = 0; k < 3; k += 1) {
        const start = corners[a + k] as number;
        out.push(start + share * ((corners[b + k] as number) - start));
      }
    }
  }
  return new Float32Array(out);
}
