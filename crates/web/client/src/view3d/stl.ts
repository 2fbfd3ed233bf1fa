// Binary STL in, triangle corners and flat normals out.

/** More than this is not fetched: a school laptop would stand still. In bytes. */
export const MOST_BYTES = 25_000_000;

/** Why there is no mesh. */
export class MeshError extends Error {
  constructor(readonly kind: 'too-large' | 'unreadable') {
    super(kind);
  }
}

/** Corners and normals, nine numbers each a triangle, in mm. */
export interface Facets {
  readonly corners: Float32Array;
  readonly normals: Float32Array;
  /** How far the mesh strays from the part, mm; null when it is the part itself. */
  readonly withinMm: number | null;
}

const HEAD_BYTES = 84;
const FACET_BYTES = 50;

/** Fetches a binary STL and gives up as soon as it is larger than {@link MOST_BYTES}. */
export async function fetchStl(url: string, signal: AbortSignal): Promise<Facets> {
  const answer = await fetch(url, { signal });
  if (!answer.ok || !answer.body) throw new MeshError('unreadable');
  if (Number(answer.headers.get('content-length') ?? 0) > MOST_BYTES) {
    await answer.body.cancel();
    throw new MeshError('too-large');
  }
  const pieces: Uint8Array[] = [];
  let length = 0;
  const reader = answer.body.getReader();
  for (let piece = await reader.read(); !piece.done; piece = await reader.read()) {
    length += piece.value.length;
    if (length > MOST_BYTES) {
      await reader.cancel();
      throw new MeshError('too-large');
    }
    pieces.push(piece.value);
  }
  const bytes = new Uint8Array(length);
  let at = 0;
  for (const piece of pieces) {
    bytes.set(piece, at);
    at += piece.length;
  }
  const within = answer.headers.get('partpledge-within-mm');
  return { ...readStl(bytes), withinMm: within === null ? null : Number(within) };
}

/** The facets of a binary STL. Normals are reckoned from the corners; the file's are often wrong. */
export function readStl(bytes: Uint8Array): Facets {
  const data = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < HEAD_BYTES) throw new MeshError('unreadable');
  const count = data.getUint32(80, true);
  if (count === 0 || bytes.length < HEAD_BYTES + count * FACET_BYTES) throw new MeshError('unreadable');
  const corners = new Float32Array(count * 9);
  const normals = new Float32Array(count * 9);
  for (let facet = 0; facet < count; facet += 1) {
    const from = HEAD_BYTES + facet * FACET_BYTES + 12;
    for (let i = 0; i < 9; i += 1) corners[facet * 9 + i] = data.getFloat32(from + i * 4, true);
    normal(corners, normals, facet * 9);
  }
  if (!corners.every(Number.isFinite)) throw new MeshError('unreadable');
  return { corners, normals, withinMm: null };
}

function normal(corners: Float32Array, normals: Float32Array, at: number): void {
  const c = (i: number) => corners[at + i] ?? 0;
  const [ux, uy, uz] = [c(3) - c(0), c(4) - c(1), c(5) - c(2)];
  const [vx, vy, vz] = [c(6) - c(0), c(7) - c(1), c(8) - c(2)];
  const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
  const length = Math.hypot(x, y, z) || 1;
  for (let i = 0; i < 9; i += 3) normals.set([x / length, y / length, z / length], at + i);
}
