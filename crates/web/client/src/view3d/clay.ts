// The clay: three tones by which way a face looks, dark crease lines, and the depth for call-outs.

import {
  BufferAttribute,
  BufferGeometry,
  Color,
  ColorManagement,
  EdgesGeometry,
  LineSegments,
  Mesh,
  ShaderMaterial,
  Vector3,
  Vector4,
} from 'three';
import type { Cut } from './pick';
import type { Facets } from './stl';

// Colours are the tokens' own sRGB numbers, drawn as they are.
ColorManagement.enabled = false;

const CREASE_DEG = 25;
/** Above this many triangles the creases take a laptop too long; the tones do without. */
export const CREASES_UP_TO = 200_000;

// The light stays with the viewer: from above, a little from the left.
const LIGHT = new Vector3(-0.55, 0.72, 0.42).normalize();

/** The plane behind which nothing is drawn, shared by all materials of a view. */
export interface Plane {
  readonly value: Vector4;
}

/** A plane that takes nothing away. */
export function noPlane(): Plane {
  return { value: new Vector4(0, 0, 0, 1) };
}

/** Sets the plane: outward normal of what stays, and its distance from the origin, in mm. */
export function setPlane(plane: Plane, cut: Cut | null): void {
  plane.value.set(0, 0, 0, 1);
  if (!cut) return;
  const sign = cut.keep === 'low' ? 1 : -1;
  plane.value.setComponent(cut.axis, sign);
  plane.value.w = sign * cut.at;
}

export const PLACED = `
varying vec3 facing;
varying vec3 place;
void main() {
  place = position;
  facing = normalize(mat3(modelViewMatrix) * normal);
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
}`;

export const CUT = `
uniform vec4 cut; varying vec3 place;
void away() { if (dot(cut.xyz, place) > cut.w) discard; }
`;

const TONES = `${CUT}
uniform vec3 light; uniform vec3 pale; uniform vec3 middle; uniform vec3 deep;
varying vec3 facing;
void main() {
  away();
  // Both sides alike: a part whose skin is inside out still shows as a solid.
  vec3 n = gl_FrontFacing ? facing : -facing;
  float lit = 0.5 + 0.5 * dot(n, light);
  vec3 clay = lit < 0.55 ? mix(deep, middle, lit / 0.55) : mix(middle, pale, (lit - 0.55) / 0.45);
  gl_FragColor = vec4(clay, 1.0);
}`;

const INK = `${CUT}
uniform vec3 ink;
void main() { away(); gl_FragColor = vec4(ink, 1.0); }`;

// Depth in three bytes, 1/16,777,216 of the way from front to back.
const DEPTH = `${CUT}
void main() {
  away();
  vec3 packed = fract(gl_FragCoord.z * vec3(1.0, 255.0, 65025.0));
  packed -= packed.yzz * vec3(1.0 / 255.0, 1.0 / 255.0, 0.0);
  gl_FragColor = vec4(packed, 1.0);
}`;

/** Depth, 0 near to 1 far, from the bytes that the depth material drew; 1 where it drew nothing. */
export function depthAt(pixels: Uint8Array, at: number): number {
  const byte = (i: number) => (pixels[at + i] ?? 0) / 255;
  if (byte(3) < 0.5) return 1;
  return byte(0) + byte(1) / 255 + byte(2) / 65025;
}

/** A colour from the look's tokens, so that the contrast theme reaches the clay as well. */
export function token(of: Element, name: string, otherwise: string): Color {
  const said = getComputedStyle(of).getPropertyValue(name).trim();
  return new Color(/^#[0-9a-f]{3,6}$/i.test(said) ? said : otherwise);
}

/** Behind lines that lie on the same face. */
export const UNDER = { polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 } as const;

/** The part's mesh in clay. */
export function clay(facets: Facets, of: Element, cut: Plane): Mesh<BufferGeometry, ShaderMaterial> {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(facets.corners, 3));
  geometry.setAttribute('normal', new BufferAttribute(facets.normals, 3));
  geometry.computeBoundingBox();
  geometry.computeBoundingSphere();
  const material = new ShaderMaterial({
    vertexShader: PLACED,
    fragmentShader: TONES,
    side: 2, // both
    ...UNDER,
    uniforms: {
      cut,
      light: { value: LIGHT },
      pale: { value: token(of, '--clay-1', '#E9E4DC') },
      middle: { value: token(of, '--clay-2', '#D0C8BC') },
      deep: { value: token(of, '--clay-3', '#AFA599') },
    },
  });
  return new Mesh(geometry, material);
}

/** Draws how far away things are instead of what they look like. */
export function depthMaterial(cut: Plane): ShaderMaterial {
  return new ShaderMaterial({ vertexShader: PLACED, fragmentShader: DEPTH, side: 2, uniforms: { cut } });
}

/** Ink for lines. */
export function inkMaterial(of: Element, cut: Plane): ShaderMaterial {
  const ink = { value: token(of, '--ink', '#1B1A33') };
  return new ShaderMaterial({ vertexShader: PLACED, fragmentShader: INK, uniforms: { cut, ink } });
}

/** Dark lines where faces meet at more than 25 degrees. */
export function creases(geometry: BufferGeometry, of: Element, cut: Plane): LineSegments<EdgesGeometry, ShaderMaterial> {
  return new LineSegments(new EdgesGeometry(geometry, CREASE_DEG), inkMaterial(of, cut));
}
