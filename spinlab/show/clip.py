"""Clips: a moving picture as MP4, GIF or WebP, with captions burnt in or beside it.

Frames are drawn by copying what stands still and drawing only what moves (`spinlab.show.picture`).  What differs from the
frame before, a hundredth of the picture, is turned into the colours of video (`Planes`) and piped to the system's ffmpeg,
which packs it on the other core meanwhile.  The file appears under its name only when it is whole.
"""

from __future__ import annotations

import contextlib
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image

from ..files import draft_of, write_atomically
from .frame import framed_picture
from .gallery import Cancelled
from .style import UNITS, look

RATES = {"mp4": 30, "gif": 20, "webp": 20}
"""Kinds of file and their frames a second.  A GIF counts in hundredths of a second, which 20 divides evenly."""
SIZES = ("wide", "tall")
SCALES = {"mp4": 1.0, "gif": 0.5, "webp": 0.5}
_STILL = 0.1
"""Share of a clip that stands still at the beginning, and again at the end."""
NO_FFMPEG = ("an MP4 needs the program ffmpeg, which is not on this machine; install it (Debian and Ubuntu: apt install "
             "ffmpeg), or ask for a .gif or .webp, which need nothing")


@dataclass(frozen=True, kw_only=True)
class Caption:
    """Words from `begin` to `end`, as shares of the clip."""

    begin: float
    end: float
    words: str


@dataclass(frozen=True, kw_only=True)
class Clip:
    """A moving picture: `at(share)` gives the builder's result for a share 0 … 1 of what happens."""

    name: str
    title: str
    build: Callable
    at: Callable
    captions: tuple[Caption, ...]
    source: str
    seconds: float = 5.0


def moments(clip: Clip, rate: float):
    """Share of the clip and share of what happens, for every frame; it stands still for a tenth at either end."""
    whole = max(round(clip.seconds * rate), 2)
    for frame in range(whole):
        passed = frame / (whole - 1)
        yield passed, float(np.clip((passed - _STILL) / (1 - 2 * _STILL), 0, 1))


class Frames:
    """The pixels of a clip's frames, one after the other.  `count` says how many."""

    def __init__(self, clip: Clip, size="wide", *, theme="light", rate=30, scale=1.0, units="metric", burnt=False):
        for what, asked, known in (("size", size, SIZES), ("units", units, UNITS)):
            if asked not in known:
                raise ValueError(f"{what} must be one of {', '.join(known)}, got {asked!r}")
        self.clip, self.units, self._now = clip, UNITS[units], 0.0
        self.moments = tuple(moments(clip, rate))
        self.count = len(self.moments)
        shape = look(size, theme)
        self.picture = framed_picture(clip.build, shape, title=clip.title, lines=2 if burnt else 0, said=self._caption,
                                      foot=clip.source)
        if scale != 1.0:
            self.picture.scale(shape.width * scale)
        self.width, self.height = (edge // 2 * 2 for edge in self.picture.figure.canvas.get_width_height())  # video is even

    def _caption(self, result, sentence):
        return next((c.words for c in self.clip.captions if c.begin <= self._now <= c.end), "")

    def __iter__(self):
        before, pixels = None, None
        for passed, share in self.moments:
            self._now = passed
            key = share, self._caption(None, "")
            if key != before:
                self.picture.show(self.clip.at(share), self.units)
                before, pixels = key, self.picture.pixels[:self.height, :self.width]
            yield pixels


def make(clip: Clip, path, *, size="wide", theme="light", units="metric", captions="beside", rate=None, scale=None,
         progress=None, stop=None) -> list[Path]:
    """Make a clip; returns the files: the clip, and its captions where they are beside it.

    Parameters
    ----------
    path : path
        ends in .mp4, .gif or .webp
    size : {"wide", "tall"}
    captions : {"beside", "burnt", "none"}
        beside: a WebVTT file of the same name
    rate, scale : float, optional
        frames a second and size against 1920 × 1080; 30 and 1 for MP4, 20 and ½ else
    progress : callable, optional
        ``progress(done, whole)`` after each frame
    stop : callable, optional
        asked before each frame; when it says True, `Cancelled` is raised and no file is left
    """
    path, form = Path(path), Path(path).suffix.lower().lstrip(".")
    if form not in RATES:
        raise ValueError(f"a clip's name must end in .mp4, .gif or .webp, got {path.name!r}")
    if captions not in ("beside", "burnt", "none"):
        raise ValueError(f"captions must be beside, burnt or none, got {captions!r}")
    if form == "mp4" and not shutil.which("ffmpeg"):
        raise ValueError(NO_FFMPEG)
    rate, scale = rate or RATES[form], scale or SCALES[form]
    frames = Frames(clip, size, theme=theme, rate=rate, scale=scale, units=units, burnt=captions == "burnt")
    watched = _watched(frames, progress, stop)
    with draft_of(path) as draft:
        if form == "mp4":
            _pipe(watched, frames, rate, clip.title, draft)
        else:
            _animate(watched, rate, form, draft)
    written = [path]
    if captions == "beside":
        written.append(write_atomically(path.with_suffix(".vtt"), web_vtt(clip).encode("utf-8")))
    return written


def _watched(frames, progress, stop):
    for done, pixels in enumerate(frames, 1):
        if stop and stop():
            raise Cancelled(f"stopped at frame {done} of {frames.count}; nothing was left behind")
        yield pixels
        if progress:
            progress(done, frames.count)


class Planes:
    """Pixels as HD video keeps them: brightness for each, two differences of colour for each four (4:2:0, ITU-R BT.709).

    Of each picture only the blocks of 2 × 2 that are not as they were are worked out: ``Y = 16 + 219 E'y``,
    ``Cb = 128 + 224 E'cb``, ``Cr = 128 + 224 E'cr`` with ``E'y = 0.2126 R + 0.7152 G + 0.0722 B``,
    ``E'cb = (B − E'y) / 1.8556``, ``E'cr = (R − E'y) / 1.5748`` (ITU-R BT.709-6, items 3.2 to 3.5 [M]).
    """

    _SHIFTS = (0, 8, 16) if sys.byteorder == "little" else (24, 16, 8)

    def __init__(self, width, height):
        rows, columns = height // 2, width // 2
        self.data = np.zeros(6 * rows * columns, dtype=np.uint8)
        bright, self._blue, self._red = np.split(self.data, [4 * rows * columns, 5 * rows * columns])
        self._bright = _in_blocks(bright.reshape(height, width))
        self._before = np.zeros((height, width), dtype=np.uint32)  # a pixel is a number; none is quite clear

    def of(self, pixels):
        """The planes of a picture of even width and height, one after the other; they hold until the next."""
        now = np.ascontiguousarray(pixels).view(np.uint32)[..., 0]
        pairs = now.view(np.uint64) != self._before.view(np.uint64)
        changed = np.flatnonzero(pairs[::2] | pairs[1::2])
        where = np.divmod(changed, pairs.shape[1])
        found = _in_blocks(now)[where]
        _in_blocks(self._before)[where] = found
        corners = found.reshape(-1, 4).T
        red, green, blue = (((corners >> shift) & 255).astype(np.float32) / 255 for shift in self._SHIFTS)
        bright = 0.2126 * red + 0.7152 * green + 0.0722 * blue
        self._bright[where] = np.rint(16 + 219 * bright).T.reshape(-1, 2, 2)
        self._blue[changed] = np.rint(128 + 224 * (blue - bright).mean(axis=0) / 1.8556)
        self._red[changed] = np.rint(128 + 224 * (red - bright).mean(axis=0) / 1.5748)
        return self.data


def _in_blocks(plane):
    """A plane seen as rows and columns of 2 × 2 pixels."""
    high, wide = plane.shape
    return plane.reshape(high // 2, 2, wide // 2, 2).swapaxes(1, 2)


PACKED = ["-c:v", "libx264", "-preset", "veryfast", "-crf", "20", "-pix_fmt", "yuv420p", "-color_range", "tv",
          "-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709"]
"""How ffmpeg packs a clip: H.264 in the colours of HD video."""


def ffmpeg_command(width, height, rate, title, target) -> list[str]:
    """What ffmpeg is asked: planes in, H.264 out, ready to start before it is loaded."""
    taken = ["-f", "rawvideo", "-pix_fmt", "yuv420p", "-s", f"{width}x{height}", "-r", f"{rate:g}", "-i", "-", "-an"]
    written = ["-chroma_sample_location", "center", "-movflags", "+faststart", "-metadata", f"title={title}", "-f", "mp4"]
    place = f"file:{target}"  # a colon in a name means no protocol
    return ["ffmpeg", "-y", "-loglevel", "error", *taken, *PACKED, *written, place]


def _pipe(pixels, frames, rate, title, target):
    """Frames through ffmpeg into a file; whatever happens, ffmpeg is gone afterwards."""
    planes = Planes(frames.width, frames.height)
    command = ffmpeg_command(frames.width, frames.height, rate, title, target)
    with subprocess.Popen(command, stdin=subprocess.PIPE, stderr=subprocess.PIPE) as packer:
        try:
            for frame in pixels:
                if not _taken(packer, planes.of(frame)):
                    break  # it says why on its way out
        except BaseException:
            packer.kill()
            raise
        finally:
            with contextlib.suppress(OSError):  # what it did not take any more
                packer.stdin.close()
        trouble = packer.stderr.read().decode(errors="replace").strip()
    if packer.returncode or not target.stat().st_size:
        raise OSError(f"ffmpeg could not make the clip: {trouble.splitlines()[-1] if trouble else packer.returncode}")


def _taken(packer, planes) -> bool:
    """Hand ffmpeg a frame; False where it is gone: a broken pipe, on Windows an invalid argument."""
    try:
        packer.stdin.write(planes)
    except OSError:
        return False
    return True


def _animate(pixels, rate, form, target):
    """Frames into an animated GIF or WebP."""
    pictures = (Image.fromarray(frame[..., :3].copy()) for frame in pixels)
    first = next(pictures)
    options = {"save_all": True, "duration": round(1000 / rate), "loop": 0}
    if form == "gif":
        # one palette for all: colours do not flicker, and what stands still is left out of later frames
        palette = first.quantize(255, method=Image.Quantize.MEDIANCUT)
        rest = (picture.quantize(palette=palette, dither=Image.Dither.NONE) for picture in pictures)
        palette.save(target, format="GIF", append_images=rest, optimize=False, **options)
    else:
        first.save(target, format="WEBP", append_images=pictures, quality=85, method=2, **options)


# -- captions ---------------------------------------------------------------------------------------------------------


def web_vtt(clip: Clip) -> str:
    """The captions as WebVTT (W3C), kept clear of the lowest part of the picture, the source as a note."""
    cues = [f"{_clock(c.begin * clip.seconds)} --> {_clock(c.end * clip.seconds)} line:80%\n{_cue_text(c.words)}"
            for c in clip.captions]
    return "\n\n".join(["WEBVTT", f"NOTE {_cue_text(clip.title)}. {_cue_text(clip.source)}", *cues]) + "\n"


def _clock(seconds):
    minutes, seconds = divmod(round(seconds * 1000), 60_000)
    return f"{minutes // 60:02d}:{minutes % 60:02d}:{seconds // 1000:02d}.{seconds % 1000:03d}"


def _cue_text(words):
    """Text of a cue: its three special characters written out, on one line."""
    return " ".join(words.split()).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
