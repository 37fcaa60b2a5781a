"""The child that draws: a paper as JSON comes in, a PDF goes out. It runs apart, so that no paper can harm the program.

Words of a paper are data: the layout reads them as texts and never as its own language.
"""

import sys

from loamwright.papers.letters import folder

MOST_MEMORY = 2 * 1024**3


def draw(paper: str) -> bytes:
    """The PDF of a paper given as JSON: tagged (PDF/UA-1), own fonts only, the same bytes for the same words."""
    import typst

    fonts = folder()
    made = typst.compile(
        fonts.parent / "paper.typ",
        root=fonts.parent,
        font_paths=[fonts],
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs={"paper": paper},
        pdf_standards="ua-1",
    )
    assert isinstance(made, bytes)
    return made


def bounded() -> None:
    """Keep this process from taking the machine's memory, where the system can promise that."""
    try:
        import resource
    except ImportError:  # not on every system
        return
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))


def main() -> int:
    """Read from stdin, write to stdout; on failure one line on stderr and code 1."""
    bounded()
    try:
        sys.stdout.buffer.write(draw(sys.stdin.buffer.read().decode("utf-8")))
    except (RuntimeError, MemoryError) as fault:
        sys.stderr.write(str(fault).strip().splitlines()[0] if str(fault).strip() else type(fault).__name__)
        return 1
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
