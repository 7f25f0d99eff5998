// How much is tried: `npm run test:long` tries everything, `npm test` a sample of it, the same each time.

/** Whether this is the long run. */
export const LONG = process.env.LONG === 'yes'

/** Whether what `npm test` tries a sample of is tried whole: in the long run, and on a server, as `.ci/run` does with what it names there. */
export const WHOLE = LONG || (process.env.TEST_DATABASE_URL ?? '') !== ''

/** All of them in the long run and on a server, else `count` of them, spread evenly. For what takes long. */
export function sampledUnlessOnServer<Item>(all: readonly Item[], count: number): Item[] {
  return WHOLE ? [...all] : spread(all, count)
}

/** All of them in the long run, else `count` of them, or `onServer` on a server, spread evenly from the first to the last. */
export function sampled<Item>(all: readonly Item[], count: number, onServer = count): Item[] {
  return LONG ? [...all] : spread(all, WHOLE ? onServer : count)
}

/** `count` of the list, in its order and spread evenly from the first to the last; all where there are no more. */
export function spread<Item>(all: readonly Item[], count: number): Item[] {
  if (count >= all.length) return [...all]
  const chosen = new Set(Array.from({ length: count }, (_, n) => Math.round((n * (all.length - 1)) / (count - 1 || 1))))
  return all.filter((_, index) => chosen.has(index))
}

/** The numbers from `first` on: all `length` of them in the long run, else `count`, or `onServer` on a server. */
export function sampledNumbers(first: number, length: number, count: number, onServer = count): number[] {
  return sampled(
    Array.from({ length }, (_, index) => first + index),
    count,
    onServer,
  )
}
