"""A still picture as the camera of a browser: made into a video that Chromium plays for ever.

The file is named on the browser's command line and read anew whenever the camera starts.
"""

from __future__ import annotations

import subprocess
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, Playwright

from helpers.browser import launch

SIZE = (1280, 720)
BENCH = (168, 152, 132)
"""A workbench's colour, so that tags lie on something that is not paper."""

Placed = tuple[bytes, tuple[int, int], int]
"""A PNG, where its middle lies on the still, and how wide it is there."""


def still(placed: Sequence[Placed], turned: float = 0) -> Image.Image:
    """A frame of 1280x720 with pictures laid on it, each turned by so many degrees."""
    frame = Image.new("RGB", SIZE, BENCH)
    for png, (x, y), width in placed:
        tag = Image.open(BytesIO(png)).convert("RGBA")
        tag = tag.resize((width, tag.height * width // tag.width), Image.Resampling.LANCZOS)
        tag = tag.rotate(turned, expand=True, resample=Image.Resampling.BICUBIC)
        frame.paste(tag, (x - tag.width // 2, y - tag.height // 2), tag)
    return frame


def video(frame: Image.Image, folder: Path, noise: int = 25) -> Path:
    """Three seconds of the still with a camera's noise, as motion JPEG."""
    picture, out = folder / "still.png", folder / "camera.mjpeg"
    frame.save(picture)
    subprocess.run(
        [
            "ffmpeg", "-v", "error", "-y", "-loop", "1", "-framerate", "15", "-i", str(picture),
            "-frames:v", "45", "-vf", f"noise=alls={noise}:allf=t+u,format=yuvj420p",
            "-c:v", "mjpeg", "-q:v", "3", "-f", "mjpeg", str(out),
        ],
        check=True,
    )  # fmt: skip
    return out


@dataclass(frozen=True)
class Camera:
    """A browser, and the folder of the video that its camera shows from its next start on."""

    browser: Browser
    folder: Path

    def show(self, frame: Image.Image) -> None:
        """Put a still before the camera."""
        video(frame, self.folder)


@contextmanager
def a_camera(playwright: Playwright, folder: Path) -> Iterator[Camera]:
    """A camera that nothing lies before yet."""
    with looking_at(playwright, video(still([]), folder)) as browser:
        yield Camera(browser, folder)


@contextmanager
def looking_at(playwright: Playwright, clip: Path) -> Iterator[Browser]:
    """A Chromium whose camera shows the video and may be used without asking."""
    browser = launch(
        playwright,
        "--use-fake-device-for-media-stream",
        "--use-fake-ui-for-media-stream",
        f"--use-file-for-fake-video-capture={clip.resolve()}",
    )
    try:
        yield browser
    finally:
        browser.close()
