// Type sets into a workbook, one cell after the other, and say how long each entry recalculates.
//
// node recalculate.mjs WORKBOOK.json prints JSON. The workbook, addresses as [sheet, row, column]:
//   sheets: name -> rows of "=formula", number, text or null
//   values: [address, value] of every formula cell once all of `log` is typed
//   log: [address, value] of every typed cell, in the order of typing
//   typed, corrected: runs, {name, before, entries, reached}. `before` entries of the log are typed at once,
//         then each of `entries`, [address, value], alone
// HyperFormula stands in for a phone's spreadsheet program. Such a program is compiled; Node compiles
// while it runs. So everything is typed once into a book that is thrown away, then into ROUNDS
// fresh ones, and an entry takes the median of its rounds: a pause to collect garbage is no entry's own.

import { readFileSync } from "node:fs";
import { HyperFormula } from "hyperformula";

const TOLERANCE = 1e-6;
const ROUNDS = 3;
const { sheets, values, log, typed, corrected } = JSON.parse(readFileSync(process.argv[2], "utf-8"));

function open() {
  const texts = (cell) => (typeof cell === "string" && !cell.startsWith("=") ? `'${cell}` : cell);
  const grids = Object.entries(sheets).map(([name, rows]) => [name, rows.map((row) => row.map(texts))]);
  return HyperFormula.buildFromSheets(Object.fromEntries(grids), { licenseKey: "gpl-v3" });
}

function address(book, [sheet, row, col]) {
  return { sheet: book.getSheetId(sheet), row, col };
}

function type(book, [where, value]) {
  const content = typeof value === "string" ? `'${value}` : value;
  return book.setCellContents(address(book, where), [[content]]);
}

function typeAtOnce(book, entries) {
  book.batch(() => entries.forEach((entry) => type(book, entry)));
}

function measure(book, { name, before, entries, reached }) {
  typeAtOnce(book, log.slice(0, before));
  const milliseconds = [];
  const changed = [];
  for (const entry of entries) {
    const start = performance.now();
    const changes = type(book, entry);
    milliseconds.push(performance.now() - start);
    changed.push(changes.length);
  }
  return { name, milliseconds, changed, reached };
}

function same(ours, theirs) {
  if (typeof ours === "number" && typeof theirs === "number") {
    return Math.abs(ours - theirs) <= TOLERANCE * Math.max(1, Math.abs(ours));
  }
  return (ours ?? "") === (theirs ?? "");
}

function compare(book) {
  typeAtOnce(book, log);
  const different = [];
  for (const [where, ours] of values) {
    const cell = address(book, where);
    const found = book.getCellValue(cell);
    const theirs = found?.value ?? found;
    if (!same(ours, theirs)) {
      different.push({ where, ours, theirs, formula: book.getCellFormula(cell) });
    }
  }
  return different;
}

function measured(book) {
  const first = typed.map((run) => measure(book, run));
  const different = compare(book);
  return { different, runs: [...first, ...corrected.map((run) => measure(book, run))] };
}

function median(numbers) {
  return numbers.sort((one, other) => one - other)[Math.floor(numbers.length / 2)];
}

measured(open());
const start = performance.now();
open();
const opened = performance.now() - start;
const rounds = Array.from({ length: ROUNDS }, () => measured(open()));
const runs = rounds[0].runs.map(({ name, milliseconds, changed, reached }, run) => ({
  name,
  changed,
  reached,
  milliseconds: milliseconds.map((_, entry) => median(rounds.map((round) => round.runs[run].milliseconds[entry]))),
}));
console.log(JSON.stringify({ opened, different: rounds[0].different, runs }));
