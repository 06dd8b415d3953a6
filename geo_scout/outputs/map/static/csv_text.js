'use strict';
// Tables as CSV in the manner of the season's own: byte-order mark, CRLF, numbers as they are, empty for missing.
seasonMap.part(() => {
  const { plainText } = seasonMap;
  const FORMULA_START = /^[=+\-@\t\r\n]/;
  const NEEDS_QUOTES = /[",\r\n]/;

  function cell(value) {
    if (value === null || value === undefined || Number.isNaN(value)) return '';
    if (typeof value === 'number') return String(value);
    const text = plainText(value);
    // A spreadsheet would run it; the season's reader takes the apostrophe off again.
    const guarded = FORMULA_START.test(text) ? `'${text}` : text;
    return NEEDS_QUOTES.test(guarded) ? `"${guarded.replaceAll('"', '""')}"` : guarded;
  }

  // columns: names, each also the name of a property of the rows.
  seasonMap.csvText = (columns, rows) => {
    const lines = [columns, ...rows.map((row) => columns.map((name) => row[name]))];
    return `\ufeff${lines.map((line) => `${line.map(cell).join(',')}\r\n`).join('')}`;
  };
});
