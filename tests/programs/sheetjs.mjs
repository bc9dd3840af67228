// `node sheetjs.mjs JOBS.json`: does the jobs of a file with SheetJS. Rows and columns count from 0.

import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import XLSX from "xlsx";

const { decode_cell, encode_cell, encode_range, sheet_to_csv, sheet_to_json } = XLSX.utils;
const FILE_TYPES = { xlsx: "xlsx", ods: "ods", xls: "biff8", xlsb: "xlsb" };

const at = (row, column) => encode_cell({ r: row, c: column });

const steps = {
  rename: (book, sheet, to) => {
    book.Sheets[to] = book.Sheets[sheet];
    delete book.Sheets[sheet];
    book.SheetNames[book.SheetNames.indexOf(sheet)] = to;
  },
  move: (book, sheet, position) => {
    book.SheetNames = book.SheetNames.filter((name) => name !== sheet);
    book.SheetNames.splice(position, 0, sheet);
    delete book.Workbook;
  },
  duplicate: (book, sheet, to) => XLSX.utils.book_append_sheet(book, structuredClone(book.Sheets[sheet]), to),
  "delete sheet": (book, sheet) => {
    book.SheetNames = book.SheetNames.filter((name) => name !== sheet);
    delete book.Sheets[sheet];
    delete book.Workbook;
  },
  "insert rows": (book, sheet, row, count) =>
    readdress(book, sheet, (place) => ({ ...place, r: place.r + (place.r >= row ? count : 0) })),
  "delete rows": (book, sheet, row, count) =>
    readdress(book, sheet, (place) => {
      if (place.r >= row && place.r < row + count) return null;
      return { ...place, r: place.r - (place.r >= row ? count : 0) };
    }),
  "insert columns": (book, sheet, column, count) =>
    readdress(book, sheet, (place) => ({ ...place, c: place.c + (place.c >= column ? count : 0) })),
  "delete columns": (book, sheet, column, count) =>
    readdress(book, sheet, (place) => {
      if (place.c >= column && place.c < column + count) return null;
      return { ...place, c: place.c - (place.c >= column ? count : 0) };
    }),
  "move column": (book, sheet, column, to) =>
    readdress(book, sheet, (place) => {
      if (place.c === column) return { ...place, c: to > column ? to - 1 : to };
      return { ...place, c: place.c - (place.c > column ? 1 : 0) + (place.c >= to ? 1 : 0) };
    }),
  enter: (book, sheet, row, column, value) => {
    const here = book.Sheets[sheet];
    if (value === null) delete here[at(row, column)];
    else XLSX.utils.sheet_add_aoa(here, [[value]], { origin: { r: row, c: column } });
  },
  "enter day": (book, sheet, row, column, day) => {
    const days = (new Date(day) - new Date("1899-12-30")) / 86_400_000;
    book.Sheets[sheet][at(row, column)] = { t: "n", v: days, z: "d-mmm" };
  },
  comment: (book, sheet, row, column, text) => {
    const cell = (book.Sheets[sheet][at(row, column)] ??= { t: "z" });
    cell.c = [{ a: "Robin", t: text }];
  },
  "paste as text": (book, sheet) =>
    (book.Sheets[sheet] = XLSX.utils.aoa_to_sheet(sheet_to_json(book.Sheets[sheet], { header: 1, raw: false }))),
  split: (book, sheet, tables, first) => {
    const rows = sheet_to_json(book.Sheets[sheet], { header: 1 }).map((row) => row.slice(first));
    for (const [name, title, top, bottom] of tables) {
      const table = [[title], [], rows[1], ...rows.slice(top, bottom + 1)];
      XLSX.utils.book_append_sheet(book, XLSX.utils.aoa_to_sheet(table), name);
    }
    steps["delete sheet"](book, sheet);
  },
};

function readdress(book, name, moved) {
  const old = book.Sheets[name];
  const sheet = {};
  const last = { r: 0, c: 0 };
  for (const [address, cell] of Object.entries(old)) {
    const place = address.startsWith("!") ? null : moved(decode_cell(address));
    if (!place) continue;
    sheet[encode_cell(place)] = cell;
    last.r = Math.max(last.r, place.r);
    last.c = Math.max(last.c, place.c);
  }
  book.Sheets[name] = { ...sheet, "!ref": encode_range({ s: { r: 0, c: 0 }, e: last }) };
}

function save(book, kind, result) {
  if (kind !== "csv") return XLSX.writeFile(book, result, { bookType: FILE_TYPES[kind] });
  mkdirSync(result);
  for (const name of book.SheetNames) writeFileSync(`${result}/${name}.csv`, sheet_to_csv(book.Sheets[name]));
}

for (const job of JSON.parse(readFileSync(process.argv[2], "utf-8"))) {
  const book = XLSX.readFile(job.source, { cellNF: true, cellStyles: true });
  for (const [name, ...given] of job.steps) steps[name](book, ...given);
  save(book, job.kind, job.result);
}
