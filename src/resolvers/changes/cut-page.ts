// A page of rows that were read in the order in which it is asked for, one more than it has.

/** Which page: behind one place or before another, and from which end. */
export interface PageAsked<Place> {
  after?: Place | undefined
  before?: Place | undefined
  count: number
  /** Whether the last ones are asked for, not the first. */
  fromEnd: boolean
}

/** The rows of the page from first to last, and whether there are others on either side. */
export function cutPage<Row>(
  rows: readonly Row[],
  { after, before, count, fromEnd }: PageAsked<unknown>,
): { rows: Row[]; hasNext: boolean; hasPrevious: boolean } {
  const hasMore = rows.length > count
  const page = rows.slice(0, count)
  return fromEnd
    ? { rows: page.reverse(), hasNext: before !== undefined, hasPrevious: hasMore }
    : { rows: page, hasNext: hasMore, hasPrevious: after !== undefined }
}
