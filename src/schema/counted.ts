// Pages that can say how many things there are over all pages.

export interface Counted {
  /** A list of its own counts when it is asked; the list of a thing is counted with the thing. */
  totalCount: number | (() => number | Promise<number>)
}

/** Whether it is a page that can be counted. */
export function isCounted(page: unknown): page is Counted {
  return (
    typeof page === 'object' &&
    page !== null &&
    'totalCount' in page &&
    ['number', 'function'].includes(typeof page.totalCount)
  )
}
