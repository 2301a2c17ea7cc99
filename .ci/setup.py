"""Makes a checkout ready on a fresh machine: a virtual environment with the locked packages, and the program in it.

Run with any Python 3.11 or newer; needs nothing but its standard library. With `--tests` it also sees to the system
packages that the tests call (named in `debian-packages.txt`), and to an environment of its own for each independent
reader of the open record (a lock each under `validators/`). Running it again is quick and changes nothing.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent
VENV = ROOT / ".venv"
LOCK = ROOT / "requirements.lock"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
VALIDATORS = VENV / "validators"


def say(sentence: str) -> None:
    """Tell the person at the terminal one thing."""
    print(sentence, file=sys.stderr, flush=True)


def run(*command: str | Path) -> None:
    """Run one step; stop with its status if it fails."""
    done = subprocess.run([str(part) for part in command], cwd=ROOT, check=False)
    if done.returncode:
        say(f"This step failed: {' '.join(str(part) for part in command[:6])}")
        sys.exit(done.returncode)


def debian(packages: list[str]) -> None:
    """Install missing Debian packages, as root or through sudo without a password; else say which are missing."""
    missing = [name for name in packages if not _installed(name)]
    if not missing:
        return
    prefix = [] if os.geteuid() == 0 else ["sudo", "-n"]
    if shutil.which("apt-get") and (not prefix or shutil.which("sudo")):
        say(f"Installing system packages: {' '.join(missing)}")
        environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        install = ["apt-get", "install", "-y", "-q", "--no-install-recommends", *missing]
        for step in (["apt-get", "update", "-q"], install):
            subprocess.run([*prefix, *step], check=False, env=environment, stdout=subprocess.DEVNULL)
        missing = [name for name in missing if not _installed(name)]
    if missing:
        say(f"Please install these system packages and run this again: {' '.join(missing)}")
        sys.exit(1)


def _installed(package: str) -> bool:
    if not shutil.which("dpkg-query"):
        return True  # not a Debian machine: what is missing shows when it is called
    found = subprocess.run(
        ["dpkg-query", "-W", "-f", "${Status}", package], capture_output=True, text=True, check=False
    )
    return found.stdout.endswith(" installed")


def environment() -> None:
    """Make the virtual environment and fill it from the lock, unless it already holds exactly that."""
    stamp = VENV / "locked.sha256"
    wanted = hashlib.sha256(LOCK.read_bytes() + (ROOT / "pyproject.toml").read_bytes()).hexdigest()
    if stamp.exists() and stamp.read_text() == wanted and PYTHON.exists():
        return
    try:
        import ensurepip  # noqa: F401 - Debian ships Python without it
        import venv  # noqa: F401
    except ImportError:
        debian(["python3-venv"])
    if not PYTHON.exists():
        run(sys.executable, "-m", "venv", VENV)
    pip = (PYTHON, "-m", "pip", "--disable-pip-version-check", "install", "--quiet")
    run(*pip, "--require-hashes", "-r", LOCK)
    run(*pip, "--no-deps", "--no-build-isolation", "--editable", ROOT)
    stamp.write_text(wanted)


def validators() -> None:
    """Make an environment for each lock under `validators/`: their packages and the program's shut each other out."""
    for lock in sorted((HERE / "validators").glob("*.lock")):
        place = VALIDATORS / lock.stem
        stamp, wanted = place / "locked.sha256", hashlib.sha256(lock.read_bytes()).hexdigest()
        if stamp.exists() and stamp.read_text() == wanted:
            continue
        run(sys.executable, "-m", "venv", "--clear", place)
        python = place / BIN.relative_to(VENV) / PYTHON.name
        pip = (
            python,
            "-m",
            "pip",
            "--disable-pip-version-check",
            "install",
            "--quiet",
            "--require-hashes",
            "--no-deps",
        )
        # Two packages come as source; they are built with the locked build tool and nothing fetched besides.
        tool = lock.with_suffix(".build")
        if tool.exists():
            run(*pip, "-r", tool)
        run(*pip, "--no-build-isolation", "-r", lock)
        stamp.write_text(wanted)


def main() -> None:
    """Do what is missing."""
    if sys.version_info < (3, 11):
        say("Hearthside needs Python 3.11 or newer; please run this with one.")
        sys.exit(1)
    if "--tests" in sys.argv[1:]:
        debian((HERE / "debian-packages.txt").read_text().split())
    environment()
    if "--tests" in sys.argv[1:]:
        validators()


if __name__ == "__main__":
    main()
