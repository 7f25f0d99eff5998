// A small seeded generator, so that generated problems are the same on every machine: sfc32, whose state is filled
// from a seed by splitmix32. Never for secrets.

/** A stream of pseudo-random values. The same seed (and the same order of calls) gives the same values. */
export interface Random {
  /** A real number from 0 (included) to 1 (excluded). */
  unit(): number
  /** A whole number from `from` to `to`, both included. */
  int(from: number, to: number): number
  /** A real number from `from` (included) to `to` (excluded). */
  between(from: number, to: number): number
  /** True with the given probability. */
  chance(probability: number): boolean
  /** One element of a list that is not empty. */
  pick<T>(list: readonly T[]): T
  /** One element of a list that is not empty, with the given weights (none negative; all zero: any element). */
  weighted<T>(list: readonly T[], weightOf: (element: T) => number): T
  /** The list in another order. */
  shuffled<T>(list: readonly T[]): T[]
  /** A stream of its own: what it gives depends on the seed and the label alone, not on earlier calls. */
  fork(label: string): Random
}

/** A generator for a seed (any number; its 32-bit integer part counts). */
export function randomFrom(seed: number): Random {
  const next = sfc32(seed)
  const unit = () => next() / 4_294_967_296
  const int = (from: number, to: number) => from + Math.floor(unit() * (to - from + 1))
  const pick = <T>(list: readonly T[]): T => {
    const element = list[int(0, list.length - 1)]
    if (element === undefined) throw new RangeError('pick needs a list that is not empty')
    return element
  }
  return {
    unit,
    int,
    between: (from, to) => from + unit() * (to - from),
    chance: (probability) => unit() < probability,
    pick,
    weighted(list, weightOf) {
      const weights = list.map(weightOf)
      const total = weights.reduce((sum, weight) => sum + weight, 0)
      if (total <= 0) return pick(list)
      let left = unit() * total
      for (const [index, element] of list.entries()) {
        left -= weights[index] ?? 0
        if (left < 0) return element
      }
      return pick(list)
    },
    shuffled(list) {
      const copy = [...list]
      for (let last = copy.length - 1; last > 0; last--) {
        const other = int(0, last)
        const held = copy[last]!
        copy[last] = copy[other]!
        copy[other] = held
      }
      return copy
    },
    fork: (label) => randomFrom(hashed(label, seed)),
  }
}

/** Whole 32-bit numbers of sfc32 (a public-domain generator from the PractRand suite). */
function sfc32(seed: number): () => number {
  const fill = splitmix32(seed)
  let a = fill()
  let b = fill()
  let c = fill()
  let counter = 1
  const next = () => {
    const sum = (((a + b) | 0) + counter) | 0
    counter = (counter + 1) | 0
    a = b ^ (b >>> 9)
    b = (c + (c << 3)) | 0
    c = ((c << 21) | (c >>> 11)) + sum
    c |= 0
    return sum >>> 0
  }
  for (let skipped = 0; skipped < 12; skipped++) next()
  return next
}

function splitmix32(seed: number): () => number {
  let state = seed | 0
  return () => {
    state = (state + 0x9e3779b9) | 0
    let mixed = state ^ (state >>> 16)
    mixed = Math.imul(mixed, 0x21f0aaad)
    mixed ^= mixed >>> 15
    mixed = Math.imul(mixed, 0x735a2d97)
    return (mixed ^ (mixed >>> 15)) >>> 0
  }
}

/** FNV-1a of a label, started from a seed. */
function hashed(label: string, seed: number): number {
  let hash = (0x811c9dc5 ^ seed) | 0
  for (const character of label) hash = Math.imul(hash ^ (character.codePointAt(0) ?? 0), 0x01000193)
  return hash
}
