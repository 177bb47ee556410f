"""A lecture as a silent film: every stage as long as it is shown, what is said as captions, and the chapters.

A film is MP4 with H.264 (ISO/IEC 14496-10) and timed text (3GPP TS 26.245). A stage is one picture that
stands as long as the stage, and each can be jumped to. One thread encodes, and neither dates nor the name of
the encoder are written, so the same lecture gives the same bytes with the same release of the library.

Importing this raises MissingExtra where Loopwright was installed without its extra (`loopwright[film]`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from pathlib import Path
from tempfile import TemporaryDirectory

from .captions import said, thousandths
from .film_extra import OutputContainer, Packet, Stream, SubtitleStream, VideoFrame, VideoStream, av
from .frames import frames
from .room import USUAL_SHAPE
from .stage import Plan
from .timeline import Showing, chapters_of

WIDTH, HEIGHT = {"16:9": 1920, "4:3": 1440}, 1080  # pixels; the width by the shape of the frame
TICK = Fraction(1, 1000)  # seconds; times are whole thousandths, as in the captions by themselves
LANGUAGE = "eng"  # of what is said, ISO 639-2
_ENCODING = {"crf": "20", "g": "1", "bf": "0", "flags": "+bitexact"}  # every picture stands by itself
_FILE = {"movflags": "+faststart", "fflags": "+bitexact"}  # can be shown before the whole of it has come
_STAMP = "filter_units=remove_types=6"  # what the encoder tells of itself
_BT709 = 1  # primaries, transfer and matrix of high definition, as ITU-T H.273 numbers them
_NARROW = 1  # 16 to 235, which every player takes for granted
# How captions look where a player leaves it to the film, in the form that the library reads (V4+ styles).
_STYLE = """[Script Info]
PlayResX: WIDTH
PlayResY: 1080
[V4+ Styles]
Format: Name, Fontname, Fontsize, PrimaryColour, BackColour, Alignment
Style: Default,Sans,48,&H00FFFFFF,&H80000000,2
[Events]
Format: Text
"""


def film(plan: Plan, showings: Sequence[Showing], *, look: str = "dark", shape: str = USUAL_SHAPE) -> bytes:
    """The stages as they are shown, as MP4. `showings` in order of time; `look`: `"dark"` or `"light"`;
    `shape`: of the picture, one of `room.SHAPES`."""
    pictures = frames(plan, "png", look=look, shape=shape)
    starts = [0, *(thousandths(showing.start) for showing in showings[1:])]
    ends = [*starts[1:], thousandths(showings[-1].end)]
    shown = (pictures[showing.stage.number - 1] for showing in showings)
    stages = list(zip(shown, starts, ends, strict=True))
    chapters = [(title, thousandths(start), thousandths(end)) for title, start, end in chapters_of(showings)]
    with TemporaryDirectory() as folder:  # the library goes over the file again to put its index first
        path = Path(folder, "film.mp4")
        with av.open(path, "w", format="mp4", container_options=_FILE) as file:
            file.metadata["title"] = plan.title
            file.set_chapters(
                [
                    {"id": at, "start": start, "end": end, "time_base": TICK, "metadata": {"title": title}}
                    for at, (title, start, end) in enumerate(chapters, 1)
                ]
            )
            video, text = _video(file, WIDTH[shape]), _text(file, WIDTH[shape])
            file.start_encoding()
            packets = [*_pictures(video, stages), *_captions(text, said(showings))]
            file.mux(sorted(packets, key=lambda packet: packet.pts or 0))
        return path.read_bytes()


def _video(file: OutputContainer, width: int) -> VideoStream:
    stream = file.add_stream("libx264", rate=1, options=_ENCODING)
    stream.width, stream.height, stream.pix_fmt = width, HEIGHT, "yuv420p"
    context = stream.codec_context
    context.time_base, context.thread_count = TICK, 1
    context.colorspace = context.color_primaries = context.color_trc = _BT709
    context.color_range = _NARROW
    return stream


def _text(file: OutputContainer, width: int) -> SubtitleStream:
    stream = file.add_stream("mov_text")
    stream.codec_context.subtitle_header = _STYLE.replace("WIDTH", str(width)).encode()
    stream.codec_context.time_base = TICK
    stream.metadata["language"] = LANGUAGE
    return stream


def _pictures(stream: VideoStream, stages: Sequence[tuple[bytes, int, int]]) -> Iterator[Packet[Stream]]:
    """Every picture encoded, standing from its start to its end."""
    strip = av.BitStreamFilterContext(_STAMP, in_stream=stream)
    encoded = [packet for picture, start, _ in stages for packet in stream.encode(_frame(picture, start))]
    encoded += stream.encode(None)
    for packet, (_, start, end) in zip(encoded, stages, strict=True):
        (stripped,) = strip.filter(packet)
        stripped.stream, stripped.time_base, stripped.duration = stream, TICK, end - start
        yield stripped


def _frame(picture: bytes, start: int) -> VideoFrame:
    """A PNG in the colours of a film."""
    (decoded,) = av.CodecContext.create("png", "r").decode(Packet(picture))
    frame = decoded.reformat(format="yuv420p", dst_colorspace=_BT709, dst_color_range=_NARROW, threads=1)
    frame.pts, frame.time_base = start, TICK
    return frame


def _captions(stream: SubtitleStream, cues: Iterable[tuple[float, float, str]]) -> Iterator[Packet[Stream]]:
    """Every caption as timed text: how many bytes, then its letters."""
    for start, end, words in cues:
        letters = words.encode()
        packet = Packet(len(letters).to_bytes(2, "big") + letters)
        packet.stream, packet.time_base, packet.is_keyframe = stream, TICK, True
        packet.pts = packet.dts = thousandths(start)
        packet.duration = thousandths(end) - packet.pts
        yield packet
