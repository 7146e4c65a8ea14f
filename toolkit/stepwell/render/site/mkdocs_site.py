"""The only module that knows mkdocs: finished pages and files in, a folder out.

One plugin hands mkdocs virtual pages whose text is already rendered; the theme is a template that prints them.
"""

from __future__ import annotations

import logging
import os
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path

from mkdocs.commands.build import build
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.plugins import BasePlugin
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page


class _NoSettings(Config):  # type: ignore[no-untyped-call]  # mkdocs types its base in part only
    """The plugin is handed what it needs; it has no settings of its own."""


class VirtualPages(BasePlugin[_NoSettings]):  # type: ignore[no-untyped-call]  # mkdocs types its base in part only
    """``pages`` maps paths such as ``en/prime.html`` to finished HTML, ``assets`` other paths to bytes."""

    def __init__(self, pages: Mapping[str, str], assets: Mapping[str, bytes]) -> None:
        super().__init__()
        self.pages = {_source(path): text for path, text in pages.items()}
        self.assets = assets

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """No site map: it would need an address, and it is no page of ours."""
        config.theme.static_templates.clear()
        return config

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Replace whatever was found by what was handed in."""
        made = [File.generated(config, path, content="") for path in self.pages]
        made += [File.generated(config, path, content=data) for path, data in self.assets.items()]
        return Files(made)

    def on_page_content(self, html: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        """The finished page instead of rendered Markdown."""
        return self.pages[page.file.src_uri]


def publish(
    pages: Mapping[str, str], assets: Mapping[str, bytes], *, name: str, theme: Path, out: Path, as_of: date
) -> None:
    """Write the site into ``out``. Raises what mkdocs raises on a full disk or an unwritable folder."""
    with tempfile.TemporaryDirectory() as folder, _epoch(as_of), _quiet():
        empty = Path(folder) / "docs"
        empty.mkdir()
        config = MkDocsConfig(config_file_path=str(Path(folder) / "mkdocs.yml"))
        config.load_dict(
            {
                "site_name": name,
                "docs_dir": str(empty),
                # mkdocs takes a relative folder to be beside its own settings, not where the tool was started.
                "site_dir": str(out.resolve()),
                "use_directory_urls": False,
                "theme": {"name": None, "custom_dir": str(theme)},
                "plugins": [],
            }
        )
        errors, _ = config.validate()
        if errors:
            raise ValueError(f"the site's settings are refused: {errors}")
        config.plugins["stepwell"] = VirtualPages(pages, assets)
        build(config)


def _source(path: str) -> str:
    return path.removesuffix(".html") + ".md"


@contextmanager
def _epoch(as_of: date) -> Iterator[None]:
    """Anything that mkdocs dates is dated by ``as_of``, so that a rebuild is the same to the byte."""
    before = os.environ.get("SOURCE_DATE_EPOCH")
    noon = datetime(as_of.year, as_of.month, as_of.day, 12, tzinfo=UTC)
    os.environ["SOURCE_DATE_EPOCH"] = str(int(noon.timestamp()))
    try:
        yield
    finally:
        if before is None:
            del os.environ["SOURCE_DATE_EPOCH"]
        else:
            os.environ["SOURCE_DATE_EPOCH"] = before


@contextmanager
def _quiet() -> Iterator[None]:
    """mkdocs tells how it is getting on; only its warnings matter to us."""
    logger = logging.getLogger("mkdocs")
    before = logger.level
    logger.setLevel(logging.WARNING)
    try:
        yield
    finally:
        logger.setLevel(before)
