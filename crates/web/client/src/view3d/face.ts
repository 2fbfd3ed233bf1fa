// The cut face: hatched paper wherever the plane runs through the solid, with its outline in ink.
//
// Which points of the plane are inside is counted in the stencil, not looked for: behind such a
// point a line of sight leaves the part once more than it enters it. So shells that overlap and
// skins that are inside out are filled as well.

import {
  AlwaysStencilFunc,
  Box3,
  BufferAttribute,
  BufferGeometry,
  DecrementWrapStencilOp,
  Group,
  IncrementWrapStencilOp,
  LineSegments,
  Mesh,
  NotEqualStencilFunc,
  ShaderMaterial,
  Vector3,
} from 'three';
import { CUT, PLACED, UNDER, inkMaterial, noPlane, token, type Plane } from './clay';
import { cutLines, type Cut } from './pick';

const NOTHING = `${CUT}
void main() { away(); gl_FragColor = vec4(0.0); }`;

// Lines of 1 px every 7 px, at 45 degrees on the screen whichever way the part is turned.
const HATCH = `
uniform vec3 paper; uniform vec3 line; uniform float pixel;
void main() {
  float along = mod((gl_FragCoord.x + gl_FragCoord.y) / pixel, 7.0);
  gl_FragColor = vec4(along < 1.4 ? line : paper, 1.0);
}`;

/** The cut face of a part. */
export class Face {
  readonly group = new Group();
  private readonly quad: Mesh<BufferGeometry, ShaderMaterial>;
  private readonly outline: LineSegments<BufferGeometry, ShaderMaterial>;
  private readonly counts: Mesh<BufferGeometry, ShaderMaterial>[];

  constructor(
    private readonly skin: BufferGeometry,
    host: Element,
    plane: Plane,
  ) {
    const count = (side: 0 | 1, op: typeof IncrementWrapStencilOp | typeof DecrementWrapStencilOp) =>
      new Mesh(skin, new ShaderMaterial({
        vertexShader: PLACED,
        fragmentShader: NOTHING,
        uniforms: { cut: plane },
        side,
        colorWrite: false,
        depthWrite: false,
        depthTest: false,
        stencilWrite: true,
        stencilFunc: AlwaysStencilFunc,
        stencilFail: op,
        stencilZFail: op,
        stencilZPass: op,
      }));
    this.counts = [count(1, IncrementWrapStencilOp), count(0, DecrementWrapStencilOp)];
    this.quad = new Mesh(new BufferGeometry(), new ShaderMaterial({
      vertexShader: PLACED,
      fragmentShader: HATCH,
      uniforms: {
        paper: { value: token(host, '--sheet', '#FCFDFB') },
        line: { value: token(host, '--edge', '#6C7182') },
        pixel: { value: 1 },
      },
      side: 2,
      stencilWrite: true,
      stencilRef: 0,
      stencilFunc: NotEqualStencilFunc,
      ...UNDER,
    }));
    this.outline = new LineSegments(new BufferGeometry(), inkMaterial(host, noPlane()));
    this.counts.forEach((one) => (one.renderOrder = -2));
    this.quad.renderOrder = -1;
    [...this.counts, this.quad, this.outline].forEach((one) => (one.frustumCulled = false));
    this.group.add(...this.counts, this.quad, this.outline);
    this.group.visible = false;
  }

  /** Device pixels for a CSS pixel. */
  set pixel(ratio: number) {
    const { pixel } = this.quad.material.uniforms;
    if (pixel) pixel.value = ratio;
  }

  /** Lays the face where the part is cut; ends of its outline in mm, or nothing when it is whole. */
  lay(cut: Cut | null): Float32Array {
    this.group.visible = cut !== null;
    if (!cut) return new Float32Array();
    const lines = cutLines(this.skin.getAttribute('position').array as Float32Array, cut);
    put(this.outline, lines);
    put(this.quad, sheet(this.skin.boundingBox ?? new Box3(), cut));
    return lines;
  }

  dispose(): void {
    for (const one of this.counts) one.material.dispose();
    for (const one of [this.quad, this.outline]) {
      one.geometry.dispose();
      one.material.dispose();
    }
  }
}

function put(on: { geometry: BufferGeometry }, places: Float32Array): void {
  on.geometry.dispose();
  on.geometry = new BufferGeometry();
  on.geometry.setAttribute('position', new BufferAttribute(places, 3));
}

/** Two triangles in the plane, a little larger than the part. */
function sheet(box: Box3, { axis, at }: Cut): Float32Array {
  const low = box.min.clone().subScalar(1);
  const high = box.max.clone().addScalar(1);
  const [u, v] = [(axis + 1) % 3, (axis + 2) % 3];
  const corner = (right: boolean, up: boolean) =>
    new Vector3()
      .setComponent(axis, at)
      .setComponent(u, (right ? high : low).getComponent(u))
      .setComponent(v, (up ? high : low).getComponent(v));
  const [a, b, c, d] = [corner(false, false), corner(true, false), corner(true, true), corner(false, true)];
  return new Float32Array([a, b, c, a, c, d].flatMap((one) => one.toArray()));
}
