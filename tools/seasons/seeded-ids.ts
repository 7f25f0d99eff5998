// New ids drawn from a seed, so that a season is the same each time: the planner decides between equals by their ids.
import crypto from 'node:crypto'
import { syncBuiltinESMExports } from 'node:module'
import type { Random } from '../../seeds/random.ts'

/** Has this process draw all new ids from a stream, until the answer is called. */
export function seedIds(random: Random): () => void {
  const { randomUUID } = crypto
  const digits = (count: number) => Array.from({ length: count }, () => random.int(0, 15).toString(16)).join('')
  use(() => `${digits(8)}-${digits(4)}-4${digits(3)}-8${digits(3)}-${digits(12)}`)
  return () => use(randomUUID)
}

function use(randomUUID: typeof crypto.randomUUID): void {
  crypto.randomUUID = randomUUID
  syncBuiltinESMExports()
}
