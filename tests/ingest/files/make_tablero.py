"""Write `tablero.xlsx` by hand: merged titles, a header in two languages, notes in the margins."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from openpyxl import Workbook

HEADER = (
    None, "Folio", "Fecha", "Tablero", "Espacio", "Tipo", "Polos y amperaje", "Amperios",
    "Temp. ambiente °C", "Temp. interruptor °C", "Temp. borne °C", "Calibre", "Observaciones",
)  # fmt: skip
DAY = dt.datetime(2025, 7, 8, 16, 20)
ROWS = (
    ("✓", 311, DAY, "T-2", "principal", "general", "2P100", 38.5, 31, 39.5, 41, "2 Cu", None),
    ("✓", None, DAY, "T-2", 1, "termomagnético", "1P15", 4.2, 31, 36.25, None, "14", None),
    (None, None, DAY, "T-2", 2, "PIA", "1P 20A", "6,5 A", 31, "38,4 °C", None, "#12", "cocina"),
    ("✗", None, DAY, "T-2", "3/5", "magnetotérmico", "DP 30", 17, 31, 44, 52.5, "10 AWG", None),
    ("✓", None, DAY, "T-2", 4, "diferencial", "1P20", "s/d", 31, 47, None, "12", "frío ayer"),
    (None, None, DAY, "T-2", 6, "supresor de picos", "2P30", None, 31, 45, None, None, None),
    ("✓", None, DAY, "T-2", 7, "falla de arco", "1P15", 0, 31, "95 °F", None, 14, None),
    ("?", None, DAY, "T-2", 9, "no sé", "1P15", 2, 31, 35, None, 14, None),
)


def write(path: Path) -> Path:
    """Write the workbook."""
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Julio"
    sheet["B2"] = "REGISTRO DE TABLEROS"
    sheet.merge_cells("B2:M2")
    sheet["B3"] = "hoja de campo - no borrar"
    sheet.merge_cells("B3:H3")
    for column, head in enumerate(HEADER, start=1):
        sheet.cell(5, column, head)
    for number, row in enumerate(ROWS, start=6):
        for column, value in enumerate(row, start=1):
            sheet.cell(number, column, value)
    sheet.merge_cells(start_row=6, start_column=2, end_row=5 + len(ROWS), end_column=2)
    sheet.cell(16, 2, "revisado por: ______")
    book.create_sheet("Lista de compras").append(["fusibles", 3])
    book.save(path)
    return path
