// Rows of a child table by the parent that they belong to, and the one order in which things are read.

/** The rows by `key`, in the order in which they came. */
export function groupBy<Row>(rows: readonly Row[], key: (row: Row) => string): (key: string) => Row[] {
  const groups = new Map<string, Row[]>()
  for (const row of rows) {
    const group = groups.get(key(row))
    if (group) group.push(row)
    else groups.set(key(row), [row])
  }
  return (wanted) => groups.get(wanted) ?? []
}

/** The rows in order of `key`. By code unit, not by the database's collation, so that every database gives one order. */
export function sortedBy<Row>(rows: readonly Row[], key: (row: Row) => string): Row[] {
  return rows
    .map((row) => ({ row, key: key(row) }))
    .sort((a, b) => (a.key < b.key ? -1 : a.key > b.key ? 1 : 0))
    .map(({ row }) => row)
}
