// The search's seeded generator (sfc32): the same seed gives the same numbers on every machine.

/** A number from 0 up to but not including 1. */
export type Random = () => number

/** A generator for a seed. */
export function seeded(seed: number): Random {
  let a = 0x9e3779b9
  let b = 0x243f6a88
  let c = seed | 0
  let counter = Math.floor(seed / 2 ** 32) | 1
  const next = () => {
    const sum = (((a + b) | 0) + counter) | 0
    counter = (counter + 1) | 0
    a = b ^ (b >>> 9)
    b = (c + (c << 3)) | 0
    c = (c << 21) | (c >>> 11)
    c = (c + sum) | 0
    return (sum >>> 0) / 2 ** 32
  }
  for (let round = 0; round < 15; round++) next()
  return next
}

/** A whole number from 0 up to but not including `count`. */
export function below(random: Random, count: number): number {
  return Math.floor(random() * count)
}

/** Shuffles a list in place and returns it (Fisher and Yates). */
export function shuffle<T>(random: Random, list: T[]): T[] {
  for (let at = list.length - 1; at > 0; at--) {
    const other = below(random, at + 1)
    const held = list[at]
    list[at] = list[other]
    list[other] = held
  }
  return list
}
