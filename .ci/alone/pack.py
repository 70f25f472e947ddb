"""An archive of a folder, the same bytes for the same files: `python pack.py FOLDER ARCHIVE`.

Its name ends in .tar.gz, or in .zip.
"""

import gzip
import os
import sys
import tarfile
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path


def entries(folder: Path) -> Iterator[tuple[Path, str]]:
    """Every file and folder, with its name in the archive."""
    for path in [folder, *sorted(folder.rglob("*"))]:
        yield path, path.relative_to(folder.parent).as_posix()


def pack_tar(folder: Path, archive: Path, when: int) -> None:
    def of_nobody(entry: tarfile.TarInfo) -> tarfile.TarInfo:
        entry.uid = entry.gid = 0
        entry.uname = entry.gname = ""
        entry.mtime = when
        entry.mode = 0o755 if entry.isdir() or entry.mode & 0o100 else 0o644
        return entry

    with (
        archive.open("wb") as file,
        gzip.GzipFile(fileobj=file, mode="wb", filename="", mtime=when) as packed,
        tarfile.open(fileobj=packed, mode="w") as opened,
    ):
        for path, name in entries(folder):
            opened.add(path, name, recursive=False, filter=of_nobody)


def pack_zip(folder: Path, archive: Path, when: int) -> None:
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED) as opened:
        for path, name in entries(folder):
            if path.is_file():
                entry = zipfile.ZipInfo(name, time.gmtime(when)[:6])
                entry.compress_type = zipfile.ZIP_DEFLATED
                entry.external_attr = 0o644 << 16
                opened.writestr(entry, path.read_bytes())


if __name__ == "__main__":
    folder, archive = map(Path, sys.argv[1:])
    pack = pack_zip if archive.suffix == ".zip" else pack_tar
    pack(folder, archive, int(os.environ["SOURCE_DATE_EPOCH"]))
