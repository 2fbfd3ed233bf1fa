// A small server for the client's own tests: the built scripts, pages with their hooks, a live
// stream that the test steers, and the same content security policy as the program's.

import { readFile } from 'node:fs/promises';
import { createServer } from 'node:http';
import { fileURLToPath } from 'node:url';

const CLIENT = fileURLToPath(new URL('../../crates/web/client/dist/', import.meta.url));
const LOOK = fileURLToPath(new URL('../../crates/web/assets/', import.meta.url));
const WORDS = fileURLToPath(new URL('../../crates/words/en/client.ftl', import.meta.url));
const POLICY = "default-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'self'";
/** @type {Record<string, string>} */
const KINDS = { js: 'text/javascript', css: 'text/css', woff2: 'font/woff2', svg: 'image/svg+xml' };

/** @typedef {import('node:http').ServerResponse} Response */

/**
 * @typedef {object} Fixture
 * @property {string} url
 * @property {(body: string, data?: string, tongue?: string) => void} page what `/` shows from now on
 * @property {Map<string, Buffer>} files more paths, as bytes
 * @property {string[]} live addresses on which streams were opened
 * @property {(text: string) => void} push to every open stream
 * @property {() => void} hangUp ends every open stream
 * @property {(is: boolean) => void} breaks whether parts that reload get what no page is: a 502
 * @property {string[]} posted bodies of forms
 * @property {() => void} answer lets the waiting posts go
 * @property {() => Promise<void>} close
 */

/** @returns {Promise<Fixture>} */
export async function serve() {
  const manifest = JSON.parse(await readFile(`${CLIENT}manifest.json`, 'utf8'));
  const main = manifest['src/main.ts'].file;
  const messages = (await readFile(WORDS, 'utf8')).split('\n').flatMap((line) => {
    const [id, ...text] = line.split(' = ');
    return text.length > 0 ? [[id, text.join(' = ')]] : [];
  });
  const words = JSON.stringify(Object.fromEntries(messages));
  let html = '';
  let spoken = '';
  let broken = false;
  /** @type {Set<Response>} */
  const streams = new Set();
  /** @type {Response[]} */
  const waiting = [];
  /** @type {Map<string, Buffer>} */
  const files = new Map();
  /** @type {string[]} */
  const live = [];
  /** @type {string[]} */
  const posted = [];

  const server = createServer(async (request, response) => {
    response.setHeader('content-security-policy', POLICY);
    const url = new URL(request.url ?? '/', 'http://localhost');
    const extra = files.get(url.pathname);
    if (request.method === 'POST') {
      const body = [];
      for await (const chunk of request) body.push(chunk);
      posted.push(Buffer.concat(body).toString());
      waiting.push(response);
    } else if (broken && request.headers['hx-request']) {
      response.writeHead(502).end('no page');
    } else if (url.pathname === '/') {
      response.setHeader('content-type', 'text/html; charset=utf-8').setHeader('content-language', spoken).end(html);
    } else if (url.pathname === '/live') {
      live.push(url.search);
      streams.add(response);
      response.on('close', () => streams.delete(response));
      response.setHeader('content-type', 'text/event-stream').write(':\n\n');
    } else if (url.pathname.startsWith('/assets/')) {
      const name = url.pathname.slice('/assets/'.length);
      const kind = KINDS[name.split('.').at(-1) ?? ''] ?? 'application/octet-stream';
      const file = await readFile(CLIENT + name).catch(() => readFile(LOOK + name));
      response.setHeader('content-type', kind).end(file);
    } else if (extra) {
      response.setHeader('content-type', url.pathname.endsWith('.svg') ? 'image/svg+xml' : 'model/stl').end(extra);
    } else {
      response.writeHead(404).end();
    }
  });
  await new Promise((resolve) => server.listen(0, '127.0.0.1', () => resolve(undefined)));
  const address = server.address();
  if (!address || typeof address === 'string') throw new Error('no port');
  return {
    url: `http://127.0.0.1:${address.port}`,
    page(body, data = '', tongue = 'en-GB') {
      spoken = tongue;
      html = `<!doctype html><html lang="${tongue}"><head><meta charset="utf-8"><title>Test</title><link rel="icon" href="/assets/partpledge.svg"><link rel="stylesheet" href="/assets/tokens.css"><link rel="stylesheet" href="/assets/paper.css"><script type="module" src="/assets/${main}"></script></head><body ${data}><main><h1>Test</h1><p class="hush" role="status" id="said"></p>${body}</main><script type="application/json" id="words">${words}</script></body></html>`;
    },
    files,
    live,
    push: (text) => streams.forEach((stream) => stream.write(text)),
    breaks: (is) => (broken = is),
    hangUp: () => streams.forEach((stream) => stream.end()),
    posted,
    answer: () => waiting.splice(0).forEach((one) => one.writeHead(303, { location: '/' }).end()),
    close: () =>
      new Promise((resolve) => {
        server.closeAllConnections();
        server.close(() => resolve());
      }),
  };
}

/** A box of `w` by `d` by `h` mm around the z axis, standing at `at` mm, as binary STL. */
export function boxStl(w = 40, d = 20, h = 10, at = 0) {
  const x = [-w / 2, w / 2];
  const y = [-d / 2, d / 2];
  const z = [at, at + h];
  /** @param {number} i corner 0 to 7 */
  const corner = (i) => [x[i & 1] ?? 0, y[(i >> 1) & 1] ?? 0, z[(i >> 2) & 1] ?? 0];
  const faces = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
  const triangles = faces.flatMap(([a = 0, b = 0, c = 0, e = 0]) => [[a, b, c], [a, c, e]]);
  const bytes = Buffer.alloc(84 + 50 * triangles.length);
  bytes.writeUInt32LE(triangles.length, 80);
  triangles.forEach((triangle, n) =>
    triangle.flatMap(corner).forEach((value, i) => bytes.writeFloatLE(value, 84 + 50 * n + 12 + 4 * i)),
  );
  return bytes;
}
