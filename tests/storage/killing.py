"""Kill a writer at random moments, for real, and count what it left."""

import os
import signal
import time

import numpy as np


def kill_often(write_forever, *, times, after_each, longest_s, seed):
    """Fork a writer, kill -9 it after a random while, look at what stands; many times."""
    moments = np.random.default_rng(seed).uniform(0.0, longest_s, times)
    for moment in moments:
        ready, told = os.pipe()
        writer = os.fork()
        if writer == 0:
            try:
                os.write(told, b"!")
                write_forever()
            finally:
                os._exit(1)
        os.read(ready, 1)
        os.close(ready)
        os.close(told)
        time.sleep(moment)
        os.kill(writer, signal.SIGKILL)
        _, status = os.waitpid(writer, 0)
        assert os.WIFSIGNALED(status), "the writer died of itself"
        after_each()
