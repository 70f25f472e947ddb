"""The wheel carries all that commands need and works by itself, beside nothing of the clone."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_a_wheel_issues_a_plant_with_its_own_files(tmp_path: Path) -> None:
    build = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "-w", str(tmp_path)]
    subprocess.run([*build, str(ROOT)], check=True, capture_output=True)
    (wheel,) = tmp_path.glob("hoggin-*.whl")
    target = tmp_path / "installed"
    install = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--target"]
    subprocess.run([*install, str(target), str(wheel)], check=True, capture_output=True)
    plant = tmp_path / "plant.hog"
    plant.write_text((ROOT / "examples/quarry.hog").read_text(encoding="utf-8"), encoding="utf-8")
    own = tmp_path / "own"
    script = (
        f"import sys; sys.path.insert(0, {str(target)!r}); import hoggin; "
        "from hoggin.world import standard_library; "
        "print(hoggin.__file__); print(standard_library()); "
        "from hoggin.commands.main import main; "
        f"main(['example', 'north', '--into', {str(own)!r}]); "
        f"main(['editor', 'install', '--into', {str(own)!r}]); "
        f"main(['repository', {str(own)!r}]); "
        f"sys.exit(main(['issue', {str(plant)!r}, '--into', {str(tmp_path / 'out')!r}]))"
    )
    run = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr
    package, library = run.stdout.splitlines()[:2]
    assert package.startswith(str(target)) and library.startswith(str(target))
    assert (tmp_path / "out" / "flowsheet.png").exists()
    for name in ("closed_circuit.hog", "vim/syntax/hoggin.vim", ".github/workflows/plants.yml"):
        assert (own / name).is_file()
