import { describe, expect, test } from 'vitest'
import { randomFrom } from '../../../seeds/random.ts'
import { randomHistory } from '../../../seeds/random-facts.ts'
import type { AccountMove } from '../../../src/floor/containers/first-in-first-out.ts'
import { type ContainerBooks, fleetContainers } from '../../../src/floor/containers/fleet-containers.ts'
import { dueWashing } from '../../../src/floor/containers/washing.ts'
import { totalsOf } from '../../../src/floor/ledger/identity.ts'
import { accountPlace, keyOf, kindOf } from '../../../src/floor/ledger/place.ts'
import { activeOf } from '../../../src/floor/ledger/post.ts'
import { MemoryLedger } from '../../support/memory-ledger.ts'
import { sampledNumbers } from '../../support/sampled.ts'

const FLEET = { siteId: 'site', typeId: 'firkin' }
const BOOKS: ContainerBooks = { recordsBegan: '2027-03-01', accounts: [], road: [], dirty: [] }

/** The one fleet of some books. */
function fleetOf(books: Partial<ContainerBooks>, today: string, announced: { on: string; quantity: number }[] = []) {
  const { fleets, daysOut } = fleetContainers(
    { ...BOOKS, ...books },
    {
      ...{ today, fleets: [{ ...FLEET, washDays: 1, announced }] },
      returnDays: () => 7,
      nextRouteDay: () => '2027-04-01',
    },
  )
  const [fleet] = fleets
  if (!fleet) throw new Error('there is one fleet')
  return { ...fleet, daysOut }
}

const came = (day: string, quantity: number) => ({ ...{ day, quantity }, kind: 'CAME' as const, settleDays: 1 })
const back = (day: string, quantity: number) => ({ ...{ day, quantity }, kind: 'RETURNED' as const, settleDays: 0 })
const atInn = (held: number, moves: ContainerBooks['accounts'][number]['moves']) => ({
  accounts: [{ ...FLEET, accountId: 'inn', held, moves }],
})

describe('containers that are out', () => {
  test('are expected when the account brings them back, on the next route day where they are overdue, then not at all', () => {
    const books = atInn(6, [came('2027-03-01', 6)])
    expect(fleetOf(books, '2027-03-05').returns).toEqual([{ on: '2027-03-09', quantity: 6 }])
    expect(fleetOf(books, '2027-03-09').out).toMatchObject([{ outlook: 'DUE', since: '2027-03-01' }])
    expect(fleetOf(books, '2027-03-10').out).toMatchObject([{ outlook: 'OVERDUE' }])
    expect(fleetOf(books, '2027-03-10').returns).toEqual([{ on: '2027-04-01', quantity: 6 }])
    expect(fleetOf(books, '2027-03-23').out).toMatchObject([{ outlook: 'OVERDUE' }])
    expect(fleetOf(books, '2027-03-24')).toMatchObject({ out: [{ outlook: 'MISSING' }], returns: [] })
  })

  test('are expected later once the account has shown to keep them longer, those that are out already too', () => {
    const slow = atInn(4, [came('2027-03-01', 12), came('2027-03-10', 4), back('2027-03-22', 12)])
    // Twelve took 20 days; of the prior's ten 7: 80 of 100 are back after 20 days.
    expect(fleetOf(slow, '2027-03-23').daysOut.get('inn')).toBe(20)
    expect(fleetOf(slow, '2027-03-23').returns).toMatchObject([{ on: '2027-03-31', quantity: 4 }])
  })

  test('on the road are expected from the day of serving on', () => {
    const road = [{ ...FLEET, accountId: 'inn', quantity: 3, serveOn: '2027-03-04' }]
    expect(fleetOf({ road }, '2027-03-02').returns).toEqual([{ on: '2027-03-11', quantity: 3 }])
  })

  test('that the set-up lists are expected, overdue, missing, and made good by returns from accounts that had none', () => {
    const listed = [{ on: '2027-03-05', quantity: 8 }]
    expect(fleetOf({}, '2027-03-03', listed).returns).toEqual(listed)
    expect(fleetOf({}, '2027-03-06', listed).returns).toEqual([{ on: '2027-04-01', quantity: 8 }])
    expect(fleetOf({}, '2027-03-20', listed)).toMatchObject({ out: [{ outlook: 'MISSING', quantity: 8 }], returns: [] })
    const found = atInn(0, [{ ...came('2027-03-05', 5), kind: 'FOUND' }, back('2027-03-05', 5)])
    expect(fleetOf(found, '2027-03-06', listed).out).toMatchObject([{ outlook: 'OVERDUE', quantity: 3 }])
  })

  test('and that came back before the records began are being washed, as the set-up lists them', () => {
    const listed = [{ on: '2027-02-28', quantity: 8 }]
    expect(fleetOf({}, '2027-03-01', listed)).toMatchObject({ out: [], returns: listed })
  })
})

test('returned containers are clean the days of washing after their return', () => {
  const dirty = [{ ...FLEET, held: 5, arrived: [{ day: '2027-03-03', quantity: 2 }] }]
  // Three came back before: nothing says that they were washed, and plans take them as clean.
  expect(fleetOf({ dirty }, '2027-03-03')).toMatchObject({
    ...{ washing: 2, dirty: 3 },
    returns: [{ on: '2027-03-03', quantity: 2 }],
  })
  expect(fleetOf({ dirty }, '2027-03-04')).toMatchObject({ washing: 0, dirty: 5, returns: [] })
  const standing = [{ quantity: 3 }, { since: '2027-03-03', quantity: 2 }]
  expect([1, 2, 3].map((washDays) => dueWashing(standing, washDays, '2027-03-04'))).toEqual([5, 5, 3])
})

describe('random histories', () => {
  test.each(sampledNumbers(1, 3_000, 75))('history %i: every container is in exactly one place', (seed) => {
    const ledger = new MemoryLedger()
    for (const { fact, gone } of randomHistory(randomFrom(seed), 60)) ledger.record(fact ? [fact] : [], gone)
    const { out, washing, dirty } = fleetOf(booksOf(ledger), '2027-02-12')
    const totals = totalsOf(ledger.entries, 'CONTAINERS')
    const total = (...kinds: (typeof totals extends Map<infer Kind, number> ? Kind : never)[]) =>
      kinds.reduce((sum, kind) => sum + Math.abs(totals.get(kind) ?? 0), 0)
    const isOut = out.reduce((sum, { quantity }) => sum + quantity, 0)
    expect(total('CLEAN', 'FILLED') + isOut + washing + dirty).toBe(
      total('OPENING', 'BOUGHT', 'FOUND') - total('LOST', 'SCRAPPED'),
    )
  })
})

/** What the database would answer of a ledger. */
function booksOf(ledger: MemoryLedger): ContainerBooks {
  const entries = activeOf(ledger.entries)
  const balances = Object.entries(ledger.balances())
  const intoDirty = entries.filter(({ to }) => kindOf(to) === 'DIRTY')
  const held = (kind: string) => balances.filter(([place]) => kindOf(place) === kind)
  return {
    recordsBegan: '2027-02-01',
    accounts: ['account-a', 'account-b'].map((accountId) => {
      const place = accountPlace(accountId, 'site', 'firkin')
      const moves = entries.flatMap(({ from, to, day, amount: quantity }): AccountMove[] => {
        if (to === place) return [{ ...came(day, quantity), kind: from === 'FOUND' ? 'FOUND' : 'CAME', settleDays: 0 }]
        return from === place ? [back(day, quantity)] : []
      })
      return { ...FLEET, accountId, held: Number(ledger.balances()[place] ?? 0), moves }
    }),
    road: held('ON_ROAD').map(([place, quantity]) => ({
      ...{ ...FLEET, accountId: keyOf(place)[0] ?? '', quantity, serveOn: '2027-02-12' },
    })),
    dirty: held('DIRTY').map(([, amount]) => ({
      ...{ ...FLEET, held: amount, arrived: intoDirty.map(({ day, amount: quantity }) => ({ day, quantity })) },
    })),
  }
}
