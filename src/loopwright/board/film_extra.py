"""The library of the extra `film`, which writes films.

Loaded here and nowhere else: where it is missing, one sentence says what to install.
"""

from __future__ import annotations

from ..errors import MissingExtra

try:
    import av
    from av.container.output import OutputContainer
    from av.packet import Packet
    from av.stream import Stream
    from av.subtitles.stream import SubtitleStream
    from av.video.frame import VideoFrame
    from av.video.stream import VideoStream
except ImportError:
    raise MissingExtra("A film needs PyAV.", "film") from None

__all__ = ["OutputContainer", "Packet", "Stream", "SubtitleStream", "VideoFrame", "VideoStream", "av"]
