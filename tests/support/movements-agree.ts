// Movements against the ledger and against the report of removals, as tests expect them.
import { expect } from 'vitest'
import { kindOf } from '../../src/floor/ledger/place.ts'
import type { Actor } from '../../src/resolvers/actor.ts'
import { readMovements } from '../../src/resolvers/sheets/read-movements.ts'
import { readRemovals } from '../../src/resolvers/sheets/removals.ts'
import type { Movement, MovementKind } from '../../src/sheets/movement.ts'
import { REMOVAL_KINDS } from '../../src/sheets/removals.ts'

const PAGE = { count: 1_000_000, fromEnd: false }

/** Holds the movements of all days to the report of removals of these days, and to what the ledger's places hold. */
export async function expectMovementsAgree(actor: Actor, from: string, to: string): Promise<Movement[]> {
  const { client, distributorId } = actor
  const { movements } = await readMovements(actor, {}, PAGE)
  const total = (kinds: readonly MovementKind[], of: (each: Movement) => number) =>
    movements.reduce((sum, each) => sum + (kinds.includes(each.kind) ? of(each) : 0), 0)

  const { lines } = await readRemovals(actor, { from, to })
  for (const kind of REMOVAL_KINDS) {
    const removed = lines.filter((line) => line.kind === kind)
    const sumOf = (of: (line: (typeof lines)[number]) => number) => removed.reduce((sum, line) => sum + of(line), 0)
    const own = kind === 'RETURNED' ? 'REFUSED' : kind
    expect([kind, total([own], (each) => each.containers)]).toEqual([kind, sumOf(({ quantity }) => quantity)])
    expect(total([own], (each) => each.litres)).toBeCloseTo(
      sumOf((line) => line.litres),
      6,
    )
  }

  const entries = await client.ledgerEntry.findMany({ where: { distributorId } })
  /** What went into places of a kind, from places of another or from all, less what went back. */
  const into = (unit: string, place: string, other?: string) =>
    entries.reduce((sum, entry) => {
      const [from, to] = [kindOf(entry.from), kindOf(entry.to)]
      if (entry.unit !== unit || from === to) return sum
      if (to === place && (other === undefined || from === other)) return sum + entry.amount
      return from === place && (other === undefined || to === other) ? sum - entry.amount : sum
    }, 0)
  const containersInto = (place: string, ...other: string[]) =>
    other.length === 0
      ? into('CONTAINERS', place)
      : other.reduce((sum, each) => sum + into('CONTAINERS', place, each), 0)

  // What left for orders and did not come back, nor was delivered, is on the road: but for what counts found and lost there.
  expect(
    total(['DISPATCHED'], (each) => each.containers) - total(['REFUSED', 'DELIVERED'], (each) => each.containers),
  ).toBe(containersInto('ON_ROAD') - containersInto('ON_ROAD', 'FOUND', 'LOST'))
  // What was delivered and did not come back is at accounts, and deposits are owed for it.
  expect(total(['DELIVERED', 'RETURNED'], (each) => each.deposits)).toBe(
    containersInto('AT_ACCOUNT') - containersInto('AT_ACCOUNT', 'FOUND', 'LOST'),
  )
  const sinks = ['TRUB', 'SET_UP', 'OVERFILL', 'SPOILED', 'REMAINDER', 'LOST', 'DUMPED']
  const lost = sinks.reduce((sum, sink) => sum + into('MILLILITRES', sink, 'VESSEL'), 0)
  expect(total(['BEER_LOST'], (each) => each.litres)).toBeCloseTo(lost / 1000, 6)
  return movements
}
