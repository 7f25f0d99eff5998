import { describe, expect, test } from 'vitest'
import { randomFrom } from '../../../seeds/random.ts'
import { randomHistory } from '../../../seeds/random-facts.ts'
import { type AccountMove, followAccount, stillThere } from '../../../src/floor/containers/first-in-first-out.ts'
import { byOrder, type Entry } from '../../../src/floor/ledger/entry.ts'
import { accountPlace, type Place } from '../../../src/floor/ledger/place.ts'
import { activeOf } from '../../../src/floor/ledger/post.ts'
import { addDays, type LocalDate } from '../../../src/planner/documents/index.ts'
import { MemoryLedger } from '../../support/memory-ledger.ts'
import { sampledNumbers } from '../../support/sampled.ts'

const move = (kind: AccountMove['kind'], day: LocalDate, quantity: number, settleDays = 0): AccountMove => ({
  ...{ kind, day, quantity, settleDays },
})

describe('the containers of an account', () => {
  test('leave in the order in which they came, and took the days from serving until they were back', () => {
    const moves = [
      move('CAME', '2027-03-01', 6, 2),
      move('CAME', '2027-03-08', 4, 2),
      move('RETURNED', '2027-03-15', 7),
      move('GONE', '2027-03-16', 1),
    ]
    expect(followAccount(2, moves)).toEqual({
      standing: [{ since: '2027-03-08', servedOn: '2027-03-10', quantity: 2 }],
      observed: [
        { days: 12, quantity: 6 },
        { days: 5, quantity: 1 },
      ],
    })
  })

  test('those of before the first known move leave first, and say nothing of how long they took', () => {
    const moves = [move('CAME', '2027-03-01', 3), move('RETURNED', '2027-03-05', 4)]
    expect(followAccount(4, moves)).toEqual({
      standing: [{ quantity: 1 }, { since: '2027-03-01', servedOn: '2027-03-01', quantity: 3 }],
      observed: [],
    })
  })

  test('what was found there only because it came back took no days', () => {
    const moves = [move('FOUND', '2027-03-05', 4), move('RETURNED', '2027-03-05', 4)]
    expect(followAccount(0, moves)).toEqual({ standing: [], observed: [] })
  })
})

test('a place still has the newest of what arrived', () => {
  const arrived = [
    { day: '2027-03-01', quantity: 5 },
    { day: '2027-03-03', quantity: 2 },
  ]
  expect(stillThere(4, arrived)).toEqual([
    { since: '2027-03-01', quantity: 2 },
    { since: '2027-03-03', quantity: 2 },
  ])
  expect(stillThere(9, arrived)[0]).toEqual({ quantity: 2 })
})

describe('random histories', () => {
  const place = accountPlace('account-a', 'site', 'firkin')

  test.each(sampledNumbers(1, 3_000, 75))('history %i: the same as following each container', (seed) => {
    const ledger = new MemoryLedger()
    for (const { fact, gone } of randomHistory(randomFrom(seed), 60)) ledger.record(fact ? [fact] : [], gone)
    const entries = activeOf(ledger.entries)
    const held = ledger.balances()[place] ?? 0
    const expected = eachContainer(entries, place)
    expect(daysOf(followAccount(held, movesOf(entries, place)).standing)).toEqual(expected)
    for (const from of [addDays('2027-02-01', 3), addDays('2027-02-01', 7)]) {
      const late = movesOf(entries, place).filter(({ day }) => day >= from)
      const lately = expected.map((since) => (since >= from ? since : 'before'))
      expect(daysOf(followAccount(held, late).standing)).toEqual(lately)
    }
  })
})

/** The day on which each container that still stands there came, found by following them one by one. */
function eachContainer(entries: readonly Entry[], place: Place): LocalDate[] {
  const queue: LocalDate[] = []
  const touching = entries.filter(({ from, to }) => from === place || to === place)
  // What is found is there before it leaves.
  for (const { day, to, amount } of touching.sort(
    (a, b) => byOrder(a, b) || Number(b.to === place) - Number(a.to === place),
  ))
    for (let n = 0; n < amount; n++) {
      if (to === place) queue.push(day)
      else queue.shift()
    }
  return queue
}

function movesOf(entries: readonly Entry[], place: Place): AccountMove[] {
  return entries.flatMap((each) => {
    if (each.to === place) return [move(each.from === 'FOUND' ? 'FOUND' : 'CAME', each.day, each.amount)]
    return each.from === place ? [move(each.to === 'LOST' ? 'GONE' : 'RETURNED', each.day, each.amount)] : []
  })
}

function daysOf(standing: ReturnType<typeof followAccount>['standing']): string[] {
  return standing.flatMap(({ since, quantity }) => Array.from({ length: quantity }, () => since ?? 'before'))
}
