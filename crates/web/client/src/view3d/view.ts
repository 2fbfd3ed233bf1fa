// One 3D view: the still picture until it draws, turning by hand, and a still picture again if it can't.

import type { Vector3 } from 'three';
import { say } from '../words';
import { directions, findCallouts, lay, unlay, type Callout } from './callouts';
import { Cutter } from './cutter';
import { hands } from './hands';
import { Measure } from './measure';
import { Scene } from './scene';
import { MeshError, fetchStl, type Facets } from './stl';
import { FIRST, between, bounded, facing, isTurn, keyTurn, turned, type Pose } from './turn';

const EASE_MS = 220;
/** Call-outs are looked at for being hidden when the part has come to rest. */
const REST_MS = 120;

export class View {
  private readonly still: HTMLElement | null;
  private readonly note: HTMLElement | null;
  private readonly stage = document.createElement('div');
  private readonly canvas = document.createElement('canvas');
  private readonly callouts: Callout[];
  private readonly over = new AbortController();
  private readonly sizes: ResizeObserver;
  private readonly cutter: Cutter;
  private readonly measure: Measure;
  private scene: Scene | null = null;
  private pose: Pose = { ...FIRST };
  private from: Pose = this.pose;
  private to: Pose = this.pose;
  private since = 0;
  private frame = 0;
  private rest = 0;

  constructor(private readonly host: HTMLElement) {
    this.still = host.querySelector<HTMLElement>('[data-still]');
    this.note = host.querySelector<HTMLElement>('[data-no-3d]');
    this.callouts = findCallouts(host);
    this.sizes = new ResizeObserver(() => this.resize());
    this.build();
    this.cutter = new Cutter(host, () => this.again(), this.over.signal);
    this.measure = new Measure(host, this.stage, this.canvas, this.over.signal);
    this.listen();
    this.buttons(false);
    const mesh = host.dataset['mesh'];
    if (!mesh) return;
    fetchStl(mesh, this.over.signal).then(
      (facets) => this.begin(facets),
      (error: unknown) => {
        if (!this.over.signal.aborted) this.without(error);
      },
    );
  }

  /** The stage takes the still's place, with the canvas, the still and the call-outs on it. */
  private build(): void {
    this.stage.className = 'view3d__stage';
    this.canvas.className = 'view3d__canvas';
    this.canvas.setAttribute('role', 'application');
    const part = this.still?.getAttribute('alt') || say("client-the-part").text;
    this.canvas.setAttribute('aria-label', say("client-keys").with("part", part.replace(/[.]$/, '')).text);
    if (this.still) this.still.before(this.stage);
    else this.host.prepend(this.stage);
    this.stage.append(this.canvas, ...(this.still ? [this.still] : []), ...this.callouts.map((one) => one.element));
  }

  private begin(facets: Facets): void {
    if (this.over.signal.aborted) return;
    try {
      this.scene = new Scene(this.canvas, facets, this.host);
    } catch {
      this.without(null);
      return;
    }
    this.canvas.tabIndex = 0;
    this.cutter.on(this.scene);
    this.measure.on(this.scene, facets.withinMm);
    this.sizes.observe(this.stage);
    this.show(true);
    this.resize();
    // The first frame comes without creases: they take longer than all the rest.
    setTimeout(() => {
      if (this.scene?.addCreases()) this.again();
    }, 0);
  }

  /** With 3D on, the still goes; with it off, everything is as the page was sent. */
  private show(on: boolean): void {
    if (on) this.keepShape();
    else this.stage.style.removeProperty('aspect-ratio');
    this.stage.classList.toggle('is-on', on);
    this.host.classList.toggle('is-3d', on);
    if (this.still) this.still.hidden = on;
    if (this.note) this.note.hidden = on;
    this.stills(on);
    if (!on) this.callouts.forEach(unlay);
    this.buttons(on);
  }

  /** The stage keeps the still's shape, so that nothing on the page moves. */
  private keepShape(): void {
    const { width = 0, height = 0 } = this.still?.getBoundingClientRect() ?? {};
    this.stage.style.aspectRatio = width > 0 && height > 0 ? `${width} / ${height}` : '4 / 3';
  }

  private buttons(on: boolean): void {
    this.host.querySelectorAll<HTMLElement>('[data-turn], [data-turns], [data-cut], [data-measure]').forEach((one) => (one.hidden = !on));
  }

  /** Without 3D the part is pictured from more sides; the pictures are only fetched then. */
  private stills(on: boolean): void {
    const shown = this.host.querySelector<HTMLElement>('.stills');
    if (shown) shown.hidden = on;
    const kept = this.host.querySelector<HTMLTemplateElement>('template[data-stills]');
    if (!on && !shown && kept) kept.after(kept.content.cloneNode(true));
  }

  private without(error: unknown): void {
    this.drop();
    this.show(false);
    if (this.note && error instanceof MeshError && error.kind === 'too-large') this.note.textContent = say("client-part-too-large").text;
  }

  private listen(): void {
    const { signal } = this.over;
    const { canvas, host } = this;
    host.addEventListener('click', (event) => {
      const button = event.target instanceof Element ? event.target.closest<HTMLElement>('[data-turn]') : null;
      const turn = button?.dataset['turn'];
      if (isTurn(turn)) this.ease(turned(this.to, turn));
    }, { signal });
    canvas.addEventListener('keydown', (event) => {
      if (this.measure.key(event)) {
        event.preventDefault();
        return;
      }
      const turn = keyTurn(event);
      if (!turn) return;
      event.preventDefault();
      this.ease(turned(this.to, turn));
    }, { signal });
    hands(canvas, {
      pose: () => this.pose,
      jump: (pose) => this.jump(pose),
      half: () => Math.min(this.stage.clientWidth, this.stage.clientHeight) / 2,
      tap: (x, y, coarse) => this.measure.tap(x, y, coarse),
    }, signal);
    canvas.addEventListener('webglcontextlost', (event) => {
      event.preventDefault();
      this.show(false);
    }, { signal });
    canvas.addEventListener('webglcontextrestored', () => {
      this.show(true);
      this.again();
    }, { signal });
    for (const callout of this.callouts) {
      // By keyboard at once; by pointer on the click, or the call-out would slip from under it.
      callout.element.addEventListener('focus', () => {
        if (callout.element.matches(':focus-visible')) this.face(callout);
      }, { signal });
      callout.element.addEventListener('click', () => this.face(callout), { signal });
    }
  }

  /** Turns the part until a call-out's place is seen, straight on if that can be. */
  private face(callout: Callout): void {
    const { scene, to } = this;
    if (!scene) return;
    const poses = [...directions(callout, scene.geometry, scene.middle)].map(({ x, y, z }) => facing(to, [x, y, z]));
    // Tried one by one: the first is nearly always the one.
    const pose = poses.find((one) => scene.shows(callout.place, { ...one, zoom: 1, x: 0, y: 0 })) ?? poses[0];
    if (pose) this.ease(pose.zoom > 1 ? bounded(scene.centred(pose, callout.place)) : { ...pose, x: 0, y: 0 });
  }

  private jump(pose: Pose): void {
    this.pose = this.from = this.to = bounded(pose);
    this.again();
  }

  private ease(pose: Pose): void {
    if (matchMedia('(prefers-reduced-motion: reduce)').matches) {
      this.jump(pose);
      return;
    }
    this.from = this.pose;
    this.to = pose;
    this.since = performance.now();
    this.again();
  }

  /** Asks for one frame; there is no loop while nothing changes. */
  private again(): void {
    if (this.scene && this.frame === 0) this.frame = requestAnimationFrame((now) => this.draw(now));
  }

  private draw(now: number): void {
    this.frame = 0;
    if (!this.scene) return;
    const share = this.from === this.to ? 1 : Math.min(1, Math.max(0, (now - this.since) / EASE_MS));
    this.pose = between(this.from, this.to, share);
    if (share >= 1) this.from = this.to;
    this.scene.draw(this.pose);
    this.layCallouts(this.scene);
    if (share < 1) this.again();
    clearTimeout(this.rest);
    this.rest = window.setTimeout(() => this.settle(), REST_MS);
  }

  private layCallouts(scene: Scene): void {
    const spots = this.callouts.map(({ place }) => ({ ...scene.seen(place) }));
    lay(this.callouts, spots, this.stage.clientWidth, this.stage.clientHeight);
    this.measure.lay();
  }

  private settle(): void {
    if (!this.scene) return;
    const places: Vector3[] = this.callouts.map((callout) => callout.place);
    const hidden = places.length > 0 ? this.scene.hidden(places) : [];
    this.callouts.forEach(({ element }, i) => element.classList.toggle('is-behind', hidden[i] === true));
    this.layCallouts(this.scene); // those behind make way for those in front
    // For tests and style sheets: azimuth, height, zoom of the pose in which the part rests.
    this.host.dataset['atRest'] = `${Math.round(this.pose.azimuth)} ${Math.round(this.pose.height)} ${this.pose.zoom.toFixed(2)}`;
    this.host.dataset['across'] = `${this.pose.x.toFixed(2)} ${this.pose.y.toFixed(2)}`;
  }

  private resize(): void {
    if (!this.scene) return;
    this.scene.resize(this.stage.clientWidth, this.stage.clientHeight);
    // A canvas is empty after a change of size: draw in the same task, or it flickers.
    cancelAnimationFrame(this.frame);
    this.draw(performance.now());
  }

  private drop(): void {
    cancelAnimationFrame(this.frame);
    clearTimeout(this.rest);
    this.frame = 0;
    this.sizes.disconnect();
    this.cutter.on(null);
    this.measure.on(null);
    this.scene?.dispose();
    this.scene = null;
  }

  /** Gives back the graphics memory; the still returns. */
  dispose(): void {
    this.over.abort();
    this.drop();
    this.show(false);
  }
}
