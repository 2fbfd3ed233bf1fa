// The program on data of its own, and a wire to it that a test can cut.

import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { connect, createServer } from 'node:net';

const program = process.env['PARTPLEDGE_BIN'] ?? '';
assert.ok(program, 'PARTPLEDGE_BIN names the program; `cargo xtask browser` sets it');

const WHEN = '2027-03-09T09:40:00+01:00';

/** The program on a data folder of its own, at a port that stays over a restart. */
export class Program {
  port = 0;
  /** @type {import('node:child_process').ChildProcess | null} */
  child = null;

  /** @param {string} data */
  constructor(data) {
    this.data = data;
  }

  /** @param {string} [when] the clock's first moment @returns {Promise<void>} */
  start(when = WHEN) {
    const child = spawn(program, ['--at', when, 'demo', '--port', String(this.port), '--data', this.data], { stdio: ['ignore', 'pipe', 'inherit'] });
    this.child = child;
    return new Promise((resolve, reject) => {
      let said = '';
      child.stdout.on('data', (chunk) => {
        said += chunk;
        const found = /http:\/\/127\.0\.0\.1:(\d+)/.exec(said);
        if (found) {
          this.port = Number(found[1]);
          resolve();
        }
      });
      child.on('exit', () => reject(new Error(`the program ended: ${said}`)));
    });
  }

  /** As by `kill -9`: nothing is put in order first. @returns {Promise<void>} */
  kill() {
    return new Promise((resolve) => {
      this.child?.removeAllListeners('exit');
      this.child?.on('exit', () => resolve());
      this.child?.kill('SIGKILL');
    });
  }
}

/** The wire. */
export class Wire {
  whole = true;
  port = 0;
  /** @type {Set<import('node:net').Socket>} */
  sockets = new Set();

  /** @param {Program} to */
  constructor(to) {
    this.server = createServer((socket) => {
      if (!this.whole) return void socket.destroy();
      const far = connect(to.port, '127.0.0.1');
      for (const one of [socket, far]) {
        this.sockets.add(one);
        one.on('error', () => undefined);
        one.on('close', () => {
          this.sockets.delete(one);
          (one === socket ? far : socket).destroy();
        });
      }
      socket.pipe(far);
      far.pipe(socket);
    });
  }

  /** @returns {Promise<string>} */
  listen() {
    return new Promise((resolve) => {
      this.server.listen(0, '127.0.0.1', () => {
        const address = this.server.address();
        this.port = typeof address === 'object' && address ? address.port : 0;
        resolve(`http://127.0.0.1:${this.port}`);
      });
    });
  }

  cut() {
    this.whole = false;
    this.sockets.forEach((socket) => socket.destroy());
  }

  mend() {
    this.whole = true;
  }

  close() {
    this.cut();
    this.server.close();
  }
}
