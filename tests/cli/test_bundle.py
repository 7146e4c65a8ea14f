"""stepwell bundle: a folder for Windows, with a made-up embeddable zip and, where no index answers, made-up wheels."""

from __future__ import annotations

import struct
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from packaging.requirements import Requirement

from stepwell.cli.bundle.layout import not_for_windows
from stepwell.cli.bundle.wheels import Wheel, closure, resolve, windows
from stepwell.cli.failure import UsageProblem
from stepwell.resources import requirements
from tests.cli.conftest import Call

HERE = f"{sys.version_info.major}.{sys.version_info.minor}"
PURE = "yaml jinja2 markdown_it pint networkx segno rfc8785 mkdocs.commands.build click colorama packaging"
OWN = "stepwell.circuit.catalogue stepwell.source.workspace stepwell.report.check stepwell.render.site.build"


def python_zip(path: Path, tag: str = "312", machine: int = 0x8664) -> Path:
    program = bytearray(128)
    program[:2] = b"MZ"
    struct.pack_into("<I", program, 0x3C, 64)
    struct.pack_into("<4sH", program, 64, b"PE\0\0", machine)
    with zipfile.ZipFile(path, "w") as archive:
        for name in ("LICENSE.txt", f"python{tag}._pth", f"python{tag}.zip"):
            archive.writestr(name, name)
        archive.writestr("python.exe", bytes(program))
    return path


def wheel(folder: Path, name: str, version: str, *requires: str, extra: str = "") -> None:
    folder.mkdir(exist_ok=True)
    plain = name.replace("-", "_")
    info = f"{plain}-{version}.dist-info"
    needs = "".join(f"Requires-Dist: {each}\n" for each in requires)
    with zipfile.ZipFile(folder / f"{plain}-{version}-py3-none-any.whl", "w") as archive:
        archive.writestr(f"{plain}.py", "")
        archive.writestr(extra or f"{plain}-{version}.data/data/share/man.1", "")
        archive.writestr(f"{info}/METADATA", f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n{needs}\n")
        archive.writestr(f"{info}/WHEEL", "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n")
        archive.writestr(f"{info}/licenses/LICENSE", f"licence of {name}")
        archive.writestr(f"{info}/RECORD", "")


@pytest.fixture
def wheels(tmp_path: Path) -> Path:
    """Stand-ins for what the tool needs; one of them needs something on Windows only, and something never there."""
    folder = tmp_path / "wheels"
    for text in requirements():
        wanted = Requirement(text)
        lowest = next(part.version for part in wanted.specifier if part.operator in (">=", "=="))
        needs = ("only-there>=2; sys_platform == 'win32'", "not-there; sys_platform != 'win32'")
        wheel(folder, wanted.name, lowest, *(needs if wanted.name == "mkdocs" else ()))
    wheel(folder, "only-there", "2.0")
    wheel(folder, "not-there", "1.0")
    return folder


def files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_the_folder_is_whole_and_the_same_each_time(call: Call, tmp_path: Path, wheels: Path) -> None:
    python = python_zip(tmp_path / "python.zip")
    for out in ("one", "two"):
        result = call("bundle", out, "--python", python, "--wheels", wheels)
        assert (result.code, result.err) == (0, "")
        assert "not run on Windows" in result.out
    made = files(Path("one"))
    assert made == files(Path("two"))
    for name in ("python/python.exe", "protocols/unit.yaml", "schema/procedure.schema.json", "licences/LIST.txt"):
        assert name in made
    assert {"site-packages/only_there.py", "site-packages/stepwell/__main__.py"} <= set(made)
    assert "site-packages/not_there.py" not in made
    assert "site-packages/stepwell/_data/protocols/unit.yaml" in made
    assert made["licences/only-there-2.0/LICENSE"] == b"licence of only-there"
    assert made["python/python312._pth"] == b"python312.zip\r\n.\r\n..\\site-packages\r\n"
    assert not [name for name in made if "__pycache__" in name or "man.1" in name]
    assert not_for_windows(Path("one")) == ()


def test_the_command_is_for_windows_and_knows_no_place(call: Call, tmp_path: Path, wheels: Path) -> None:
    assert call("bundle", "out", "--python", python_zip(tmp_path / "p.zip"), "--wheels", wheels).code == 0
    for name in ("stepwell.cmd", "START-HERE.txt"):
        data = Path("out", name).read_bytes()
        assert data.isascii()
        assert data.count(b"\n") == data.count(b"\r\n") > 5
        assert str(tmp_path).encode() not in data
    command = Path("out/stepwell.cmd").read_text(encoding="ascii")
    assert command.count('"%~dp0python\\python.exe"') == command.count("python.exe") == 2
    assert ":\\" not in command


@pytest.mark.parametrize(
    ("tag", "machine", "said"), [("310", 0x8664, "3.11 or newer"), ("312", 0xAA64, "64-bit"), ("", 0, "not an")]
)
def test_another_zip_is_refused(call: Call, tmp_path: Path, wheels: Path, tag: str, machine: int, said: str) -> None:
    result = call("bundle", "out", "--python", python_zip(tmp_path / "p.zip", tag, machine), "--wheels", wheels)
    assert result.code == 2
    assert said in " ".join(result.err.split())
    assert not Path("out").exists()


def test_a_missing_wheel_or_one_that_leads_elsewhere_makes_nothing(call: Call, tmp_path: Path, wheels: Path) -> None:
    python = python_zip(tmp_path / "p.zip")
    (wheels / "only_there-2.0-py3-none-any.whl").unlink()
    result = call("bundle", "out", "--python", python, "--wheels", wheels)
    assert result.code == 2
    assert "only-there" in result.err
    wheel(wheels, "only-there", "2.0", extra="../outside.txt")
    assert call("bundle", "out", "--python", python, "--wheels", wheels).code == 2
    assert sorted(path.name for path in Path().iterdir()) == []


def test_what_windows_does_not_bear_is_found(tmp_path: Path) -> None:
    for name in ("aux.txt", "A.txt", "a.TXT", "x" * 201, "q?"):
        (tmp_path / name).touch()
    (tmp_path / "link").symlink_to("A.txt")
    assert len(not_for_windows(tmp_path)) == 5


def test_a_version_that_does_not_fit_on_windows_is_asked_for_again() -> None:
    def one(name: str, *needs: str) -> Wheel:
        return Wheel(path=Path(name), name=name, version="1.0", info="", requires=needs, licence="")

    known = {"a": one("a", "b>=2; os_name == 'nt'", "c; extra == 'x'"), "b": one("b"), "c": one("c")}
    assert closure(["a"], known, windows("3.12")) == (frozenset({"a", "b"}), ("b>=2",))
    assert closure(["a[x]"], known, windows("3.12"))[0] == frozenset({"a", "b", "c"})


@pytest.fixture(scope="session")
def index(tmp_path_factory: pytest.TempPathFactory) -> None:
    words = ["-m", "pip", "--timeout", "5", "--retries", "0", "download", "-q", "--no-deps", "segno", "-d"]
    try:
        done = subprocess.run(
            [sys.executable, *words, str(tmp_path_factory.mktemp("probe"))], capture_output=True, timeout=30, check=False
        )
    except subprocess.TimeoutExpired:
        pytest.skip("no package index answered within 30 s")
    if done.returncode:
        pytest.skip("no package index answered")


@pytest.mark.usefixtures("index")
@pytest.mark.parametrize("python", ["3.11", "3.12"])
def test_everything_has_a_wheel_for_windows(tmp_path: Path, python: str) -> None:
    found = resolve(requirements(), python, None, tmp_path)
    assert {"colorama", "typst", "cryptography", "pyyaml"} <= {each.name for each in found}
    assert all(each.path.stem.endswith(("-any", "-win_amd64")) for each in found)


@pytest.mark.usefixtures("index")
def test_the_pure_parts_of_a_real_bundle_import(call: Call, tmp_path: Path) -> None:
    python = python_zip(tmp_path / "p.zip", HERE.replace(".", ""))
    result = call("bundle", "out", "--python", python, "--download")
    assert (result.code, result.err) == (0, "")
    assert not_for_windows(Path("out")) == ()
    packages = Path("out/site-packages").resolve()
    program = (
        f"import sys; sys.path.append({str(packages)!r})\n"
        f"for name in {(PURE + ' ' + OWN).split()!r}: __import__(name)\n"
        "from pathlib import Path; from stepwell.source.workspace import load_workspace\n"
        "print(load_workspace(Path('out/protocols').resolve()).workspace.unit.name)"
    )
    done = subprocess.run([sys.executable, "-I", "-S", "-B", "-c", program], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip()


def test_a_folder_that_is_not_there_is_said(call: Call, tmp_path: Path) -> None:
    result = call("bundle", "out", "--python", python_zip(tmp_path / "p.zip"), "--wheels", "nowhere")
    assert result.code == 2
    assert "There is no folder nowhere" in result.err
    with pytest.raises(UsageProblem):
        resolve(["nothing-like-it"], "3.12", tmp_path, tmp_path / "room")
