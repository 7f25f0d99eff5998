// A table as Markdown, with columns aligned so that it also reads well in a terminal.

export type Cell = string | number

/** The table as text; numbers stand to the right. Every row has as many cells as the head. */
export function table(head: string[], rows: Cell[][]): string {
  const numeric = head.map((_, column) => rows.length > 0 && rows.every((row) => typeof row[column] === 'number'))
  const text = rows.map((row) => row.map(String))
  const widths = head.map((title, column) => Math.max(3, title.length, ...text.map((row) => row[column]!.length)))
  const line = (cells: string[]) =>
    `| ${cells.map((cell, i) => (numeric[i] ? cell.padStart(widths[i]!) : cell.padEnd(widths[i]!))).join(' | ')} |`
  const rule = widths.map((width, i) => (numeric[i] ? `${'-'.repeat(width - 1)}:` : '-'.repeat(width)))
  return [line(head), line(rule), ...text.map(line)].join('\n')
}
