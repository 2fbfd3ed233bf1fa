"""Some workers at a time, each held to a time limit a file and started again when it falls over."""
import json
import os
import select
import subprocess
import sys
import threading

WORKER = os.path.join(os.path.dirname(os.path.abspath(__file__)), "worker.py")


class Worker:
    """A process that answers line by line."""

    def __init__(self, bench):
        self.bench, self.process = bench, None

    def start(self):
        one_thread = dict(os.environ, OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1")
        self.process = subprocess.Popen([sys.executable, WORKER, self.bench], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                                        stderr=subprocess.PIPE, env=one_thread)
        self.said = []
        threading.Thread(target=self.listen, args=(self.process.stderr, self.said), daemon=True).start()

    @staticmethod
    def listen(stream, said):
        for line in stream:
            said.append(line.decode(errors="replace").strip())
            del said[:-5]

    def stop(self):
        if self.process:
            self.process.kill()
            self.process.wait()
            self.process = None

    def ask(self, request, limit_s):
        """The answer, or how it failed."""
        if self.process is None:
            self.start()
        try:
            self.process.stdin.write(json.dumps(request).encode() + b"\n")
            self.process.stdin.flush()
            # An answer is one line, written at once: when its first byte is there, the rest follows.
            if not select.select([self.process.stdout], [], [], limit_s)[0]:
                self.stop()
                return {"failure": f"still running after {limit_s:.0f} s"}
            line = self.process.stdout.readline()
            if line:
                return json.loads(line)
            code = self.process.wait()
        except BrokenPipeError:
            code = self.process.wait()
        self.stop()
        return {"failure": f"a library ended the process with {code}: {' '.join(self.said[-1:])}"}


def answers(bench, requests, jobs, limit_s):
    """One answer a request, in their order."""
    out, left, lock = [None] * len(requests), iter(enumerate(requests)), threading.Lock()

    def work():
        worker = Worker(bench)
        while True:
            with lock:
                item = next(left, None)
            if item is None:
                break
            out[item[0]] = worker.ask(item[1], limit_s)
        worker.stop()

    threads = [threading.Thread(target=work) for _ in range(jobs)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return out
