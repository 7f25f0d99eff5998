// Refusals of tables that were sent: of the file as a whole, and of cells that say different things.

/** By code: the kind, what it means and what the caller can do. */
export const TABLE_REFUSALS = {
  CSV_WRONG_ENCODING: [
    'INVALID_INPUT',
    'The text is not in UTF-8.',
    'Save the table as CSV in UTF-8 and send it again.',
  ],
  CSV_BAD_QUOTES: [
    'INVALID_INPUT',
    'A cell has quotes where none may stand, or they do not close.',
    'Put a cell with commas, quotes or line breaks in quotes, and write each quote within it twice (RFC 4180).',
  ],
  CSV_CELLS_DIFFER: [
    'INVALID_INPUT',
    'A row has more or fewer cells than there are columns.',
    'Give each row a cell for each column, with commas between them.',
  ],
  CSV_UNKNOWN_COLUMN: [
    'INVALID_INPUT',
    'The table has no column of this name.',
    'Take the column away, or name it as the first line of the export does.',
  ],
  CSV_REPEATED_COLUMN: ['INVALID_INPUT', 'Two columns have one name.', 'Leave one of them out.'],
  CSV_MISSING_COLUMN: ['INVALID_INPUT', 'A column is missing.', 'Add the column, with a value in each row.'],
  CSV_NO_ROWS: [
    'INVALID_INPUT',
    'The table has no rows.',
    'Send a line with the names of the columns, and a row for each thing behind it.',
  ],
  CSV_TOO_MANY: [
    'INVALID_INPUT',
    'The table has more things than one request may bring.',
    'Send the rest in further requests.',
  ],
  CSV_ROWS_DISAGREE: [
    'INVALID_INPUT',
    'Two rows of one order say different things of the order as a whole.',
    'Write the same value in each row of the order, or leave it out behind the first.',
  ],
} as const
