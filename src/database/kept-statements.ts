// Statements that a connection keeps prepared: those whose text begins with the mark below. The text of others may differ
// with each call, as with the length of a list, and connections would keep more and more of them.

/** What the text of a statement begins with that is worth keeping. */
export const KEPT = '/* kept */'

/** Most statements that are kept; a connection holds some tenths of a megabyte for each. */
const MOST_KEPT = 100

const names = new Map<string, string>()

/** The name under which a connection keeps a statement; '' where it is prepared anew each time. */
export function keptName({ sql }: { sql: string }): string {
  if (!sql.startsWith(KEPT)) return ''
  const known = names.get(sql)
  if (known !== undefined) return known
  if (names.size === MOST_KEPT) return ''
  const name = `fillwright_${names.size}`
  names.set(sql, name)
  return name
}
