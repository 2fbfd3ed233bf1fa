// What is drawn: the clay part, its creases, and how they look from a pose. No events in here.

import {
  Box3,
  Group,
  LinearSRGBColorSpace,
  MathUtils,
  Matrix4,
  OrthographicCamera,
  Scene as Stage,
  Vector3,
  WebGLRenderTarget,
  WebGLRenderer,
  type BufferGeometry,
} from 'three';
import { CREASES_UP_TO, clay, creases, depthAt, depthMaterial, noPlane, setPlane } from './clay';
import { Face } from './face';
import { firstHit, stays, type Cut, type Sight } from './pick';
import type { Facets } from './stl';
import type { Pose } from './turn';

/** Room around the part: the call-outs stand partly outside it. */
const MARGIN = 1.12;
const MOST_PIXEL_RATIO = 2;
/** Side of the picture that tells which call-outs are hidden. */
const DEPTH_PX = 256;

/** A point on the stage in CSS px, and its depth from 0 (near) to 1. */
export interface Seen {
  readonly x: number;
  readonly y: number;
  readonly depth: number;
}

/** The part on its stage. Throws where there is no WebGL. */
export class Scene {
  readonly middle = new Vector3();
  private readonly renderer: WebGLRenderer;
  private readonly stage = new Stage();
  private readonly camera = new OrthographicCamera();
  private readonly part = new Group();
  private readonly plane = noPlane();
  private readonly mesh;
  private readonly face: Face;
  private readonly depths = depthMaterial(this.plane);
  readonly radius: number;
  readonly box: Box3;
  private readonly onScreen = new Matrix4();
  private lines: ReturnType<typeof creases> | null = null;
  private cut: Cut | null = null;
  /** Corners of the cut face, x y z one after the other. */
  private cutCorners = new Float32Array();
  private width = 1;
  private height = 1;

  constructor(
    canvas: HTMLCanvasElement,
    facets: Facets,
    private readonly host: Element,
  ) {
    this.renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true, stencil: true });
    this.renderer.outputColorSpace = LinearSRGBColorSpace;
    this.renderer.setClearColor(0, 0);
    this.mesh = clay(facets, host, this.plane);
    this.face = new Face(this.mesh.geometry, host, this.plane);
    this.box = this.mesh.geometry.boundingBox ?? new Box3();
    this.box.getCenter(this.middle);
    this.radius = Math.max(this.box.getSize(new Vector3()).length() / 2, 1e-3);
    this.part.add(this.face.group, this.mesh);
    this.stage.add(this.part);
    this.camera.position.z = 2 * this.radius;
    this.camera.near = 0.5 * this.radius;
    this.camera.far = 3.5 * this.radius;
  }

  get geometry(): BufferGeometry {
    return this.mesh.geometry;
  }

  /** Adds the dark crease lines; false if the part has too many triangles for them. */
  addCreases(): boolean {
    if (this.lines || this.geometry.getAttribute('position').count > 3 * CREASES_UP_TO) return false;
    this.lines = creases(this.geometry, this.host, this.plane);
    this.part.add(this.lines);
    return true;
  }

  /** Cuts the part open, or makes it whole. */
  setCut(cut: Cut | null): void {
    this.cut = cut;
    setPlane(this.plane, cut);
    this.cutCorners = new Float32Array(this.face.lay(cut));
  }

  /** In CSS px. */
  resize(width: number, height: number): void {
    this.width = Math.max(1, width);
    this.height = Math.max(1, height);
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, MOST_PIXEL_RATIO));
    this.face.pixel = this.renderer.getPixelRatio();
    this.renderer.setSize(this.width, this.height, false);
  }

  draw(pose: Pose): void {
    this.look(pose);
    this.renderer.render(this.stage, this.camera);
  }

  /** How the part is turned in a pose, about its middle. */
  private turnedTo(pose: Pose): Matrix4 {
    const tilt = new Matrix4().makeRotationX(MathUtils.degToRad(pose.height - 90));
    const spin = new Matrix4().makeRotationZ(MathUtils.degToRad(-pose.azimuth));
    const centre = new Matrix4().makeTranslation(-this.middle.x, -this.middle.y, -this.middle.z);
    return tilt.multiply(spin).multiply(centre);
  }

  /** The same pose with a place in the middle of the stage. */
  centred(pose: Pose, place: Vector3): Pose {
    const at = place.clone().applyMatrix4(this.turnedTo(pose));
    const reach = this.radius * MARGIN;
    return { ...pose, x: at.x / reach, y: at.y / reach };
  }

  private look(pose: Pose): void {
    this.part.matrixAutoUpdate = false;
    this.part.matrix.copy(this.turnedTo(pose));
    this.part.matrixWorldNeedsUpdate = true;
    const reach = this.radius * MARGIN;
    const aspect = this.width / this.height;
    this.camera.top = reach * Math.max(1, 1 / aspect);
    this.camera.right = reach * Math.max(1, aspect);
    this.camera.bottom = -this.camera.top;
    this.camera.left = -this.camera.right;
    this.camera.zoom = pose.zoom;
    this.camera.position.x = pose.x * reach;
    this.camera.position.y = pose.y * reach;
    this.camera.updateProjectionMatrix();
    this.camera.updateMatrixWorld();
    this.onScreen
      .multiplyMatrices(this.camera.projectionMatrix, this.camera.matrixWorldInverse)
      .multiply(this.part.matrix);
  }

  /** Where a place on the part stood in the last drawing. */
  seen(place: Vector3): Seen {
    const at = place.clone().applyMatrix4(this.onScreen);
    return {
      x: ((at.x + 1) / 2) * this.width,
      y: ((1 - at.y) / 2) * this.height,
      depth: (at.z + 1) / 2,
    };
  }

  /** The line of sight through a point of the stage, in CSS px. */
  private sight(x: number, y: number): Sight {
    const back = this.onScreen.clone().invert();
    const at = (depth: number) =>
      new Vector3((2 * x) / this.width - 1, 1 - (2 * y) / this.height, depth).applyMatrix4(back);
    const from = at(-1);
    return { from, way: at(1).sub(from).normalize() };
  }

  /**
   * The place of the part that is seen at a point of the stage, in mm: a corner that is seen within so
   * many px of it, or else what is exactly there. Null where nothing is.
   */
  pick(x: number, y: number, snapPx: number): Vector3 | null {
    const skin = this.geometry.getAttribute('position').array as Float32Array;
    const exact = firstHit(skin, this.sight(x, y), this.cut);
    const near = this.nearCorners(x, y, snapPx).find((corner) => {
      const at = this.seen(corner);
      const sight = this.sight(at.x, at.y);
      const hit = firstHit(skin, sight, this.cut);
      const [deep, first] = [corner, hit ?? corner].map((one) => one.clone().sub(sight.from).dot(sight.way));
      return (deep ?? 0) <= (first ?? 0) + SNAP_SLACK * this.radius;
    });
    return near ?? exact;
  }

  /** Corners within so many px, the nearest first; few, since each is looked at for being hidden. */
  private nearCorners(x: number, y: number, within: number): Vector3[] {
    const edges = this.lines?.geometry.getAttribute('position').array ?? this.geometry.getAttribute('position').array;
    const found = new Map<string, { place: Vector3; far: number }>();
    for (const list of [this.cutCorners, edges]) {
      for (let i = 0; i + 2 < list.length; i += 3) {
        const place = new Vector3(list[i], list[i + 1], list[i + 2]);
        const at = this.seen(place);
        const far = Math.hypot(at.x - x, at.y - y);
        if (far > within || !stays(place, this.cut, 1e-3)) continue;
        found.set(place.toArray().join(), { place, far });
      }
    }
    const sorted = [...found.values()].sort((a, b) => a.far - b.far);
    return sorted.slice(0, MOST_SNAPS).map((one) => one.place);
  }

  /** Whether a place is still there, the part being cut as it is. */
  isThere(place: Vector3): boolean {
    return stays(place, this.cut, PAST_CUT * this.radius);
  }

  /** Whether a place would be seen from a pose; what is on the screen stays as it is. */
  shows(place: Vector3, pose: Pose): boolean {
    this.look(pose);
    return this.hidden([place])[0] === false;
  }

  /** For each place, whether the part stands in front of it from where the last drawing was made. */
  hidden(places: readonly Vector3[]): boolean[] {
    const target = new WebGLRenderTarget(DEPTH_PX, DEPTH_PX);
    const pixels = new Uint8Array(DEPTH_PX * DEPTH_PX * 4);
    const [linesShown, faceShown] = [this.lines?.visible ?? false, this.face.group.visible];
    if (this.lines) this.lines.visible = false;
    this.face.group.visible = false;
    this.stage.overrideMaterial = this.depths;
    this.renderer.setRenderTarget(target);
    this.renderer.clear();
    this.renderer.render(this.stage, this.camera);
    this.renderer.readRenderTargetPixels(target, 0, 0, DEPTH_PX, DEPTH_PX, pixels);
    this.renderer.setRenderTarget(null);
    this.stage.overrideMaterial = null;
    if (this.lines) this.lines.visible = linesShown;
    this.face.group.visible = faceShown;
    target.dispose();
    return places.map((place) => {
      const { x, y, depth } = this.seen(place);
      return !this.isThere(place) || depth > this.nearest(pixels, x / this.width, 1 - y / this.height) + SLACK;
    });
  }

  /** The farthest of the depths around a point: one open pixel beside an edge is enough to be seen. */
  private nearest(pixels: Uint8Array, u: number, v: number): number {
    let far = 0;
    const [column, row] = [Math.floor(u * DEPTH_PX), Math.floor(v * DEPTH_PX)];
    for (let dx = -1; dx <= 1; dx += 1) {
      for (let dy = -1; dy <= 1; dy += 1) {
        const [c, r] = [column + dx, row + dy];
        const inside = c >= 0 && r >= 0 && c < DEPTH_PX && r < DEPTH_PX;
        far = Math.max(far, inside ? depthAt(pixels, 4 * (r * DEPTH_PX + c)) : 1);
      }
    }
    return far;
  }

  dispose(): void {
    this.face.dispose();
    this.lines?.geometry.dispose();
    this.lines?.material.dispose();
    this.mesh.geometry.dispose();
    this.mesh.material.dispose();
    this.depths.dispose();
    this.renderer.dispose();
  }
}

/** A call-out lies on the surface that would hide it; this much deeper still counts as on it. */
const SLACK = 0.01;
/** A corner this much deeper than what is seen there still counts as seen; a share of the radius. */
const SNAP_SLACK = 2e-3;
/** Call-outs this far into what is away still count as there; a share of the radius. */
const PAST_CUT = 5e-3;
/** Most corners looked at for one point. */
const MOST_SNAPS = 6;
