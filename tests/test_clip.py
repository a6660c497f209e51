"""Clips: what a reader sees in them, captions, and that nothing half is left behind.

Marks: S seen, Q quoted, M from memory, C computed, J our judgement.
"""

import json
import re
import shutil
import subprocess
import time

import numpy as np
import pytest
from PIL import Image

from spinlab.show import clip as clips
from spinlab.show import moving
from spinlab.show.clip import Caption, Clip, Frames, Planes, make, moments, web_vtt
from spinlab.show.draw_moving import track
from spinlab.show.gallery import Cancelled

needs_ffmpeg = pytest.mark.skipif(not shutil.which("ffmpeg"), reason="MP4 needs the program ffmpeg")


def line(look):
    """A builder of one moving dot: quick to draw, easy to find."""
    figure = look.figure()
    ax = figure.add_axes((0, 0, 1, 1))
    ax.set(xlim=(0, 1), ylim=(0, 1))
    ax.set_axis_off()
    dot, = ax.plot([], [], "s", ms=0.05 * look.height, color="#FF0000")

    def draw(share, units):
        dot.set_data([share], [0.5])
        return f"{share:.2f}"

    return figure, draw


TOY = Clip(name="toy", title="A & B <dot>", build=line, at=lambda share: share, source="ours", seconds=1.0,
           captions=(Caption(begin=0, end=0.5, words="first --> half"), Caption(begin=0.5, end=1, words="a < b & c")))
SMALL = {"scale": 0.1, "rate": 10}
"""192 × 108 pixels, ten frames."""


def dot(pixels):
    """Where the red dot is, as a share of the width."""
    red = (pixels[..., 0] > 180) & (pixels[..., 1] < 90) & (pixels[..., 2] < 90)
    return np.argwhere(red)[:, 1].mean() / pixels.shape[1]


def test_the_clip_stands_still_at_both_ends_and_moves_between():
    shares = [share for _, share in moments(TOY, 30)]
    assert len(shares) == 30 and shares[:3] == [0, 0, 0] and shares[-3:] == [1, 1, 1]
    assert np.all(np.diff(shares) >= 0) and np.diff(shares).max() == pytest.approx(1 / (0.8 * 29))


def test_the_dot_is_where_the_clock_says():
    """Inside the safe area a share s stands at 5 % + 90 % s (computed)."""
    frames = Frames(TOY, scale=0.25, rate=10)
    for (_, share), pixels in zip(frames.moments, frames):
        if 0.1 < share < 0.9:
            assert dot(pixels) == pytest.approx(0.05 + 0.9 * share, abs=0.01)


@pytest.mark.parametrize(("colour", "code"), [
    ((255, 255, 255), (235, 128, 128)), ((0, 0, 0), (16, 128, 128)), ((255, 0, 0), (63, 102, 240)),
    ((0, 255, 0), (173, 42, 26)), ((0, 0, 255), (32, 240, 118)), ((191, 191, 191), (180, 128, 128))])
def test_colours_become_those_of_hd_video(colour, code):
    """Bars of full and three quarters' level in the narrow range of ITU-R BT.709-6, 8 bits (M; computed by its items 3)."""
    pixels = np.full((4, 6, 4), 255, dtype=np.uint8)
    pixels[..., :3] = colour
    assert np.split(Planes(6, 4).of(pixels), [24, 30])[0].tolist() == [code[0]] * 24
    assert Planes(6, 4).of(pixels)[24:].tolist() == [code[1]] * 6 + [code[2]] * 6


def test_only_what_changed_is_worked_out_and_nothing_is_forgotten():
    """After ten changes the planes are those of the last picture made afresh; a mean colour stands for four pixels."""
    draw, planes = np.random.default_rng(4), Planes(32, 18)
    pixels = draw.integers(0, 256, (18, 32, 4), dtype=np.uint8)
    pixels[..., 3] = 255
    for _ in range(10):
        row, column = draw.integers(0, 12, 2)
        pixels[row:row + 5, column:column + 7, :3] = draw.integers(0, 256, 3)
        made = planes.of(pixels).copy()
    assert (made == Planes(32, 18).of(pixels)).all()
    blue = pixels.reshape(9, 2, 16, 2, 4).mean(axis=(1, 3)) @ [-0.2126 / 1.8556, -0.7152 / 1.8556, 0.9278 / 1.8556, 0] / 255
    assert np.abs(made[18 * 32:18 * 32 + 144].reshape(9, 16) - (128 + 224 * blue)).max() <= 0.51


@needs_ffmpeg
def test_a_clip_of_odd_size_is_cut_to_an_even_one(tmp_path):
    """4:2:0 has no half blocks; 27 % of 1920 × 1080 is 518 × 291.6 (computed)."""
    path, = make(TOY, tmp_path / "odd.mp4", captions="none", scale=0.27, rate=5)
    asked = ["ffprobe", "-v", "error", "-show_entries", "stream=width,height", "-of", "csv=p=0", str(path)]
    wide, high = map(int, subprocess.run(asked, capture_output=True, text=True, check=True).stdout.split(","))
    assert wide in (518, 520) and high in (290, 292)


@needs_ffmpeg
def test_an_mp4_is_what_a_reader_expects(tmp_path):
    """Asked of ffprobe: H.264, 4:2:0, the colours of HD video (BT.709), size, rate, number of frames, title."""
    told = []
    files = make(TOY, tmp_path / "toy.mp4", progress=lambda *how: told.append(how), **SMALL)
    assert [path.name for path in files] == ["toy.mp4", "toy.vtt"] and told[-1] == (10, 10)
    asked = ["ffprobe", "-v", "error", "-count_frames", "-show_streams", "-show_format", "-of", "json", str(files[0])]
    seen = json.loads(subprocess.run(asked, capture_output=True, check=True).stdout)
    stream, = seen["streams"]
    assert (stream["codec_name"], stream["pix_fmt"], stream["color_space"]) == ("h264", "yuv420p", "bt709")
    assert (stream["width"], stream["height"]) == (192, 108)
    assert (stream["nb_read_frames"], stream["avg_frame_rate"]) == ("10", "10/1")
    assert seen["format"]["tags"]["title"] == TOY.title
    data = files[0].read_bytes()
    assert data.index(b"moov") < data.index(b"mdat"), "it starts before it is loaded"


@pytest.mark.parametrize("form", ["gif", "webp"])
def test_gif_and_webp_move(tmp_path, form):
    path, = make(TOY, tmp_path / f"toy.{form}", captions="none", **SMALL)
    with Image.open(path) as picture:
        assert picture.is_animated and picture.size == (192, 108) and picture.info["loop"] == 0
        whole = 0
        for frame in range(picture.n_frames):
            picture.seek(frame)
            picture.load()
            whole += picture.info["duration"]
        assert whole == 1000, "frames that stand still may be one, the time stays"
        assert dot(np.asarray(picture.convert("RGB"))) > 0.9


def test_captions_are_web_vtt():
    """W3C WebVTT: the signature line, times with three decimals, and <, & and --> never raw in a cue (M)."""
    text = web_vtt(TOY)
    assert text.startswith("WEBVTT\n\n") and text.endswith("\n")
    cues = re.findall(r"^(\d\d:\d\d:\d\d\.\d{3}) --> (\d\d:\d\d:\d\d\.\d{3}) line:80%\n(.*)$", text, flags=re.M)
    assert cues == [("00:00:00.000", "00:00:00.500", "first --&gt; half"),
                    ("00:00:00.500", "00:00:01.000", "a &lt; b &amp; c")]
    assert text.count("-->") == 2 and "<" not in text


def test_burnt_captions_are_in_the_picture():
    plain, burnt = (next(iter(Frames(TOY, scale=0.25, rate=10, burnt=burnt))).copy() for burnt in (False, True))
    low = slice(int(0.75 * plain.shape[0]), None)
    assert (plain[low] != burnt[low]).any()


@pytest.mark.parametrize("form", ["gif", pytest.param("mp4", marks=needs_ffmpeg)])
def test_a_stop_leaves_nothing(tmp_path, form):
    asked = iter([False, False, True])
    with pytest.raises(Cancelled, match="frame 3 of 10"):
        make(TOY, tmp_path / f"toy.{form}", stop=lambda: next(asked), **SMALL)
    assert not list(tmp_path.iterdir())


@needs_ffmpeg
def test_a_failure_leaves_the_old_file(tmp_path, monkeypatch):
    old = tmp_path / "toy.mp4"
    old.write_bytes(b"old")
    broken = ["ffmpeg", "-loglevel", "error", "-i", "nothing there", "x.mp4"]
    monkeypatch.setattr(clips, "ffmpeg_command", lambda *how: broken)
    with pytest.raises(OSError, match="ffmpeg could not make the clip: .*No such file"):
        make(TOY, old, captions="none", **SMALL)
    assert old.read_bytes() == b"old" and [path.name for path in tmp_path.iterdir()] == ["toy.mp4"]


@needs_ffmpeg
def test_a_failure_that_is_seen_late_is_told_all_the_same(tmp_path, monkeypatch):
    """ffmpeg goes while less than a buffer was handed over: the rest cannot be pushed after it."""
    broken = ["ffmpeg", "-loglevel", "error", "-i", "nothing there", "x.mp4"]
    monkeypatch.setattr(clips, "ffmpeg_command", lambda *how: broken)
    monkeypatch.setattr(clips.Planes, "of", lambda self, pixels: time.sleep(0.3) or b"few")
    with pytest.raises(OSError, match="ffmpeg could not make the clip: .*No such file"):
        make(TOY, tmp_path / "toy.mp4", captions="none", **SMALL)
    assert not list(tmp_path.iterdir())


def test_without_ffmpeg_it_says_what_to_do(tmp_path, monkeypatch):
    monkeypatch.setattr(shutil, "which", lambda name: None)
    with pytest.raises(ValueError, match="needs the program ffmpeg.*gif or .webp"):
        make(TOY, tmp_path / "toy.mp4")
    assert make(TOY, tmp_path / "toy.gif", captions="none", **SMALL)


@pytest.mark.parametrize(("name", "options", "said"), [
    ("toy.avi", {}, "must end in .mp4"), ("toy.gif", {"size": "round"}, "size"), ("toy.gif", {"units": "ells"}, "units"),
    ("toy.gif", {"captions": "sung"}, "captions must be")])
def test_wrong_choices_are_refused(tmp_path, name, options, said):
    with pytest.raises(ValueError, match=said):
        make(TOY, tmp_path / name, **options)
    assert not list(tmp_path.iterdir())


# -- the clips themselves ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", moving.CLIPS)
def test_every_clip_moves_in_both_sizes(name):
    clip = moving.clip_named(name)
    assert clip.captions[0].begin == 0 and clip.captions[-1].end == pytest.approx(1)
    for size in clips.SIZES:
        frames = Frames(clip, size, scale=0.25, rate=0.8)
        first, *_, last = (pixels.copy() for pixels in frames)
        assert (first != last).any() and first.shape[:2] == (frames.height, frames.width)


def test_both_balls_end_at_the_hole():
    """What the clip is about: one hole, two ways; to 10 cm."""
    low, high = moving.one_hole()
    assert abs(low.shot.total - 45) < 0.1 and abs(high.shot.total - 45) < 0.1
    assert high.shot.descent_angle > low.shot.descent_angle + 0.2


def test_a_track_is_one_way_from_the_strike_to_rest():
    time, x, z = track(moving.one_hole()[0].shot)
    assert np.all(np.diff(time) >= 0) and z.min() > -0.02 and x[0] == 0
    assert x[-1] == pytest.approx(float(moving.one_hole()[0].shot.total), abs=0.02)


def test_captions_speak_the_units_of_the_picture():
    """A yard is 0.9144 m by its definition of 1959 (M)."""
    spoken = {units: " ".join(c.words for name in moving.CLIPS for c in moving.clip_named(name, units).captions)
              for units in ("metric", "yards")}
    runs = [float(f.shot.run_out) for f in moving.one_hole()]
    assert f"after {runs[0]:.1f} m, height the other after {runs[1]:.1f} m." in spoken["metric"]
    assert f"after {runs[0] / 0.9144:.1f} yd, height the other after {runs[1] / 0.9144:.1f} yd." in spoken["yards"]
    assert "20 m/s" in spoken["metric"] and "45 mph" in spoken["yards"] and " m/s" not in spoken["yards"]


def test_an_unknown_clip_is_told_what_there_is():
    with pytest.raises(ValueError, match="there are dry-and-wet, grooves-draining"):
        moving.clip_named("nothing")
