// Days of the horizon in buckets of equal width. The relaxation balances everything at the end of each bucket; what happens
// on a day counts as done by the end of its bucket, what must wait as possible from the start of it.

export interface Buckets {
  count: number
  width: number
  /** The bucket of a day; `count` for days past the horizon. */
  of(day: number): number
  /** Last day of a bucket. */
  last(bucket: number): number
  /** The days of an ascending list that lie in each bucket. */
  split(days: readonly number[]): number[][]
}

/** Buckets of `width` days; the last one may be shorter. */
export function makeBuckets(horizon: number, width: number): Buckets {
  const count = Math.ceil(horizon / width)
  const of = (day: number) => Math.min(count, Math.floor(Math.max(0, day) / width))
  return {
    count,
    width,
    of: (day) => (day >= horizon ? count : of(day)),
    last: (bucket) => Math.min(horizon, (bucket + 1) * width) - 1,
    split(days) {
      const lists: number[][] = Array.from({ length: count }, () => [])
      for (const day of days) lists[of(day)]?.push(day)
      return lists
    },
  }
}
