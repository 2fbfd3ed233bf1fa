// Which way the part is turned, how near it is, and what is in the middle. No screen in here.

/**
 * `azimuth`: which side is in front, 0 is the front, 90 the right. `height`: 90 is from the top. Both in
 * degrees. `x`, `y`: what stands in the middle, right and up of the part's own middle, in halves of
 * the stage's shorter side at zoom 1.
 */
export interface Pose {
  azimuth: number;
  height: number;
  zoom: number;
  x: number;
  y: number;
}

export const FIRST: Readonly<Pose> = { azimuth: 35, height: 28, zoom: 1, x: 0, y: 0 };
const STEP_DEG = 15;
const ZOOM_STEP = 1.25;
/** A step across, as a share of what is seen. */
const MOVE_STEP = 0.25;
const [FARTHEST, NEAREST] = [0.5, 12];

/** What buttons and keys can ask for. */
export type Turn =
  | 'left' | 'right' | 'up' | 'down'
  | 'nearer' | 'farther'
  | 'front' | 'top' | 'under'
  | 'moveLeft' | 'moveRight' | 'moveUp' | 'moveDown'
  | 'reset';

/** The part moves that way, so what stands in the middle moves the other. */
const moved = (pose: Pose, x: number, y: number): Pose => {
  const step = MOVE_STEP / pose.zoom;
  return { ...pose, x: pose.x - x * step, y: pose.y - y * step };
};

const TURNS: Readonly<Record<Turn, (pose: Pose) => Pose>> = {
  // The names say where the viewer goes on seeing from: `right` shows more of the right side.
  left: (pose) => ({ ...pose, azimuth: pose.azimuth - STEP_DEG }),
  right: (pose) => ({ ...pose, azimuth: pose.azimuth + STEP_DEG }),
  up: (pose) => ({ ...pose, height: pose.height + STEP_DEG }),
  down: (pose) => ({ ...pose, height: pose.height - STEP_DEG }),
  nearer: (pose) => ({ ...pose, zoom: pose.zoom * ZOOM_STEP }),
  farther: (pose) => ({ ...pose, zoom: pose.zoom / ZOOM_STEP }),
  front: (pose) => ({ ...pose, azimuth: nearestTurn(pose.azimuth, 0), height: 0 }),
  top: (pose) => ({ ...pose, azimuth: nearestTurn(pose.azimuth, 0), height: 90 }),
  under: (pose) => ({ ...pose, azimuth: nearestTurn(pose.azimuth, 0), height: -90 }),
  moveLeft: (pose) => moved(pose, -1, 0),
  moveRight: (pose) => moved(pose, 1, 0),
  moveUp: (pose) => moved(pose, 0, 1),
  moveDown: (pose) => moved(pose, 0, -1),
  reset: (pose) => ({ ...FIRST, azimuth: nearestTurn(pose.azimuth, FIRST.azimuth) }),
};

const KEYS: Readonly<Record<string, Turn>> = {
  ArrowLeft: 'left',
  ArrowRight: 'right',
  ArrowUp: 'up',
  ArrowDown: 'down',
  '+': 'nearer',
  '=': 'nearer',
  '-': 'farther',
  '0': 'reset',
};

const SHIFTED: Readonly<Record<string, Turn>> = {
  ArrowLeft: 'moveLeft',
  ArrowRight: 'moveRight',
  ArrowUp: 'moveUp',
  ArrowDown: 'moveDown',
};

export function turned(pose: Pose, turn: Turn): Pose {
  return bounded(TURNS[turn](pose));
}

export function isTurn(name: string | undefined): name is Turn {
  return name !== undefined && Object.hasOwn(TURNS, name);
}

export function keyTurn(event: KeyboardEvent): Turn | undefined {
  if (event.ctrlKey || event.metaKey || event.altKey) return undefined;
  if (event.shiftKey && Object.hasOwn(SHIFTED, event.key)) return SHIFTED[event.key];
  return Object.hasOwn(KEYS, event.key) ? KEYS[event.key] : undefined;
}

/** Within reach: the part never leaves the stage. */
export function bounded(pose: Pose): Pose {
  const within = (value: number, most: number) => Math.min(most, Math.max(-most, value));
  return {
    azimuth: pose.azimuth,
    height: within(pose.height, 90),
    zoom: Math.min(NEAREST, Math.max(FARTHEST, pose.zoom)),
    x: within(pose.x, 1),
    y: within(pose.y, 1),
  };
}

/** The pose from which something that looks along `[x, y, z]` is seen face on. */
export function facing(pose: Pose, [x, y, z]: readonly [number, number, number]): Pose {
  const flat = Math.hypot(x, y);
  const degrees = 180 / Math.PI;
  const azimuth = flat < 1e-6 ? pose.azimuth : nearestTurn(pose.azimuth, Math.atan2(x, -y) * degrees);
  return bounded({ ...pose, azimuth, height: Math.atan2(z, flat) * degrees });
}

/** The same direction as `wanted`, by the shorter way round from `now`. */
export function nearestTurn(now: number, wanted: number): number {
  return wanted + 360 * Math.round((now - wanted) / 360);
}

/** Between two poses, 0 to 1, slower towards the end. */
export function between(from: Pose, to: Pose, share: number): Pose {
  const eased = 1 - (1 - share) ** 3;
  const mix = (a: number, b: number) => (share >= 1 ? b : a + (b - a) * eased);
  return {
    azimuth: mix(from.azimuth, to.azimuth),
    height: mix(from.height, to.height),
    zoom: mix(from.zoom, to.zoom),
    x: mix(from.x, to.x),
    y: mix(from.y, to.y),
  };
}
