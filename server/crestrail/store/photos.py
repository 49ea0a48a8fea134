"""Pictures as files: ``<root>/<household>/<first two digits>/<sha256>``, each written once."""

from __future__ import annotations

import os
import tempfile
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class PhotoFiles:
    """The folder of all pictures. Names are checked by the caller: hex digits only."""

    root: Path

    def path(self, household: str, sha256: str) -> Path:
        """Where the picture is, or would be."""
        return self.root / household / sha256[:2] / sha256

    def thumb_path(self, household: str, sha256: str) -> Path:
        """Where the small picture is, or would be."""
        return self.path(household, sha256).with_suffix(".thumb")

    def save(self, path: Path, content: bytes) -> None:
        """Write a file whole or not at all, and not before it is on the disk."""
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=".part-")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            os.replace(name, path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
        _sync_folder(path.parent)

    def remove(self, household: str, sha256: str) -> None:
        """Delete a picture and its small copy; nothing happens when there is none."""
        self.path(household, sha256).unlink(missing_ok=True)
        self.thumb_path(household, sha256).unlink(missing_ok=True)


def _sync_folder(folder: Path) -> None:
    """Make a rename last through a power cut, where the system can sync a folder."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
