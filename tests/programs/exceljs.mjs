// `node exceljs.mjs JOBS.json`: does the jobs of a file with ExcelJS. Rows and columns count from 0.

import { mkdirSync, readFileSync } from "node:fs";
import ExcelJS from "exceljs";

const steps = {
  "delete sheet": (book, sheet) => book.removeWorksheet(book.getWorksheet(sheet).id),
  "show sheets": (book) => book.worksheets.forEach((sheet) => (sheet.state = "visible")),
  "insert rows": (book, sheet, row, count) =>
    book.getWorksheet(sheet).spliceRows(row + 1, 0, ...Array(count).fill([])),
  "delete rows": (book, sheet, row, count) => book.getWorksheet(sheet).spliceRows(row + 1, count),
  "insert columns": (book, sheet, column, count) =>
    withoutMerged(book.getWorksheet(sheet)).spliceColumns(column + 1, 0, ...Array(count).fill([])),
  "delete columns": (book, sheet, column, count) =>
    withoutMerged(book.getWorksheet(sheet)).spliceColumns(column + 1, count),
  "hide rows": (book, sheet, row, count) => {
    for (let number = row; number < row + count; number++) book.getWorksheet(sheet).getRow(number + 1).hidden = true;
  },
  "show columns": (book, sheet) => {
    const here = book.getWorksheet(sheet);
    for (let number = 1; number <= here.columnCount; number++) here.getColumn(number).hidden = false;
  },
  enter: (book, sheet, row, column, value) => (book.getWorksheet(sheet).getCell(row + 1, column + 1).value = value),
  "enter day": (book, sheet, row, column, day) => {
    const cell = book.getWorksheet(sheet).getCell(row + 1, column + 1);
    cell.value = new Date(day);
    cell.style = { ...cell.style, numFmt: "d-mmm" }; // the style itself is shared with other cells
  },
  merge: (book, sheet, [top, left], [bottom, right]) =>
    book.getWorksheet(sheet).mergeCells(top + 1, left + 1, bottom + 1, right + 1),
  comment: (book, sheet, row, column, text) => (book.getWorksheet(sheet).getCell(row + 1, column + 1).note = text),
};

/** Merged cells stay where they are while columns move, and would take in what comes to stand there. */
function withoutMerged(sheet) {
  for (const merged of sheet.model.merges) sheet.unMergeCells(merged);
  return sheet;
}

async function save(book, kind, result) {
  if (kind === "xlsx") return book.xlsx.writeFile(result);
  mkdirSync(result);
  for (const { name } of book.worksheets) await book.csv.writeFile(`${result}/${name}.csv`, { sheetName: name });
}

for (const job of JSON.parse(readFileSync(process.argv[2], "utf-8"))) {
  const book = new ExcelJS.Workbook();
  await book.xlsx.readFile(job.source);
  for (const [name, ...given] of job.steps) steps[name](book, ...given);
  await save(book, job.kind, job.result);
}
