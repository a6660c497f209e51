"""Five seconds of 1080p30 against Matplotlib's own animation writer, in the same run: ``python tests/bench_clip.py``.

Both write H.264 with the same ffmpeg and preset, and draw the same frames of the same figure.  Prints seconds and their
ratio; asserts nothing.
"""

import os
import tempfile
import time
from pathlib import Path

from matplotlib.animation import FFMpegWriter, FuncAnimation

from spinlab.show import clip as clips
from spinlab.show.moving import clip_named

FAIR = ["-preset", "veryfast", "-crf", "20", "-pix_fmt", "yuv420p"]


def ours(clip, path):
    """Frames by copying what stands still, piped raw."""
    start = time.perf_counter()
    clips.make(clip, path, captions="none")
    return time.perf_counter() - start


def plain(clip, path, rate=30):
    """The library's plain way: every frame drawn whole and handed to its writer."""
    start = time.perf_counter()
    frames = clips.Frames(clip)
    for artist in frames.picture.moving:
        artist.set_animated(False)
    shares = [share for _, share in frames.moments]

    def update(share):
        frames.picture._draw(clip.at(share), frames.units)
        return []

    with frames.picture.look.applied():
        moving = FuncAnimation(frames.picture.figure, update, frames=shares, interval=1000 / rate, cache_frame_data=False)
        moving.save(path, writer=FFMpegWriter(fps=rate, codec="libx264", extra_args=FAIR), dpi=100)
    return time.perf_counter() - start


def main():
    clip = clip_named("dry-and-wet")
    print(f"load before: {os.getloadavg()[0]:.2f} on {os.cpu_count()} cores; 5 s of 1920 × 1080 at 30 a second")
    with tempfile.TemporaryDirectory() as folder:
        quick = min(ours(clip, Path(folder) / "ours.mp4") for _ in range(2))
        print(f"ours: {quick:.1f} s (under 6 wanted on two quiet cores)", flush=True)
        slow = plain(clip, str(Path(folder) / "plain.mp4"))
        print(f"plain animation writer: {slow:.1f} s; ratio {slow / quick:.1f} (4 wanted)")
        for form in ("gif", "webp"):
            start = time.perf_counter()
            clips.make(clip, Path(folder) / f"ours.{form}", captions="none")
            size = (Path(folder) / f"ours.{form}").stat().st_size
            print(f"{form}, 960 × 540 at 20 a second: {time.perf_counter() - start:.1f} s, {size / 1e6:.1f} MB", flush=True)
    print(f"load after: {os.getloadavg()[0]:.2f}")


if __name__ == "__main__":
    main()
