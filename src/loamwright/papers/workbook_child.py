"""Run as a process of its own: a workbook on standard input, its cells as JSON on standard output.

Whatever is inside the file happens here, under a bound of memory and of time, and not in the program that keeps the notebook.
"""

import io
import json
import sys
from datetime import date, datetime, time, timedelta
from typing import Any

MOST_MEMORY = 1024**3  # bytes
MOST_SECONDS = 20


def bound() -> None:
    """Bound memory and processor time, where the system can."""
    try:
        import resource
    except ImportError:  # not on every system; the parent's own clock still ends it
        return
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_SECONDS, MOST_SECONDS))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def tagged(cell: Any) -> list[Any] | None:
    """A cell with its type; None for an empty one."""
    if isinstance(cell, bool):
        return ["flag", cell]
    if isinstance(cell, (int, float)):
        return ["number", float(cell)]
    if isinstance(cell, datetime):
        return ["moment", cell.isoformat()]
    if isinstance(cell, date):
        return ["date", cell.isoformat()]
    if isinstance(cell, (time, timedelta)):
        return ["text", str(cell)]
    return ["text", cell] if cell else None


def cells(data: bytes, wanted: list[str], most_rows: int, most_columns: int) -> dict[str, Any]:
    """The wanted sheet, or the only one, or a code that says why not."""
    import python_calamine as calamine

    try:
        book = calamine.load_workbook(io.BytesIO(data))
        names = [each.name for each in book.sheets_metadata]
        fitting = [name for name in names if name.strip().casefold() in wanted] or (names if len(names) == 1 else [])
        if len(fitting) != 1:
            return {"code": "no_such_tab", "there": names[:50]}
        sheet = book.get_sheet_by_name(fitting[0])
        if sheet.total_height > most_rows + 1:
            return {"code": "too_many_rows", "rows": sheet.total_height - 1}
        if sheet.total_width > most_columns:
            return {"code": "too_many_columns", "columns": sheet.total_width}
        return {"rows": [[tagged(cell) for cell in row] for row in sheet.to_python(skip_empty_area=False)]}
    except calamine.PasswordError:
        return {"code": "file_locked"}
    except (calamine.CalamineError, ValueError, OverflowError, MemoryError) as fault:
        return {"code": "file_damaged", "reason": str(fault)[:200]}


def main() -> None:
    """Read, answer, end."""
    wanted, most_rows, most_columns = json.loads(sys.argv[1])
    data = sys.stdin.buffer.read()
    bound()
    json.dump(cells(data, wanted, most_rows, most_columns), sys.stdout)


if __name__ == "__main__":
    main()
