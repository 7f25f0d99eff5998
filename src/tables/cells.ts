// Cells of a table as text and back, and rows as lines of CSV (RFC 4180). Whatever is written is read back as it was.

/** What a cell holds; absent: nothing. Volumes are numbers of litres, days and instants are text as the API writes them. */
export type Cell = string | number | boolean | null | undefined

/** Programs that calculate take text that begins so for a formula, and would run it (OWASP, "CSV Injection"). */
const FORMULA = /^'*[=+\-@\t\r\n＝＋－＠]/

/** A line of CSV with its line break. Text that would be taken for a formula gets an apostrophe in front; numbers stay numbers. */
export function csvLine(cells: readonly Cell[]): string {
  return `${cells.map((cell) => quoted(textOf(cell))).join(',')}\r\n`
}

function textOf(cell: Cell): string {
  if (typeof cell === 'string') return FORMULA.test(cell) ? `'${cell}` : cell
  return cell === null || cell === undefined ? '' : String(cell)
}

function quoted(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text
}

/** The text of a cell as it was before an apostrophe was put in front. */
export function withoutApostrophe(text: string): string {
  return text.startsWith("'") && FORMULA.test(text) ? text.slice(1) : text
}

/** What a cell holds for a list without anything in it; an empty cell is no list. */
const EMPTY_LIST = '[]'

/** Several texts in one cell, with `;` between them; `\` stands before a `;` or a `\` of their own. None of them is empty. */
export function listText(texts: readonly string[]): string {
  if (texts.length === 0) return EMPTY_LIST
  const text = texts.map((each) => each.replaceAll(/[\\;]/g, String.raw`\$&`)).join(';')
  return text === EMPTY_LIST ? `\\${text}` : text
}

/** The texts of a cell that holds several. Spaces around each are left out, and so is what is empty. */
export function textsIn(cell: string): string[] {
  if (cell.trim() === EMPTY_LIST) return []
  const parts = cell.match(/(?:\\[\s\S]|[^;\\]|\\$)+/g) ?? []
  return parts.flatMap((part) => part.trim() || []).map((part) => part.replaceAll(/\\([\s\S])/g, '$1'))
}

const BY_ID = 'id:'

/** How a cell names a thing: by the caller's own reference, or by its global id where it has none. */
export function refText({ externalRef, id }: { externalRef: string | null; id: string }): string {
  return externalRef === null || externalRef.startsWith(BY_ID) ? `${BY_ID}${id}` : externalRef
}

/** The thing that a cell names, as inputs of the API name it. */
export function refIn(cell: string): { id: string } | { externalRef: string } {
  return cell.startsWith(BY_ID) ? { id: cell.slice(BY_ID.length) } : { externalRef: cell }
}

/** A number to so many digits, since sums of many parts end in digits that were never measured. */
export function rounded(value: number, digits: number): number {
  return Number(value.toFixed(digits))
}
